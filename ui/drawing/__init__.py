"""ui/drawing."""

__all__: list[str] = []
