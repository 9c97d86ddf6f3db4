"""ui."""

__all__: list[str] = []
