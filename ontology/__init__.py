"""The same in published words: mapping, writers, readers, shapes, vocabularies, queries."""

__all__: list[str] = []
