"""One typed answer per question; plain data, no markup. Import from its modules."""

__all__: list[str] = []
