"""The ways in for people: the command line, drawings and papers."""

__all__: list[str] = []
