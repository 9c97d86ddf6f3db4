"""graph/record."""

__all__: list[str] = []
