"""What belongs to an object: everything that says so of itself, at any depth."""

from ..state import HOME_WORDS, State


def belonging(state: State, key: str) -> frozenset[str]:
    """Keys of everything that belongs to an object: elements, claims, parts, samples."""
    found = {key}
    todo = [key]
    while todo:
        for link, says in state.pointing(todo.pop()):
            if link.word in HOME_WORDS and says == link.src and says not in found:
                found.add(says)
                todo.append(says)
    return frozenset(found)
