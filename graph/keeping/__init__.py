"""graph/keeping."""

__all__: list[str] = []
