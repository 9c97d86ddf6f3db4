"""ui/command."""

__all__: list[str] = []
