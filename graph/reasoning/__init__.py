"""graph/reasoning."""

__all__: list[str] = []
