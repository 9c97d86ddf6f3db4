"""graph/intake."""

__all__: list[str] = []
