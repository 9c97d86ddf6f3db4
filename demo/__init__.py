"""demo."""

__all__: list[str] = []
