"""graph/ledger."""

__all__: list[str] = []
