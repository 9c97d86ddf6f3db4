"""graph/store."""

__all__: list[str] = []
