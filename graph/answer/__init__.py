"""graph/answer."""

__all__: list[str] = []
