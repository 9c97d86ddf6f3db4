"""Whether two materials, as people name them, can be of one piece.

The families and the metals are common practice (no source). Only what the words say is
compared: a name given by eye may be wrong, so that within a family a difference speaks
against and does not decide. Different metals, and different families, decide.
"""

import re
from enum import StrEnum
from typing import Final

_FAMILIES: Final = {
    "ceramic": "ceramic ceramics porcelain earthenware stoneware terracotta faience clay",
    "wood": "wood softwood hardwood ply plywood elm birch beech oak pine fir spruce lime "
    "limewood ash maple walnut mahogany fruitwood pearwood boxwood ebony cedar bamboo",
    "paper": "paper card cardboard pasteboard papier",
    "textile": "textile cloth linen cotton silk wool hemp jute canvas thread yarn ribbon",
    "bone and horn": "bone ivory antler horn tortoiseshell baleen",
    "skin": "leather parchment vellum hide skin rawhide",
    "glass": "glass crystal",
    "plaster": "plaster gypsum stucco gesso",
    "wax": "wax beeswax",
    "cork": "cork",
    "plastic": "plastic nylon celluloid acrylic polyester polyethylene polystyrene "
    "bakelite",
    "stone": "stone marble slate limestone sandstone granite alabaster soapstone flint",
    "metal": "metal iron steel brass bronze copper gunmetal latten aluminium aluminum lead "
    "tin pewter zinc silver gold nickel",
}  # fmt: skip
_FAMILY: Final = {
    word: family for family, words in _FAMILIES.items() for word in words.split()
}
_MAIN_METAL: Final = {
    "steel": "iron", "brass": "copper", "bronze": "copper", "gunmetal": "copper",
    "latten": "copper", "pewter": "tin", "aluminum": "aluminium",
}  # fmt: skip
_SAME_KIND: Final = {"ply": "plywood", "ceramics": "ceramic", "papier": "paper"}
_GENERIC: Final = frozenset(_FAMILIES) | {"hardwood", "cloth", "ceramics"}
_COATS: Final = re.compile(r"\w+[- ](?:coated|plated|clad|faced|washed)\b")


class Alike(StrEnum):
    """What two names of materials say of each other."""

    SAME = "same material"
    POSSIBLE = "may be one material"  # one of the names is general, or an alloy's base
    DIFFERENT = "different kinds of one family"
    CLASH = "different materials"
    UNKNOWN = "cannot be compared"


def alike(one: str | None, other: str | None) -> Alike:
    """Compare two materials by their names.

    An alloy is taken by the metal named first, which is its main one by custom; coatings
    (zinc-coated, gold-plated) are left aside.
    """
    first, second = _kinds(one), _kinds(other)
    if not first or not second:
        return Alike.UNKNOWN
    families = {_FAMILY[kind] for kind in first}, {_FAMILY[kind] for kind in second}
    if not families[0] & families[1]:
        return Alike.CLASH
    if families == ({"metal"}, {"metal"}):
        return _metals(first, second)
    if set(first) & set(second):
        return Alike.SAME
    if (set(first) | set(second)) & _GENERIC:
        return Alike.POSSIBLE
    return Alike.DIFFERENT


def _kinds(text: str | None) -> list[str]:
    """Words of a text that name a material known here, in order."""
    bare = _COATS.sub(" ", (text or "").casefold())
    words = [_SAME_KIND.get(word, word) for word in re.findall(r"[^\W\d_]+", bare)]
    return [word for word in words if word in _FAMILY]


def _metals(first: list[str], second: list[str]) -> Alike:
    one, other = first[0], second[0]
    if "metal" in (one, other):
        return Alike.POSSIBLE
    if one == other:
        return Alike.SAME
    same_base = _MAIN_METAL.get(one, one) == _MAIN_METAL.get(other, other)
    return Alike.POSSIBLE if same_base else Alike.CLASH
