"""What is known of museum objects: nouns, ledger, state, reasoning, answers."""

__all__: list[str] = []
