"""graph/state."""

__all__: list[str] = []
