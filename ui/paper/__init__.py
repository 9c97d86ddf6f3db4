"""ui/paper."""

__all__: list[str] = []
