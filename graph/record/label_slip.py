"""What a mistyped label code may stand for, where two characters changed places."""

from collections.abc import Iterator
from itertools import combinations

from ..errors import BadValue
from .identity import read_label_code


def swaps_that_fit(text: str) -> Iterator[tuple[str, str, str]]:
    """Codes that fit when two characters of a typed code change places.

    MOD 37-2 (ISO 7064) finds every such exchange but cannot tell which it was; who asks
    must look up which of these codes a label really bears.

    Returns:
        The code as it is printed, and the two characters that changed places.
    """
    bare = "".join(sign for sign in text.upper() if sign.isalnum() or sign == "*")
    for one, other in combinations(range(1, len(bare) - 1), 2):
        if bare[one] == bare[other]:
            continue
        signs = list(bare)
        signs[one], signs[other] = signs[other], signs[one]
        try:
            tail = read_label_code("".join(signs))
        except BadValue:
            continue
        yield f"V-{tail[:5]}-{tail[5:]}-{bare[-1]}", bare[one], bare[other]


def looks_like_a_code(text: str) -> bool:
    """Whether a text was meant as the code of a label: V and eleven more characters."""
    bare = [sign for sign in text.upper() if sign.isalnum() or sign == "*"]
    return len(bare) == 12 and bare[0] == "V"
