"""What a colour of fluorescence under long-wave ultraviolet may point to.

After the National Park Service's Conserve O Gram 1/10, UV fluorescence part II, 2000,
and the glossary of the National Gallery; where an entry says so, common practice without
a source. Colour words vary with filter, age and dirt, so a colour suggests classes of
material and proves none. No fluorescence gives no conclusion at all.
"""

from collections.abc import Mapping
from dataclasses import dataclass

__all__ = ["Fluorescence", "fluorescence"]

_READ = "Conserve O Gram 1/10, 2000; National Gallery glossary"


@dataclass(frozen=True, slots=True)
class Fluorescence:
    """What one colour word suggests.

    Attributes:
        colour: the word as recorded.
        classes: materials that are described with this colour; empty for no conclusion.
        near: materials described with a neighbouring colour, easily taken for it.
        text: the same in a sentence, with its basis.
    """

    colour: str
    classes: tuple[str, ...]
    near: tuple[str, ...]
    text: str


# colour -> (classes, neighbouring colours, source)
_SUGGESTS: Mapping[str, tuple[tuple[str, ...], tuple[str, ...], str]] = {
    "greenish": (("natural resin varnish",), ("greenish yellow",), _READ),
    "yellow-green": (("natural resin varnish",), ("greenish yellow",), _READ),
    "greenish yellow": (("cellulose nitrate",), ("yellow-green", "lemon yellow"), _READ),
    "bluish": (("old varnish with linseed oil",), ("milky blue", "bluish white"), _READ),
    "lemon yellow": (("zinc white",), ("greenish yellow",), _READ),
    "yellowish white": (("epoxy",), ("milky white",), _READ),
    "milky white": (("cellulose acetate",), ("yellowish white", "bluish white"), _READ),
    "milky blue": (("polyvinyl acetate (PVAc)",), ("bluish", "bluish white"), _READ),
    "bluish white": (
        ("optical brightener",),
        ("milky white", "milky blue"),
        "common practice, no source",
    ),
    "orange": (("shellac", "red lake"), ("pink",), _READ),
    "pink": (("red lake",), ("orange",), _READ),
}

_WORDS: Mapping[str, str] = {
    "yellowish green": "yellow-green",
    "yellow green": "yellow-green",
    "green": "greenish",
    "greenish-yellow": "greenish yellow",
    "bluish haze": "bluish",
    "blue haze": "bluish",
    "bright lemon yellow": "lemon yellow",
    "bright yellowish white": "yellowish white",
    "yellow-white": "yellowish white",
    "yellow white": "yellowish white",
    "blue-white": "bluish white",
    "blue white": "bluish white",
    "bluish-white": "bluish white",
    "bright orange": "orange",
    "pinkish": "pink",
}

_DARK = frozenset({"none", "no fluorescence", "no", "dark", "not fluorescent", "absent"})


def fluorescence(colour: str) -> Fluorescence:
    """Return what *colour* suggests; nothing is concluded from a word not in the table."""
    word = " ".join(colour.casefold().split())
    if word in _DARK:
        return Fluorescence(
            colour,
            (),
            (),
            "No fluorescence: no conclusion. The acrylic copolymer of conservation, most "
            "acrylic paint and other synthetic resins do not glow, retouching over "
            "varnish looks dark, and grime hides a varnish that would; a repair or "
            f"coating may be there all the same ({_READ}).",
        )
    word = _WORDS.get(word, word)
    if word not in _SUGGESTS:
        known = ", ".join(sorted(_SUGGESTS))
        text = f"No conclusion: the table has no colour {colour!r}. It has: {known}; none."
        return Fluorescence(colour, (), (), text)
    classes, neighbours, source = _SUGGESTS[word]
    near = tuple(
        name
        for name in dict.fromkeys(n for other in neighbours for n in _SUGGESTS[other][0])
        if name not in classes
    )
    text = (
        f"{word.capitalize()} suggests {' or '.join(classes)}; easily confused with that "
        f"of {' or '.join(near)}. It proves none: colour varies with filter, age and dirt "
        f"({source})."
    )
    return Fluorescence(colour, classes, near, text)
