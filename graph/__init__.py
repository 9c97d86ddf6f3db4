"""graph."""

__all__: list[str] = []
