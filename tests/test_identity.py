"""Keys, codes on labels, and how museum numbers are compared."""

import threading
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_37_2, mod_37_36

from vestige.graph.errors import BadValue
from vestige.graph.record import (
    KeyMaker,
    fold_number,
    label_code,
    new_key,
    read_label_code,
)

CROCKFORD = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
ISO_7064 = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*"

moments = st.integers(0, 2**50 - 1)
entropies = st.binary(min_size=7, max_size=7)
keys = st.builds(new_key, moments, entropies)


@given(moments, entropies)
def test_a_key_is_twenty_plain_characters(at_ms: int, entropy: bytes) -> None:
    key = new_key(at_ms, entropy)
    assert len(key) == 20
    assert set(key) <= set(CROCKFORD)
    assert key == new_key(at_ms, entropy)


@given(moments, entropies)
def test_the_time_can_be_read_from_a_key(at_ms: int, entropy: bytes) -> None:
    # Crockford's base 32 letters as the standard library's base 32 digits.
    to_digits = str.maketrans(CROCKFORD, "0123456789ABCDEFGHIJKLMNOPQRSTUV")
    assert int(new_key(at_ms, entropy)[:10].translate(to_digits), 32) == at_ms


@given(moments, moments, entropies, entropies)
def test_keys_sort_by_time(one: int, other: int, first: bytes, second: bytes) -> None:
    if one != other:
        assert (new_key(one, first) < new_key(other, second)) == (one < other)


@pytest.mark.parametrize(
    ("at_ms", "entropy"), [(-1, b"1234567"), (2**50, b"1234567"), (1, b"")]
)
def test_a_wrong_call_is_refused(at_ms: int, entropy: bytes) -> None:
    with pytest.raises(ValueError, match=r"does not fit|are needed"):
        new_key(at_ms, entropy)


def test_the_same_seed_makes_the_same_keys() -> None:
    one, other, third = KeyMaker(seed=1), KeyMaker(seed=1), KeyMaker(seed=2)
    made = [one.new() for _ in range(50)]
    assert made == [other.new() for _ in range(50)]
    assert not set(made) & {third.new() for _ in range(50)}


def test_keys_go_up_when_the_clock_stands_or_falls_back() -> None:
    for ticks in ([5] * 400, list(range(400, 0, -1))):
        maker = KeyMaker(seed=3, clock=iter(ticks).__next__)
        made = [maker.new() for _ in ticks]
        assert made == sorted(set(made))


def test_keys_go_up_past_the_end_of_a_millisecond() -> None:
    maker = KeyMaker(seed=3, clock=lambda: 5)
    maker._last = new_key(5, b"\xff" * 5 + b"\x00\x00")[:10] + "Z" * 10
    assert maker.new()[:10] == new_key(6, b"1234567")[:10]


def test_keys_of_the_machine_differ_between_threads() -> None:
    maker = KeyMaker()
    made: list[str] = []
    threads = [
        threading.Thread(target=lambda: made.extend(maker.new() for _ in range(200)))
        for _ in range(4)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(set(made)) == 800


def test_the_check_character_is_that_of_the_standard() -> None:
    # Donation number of ISBT 128, which uses ISO 7064 MOD 37-2: G1234 98 654321 has the
    # check character H (from memory; also in the documentation of python-stdnum).
    assert mod_37_2.calc_check_digit("G123498654321") == "H"
    # For MOD 37-36, not used here: A12425GABC1234002 has M (Global Release Identifier).
    assert mod_37_36.calc_check_digit("A12425GABC1234002") == "M"


@given(keys)
def test_the_check_sum_holds_by_the_definition_of_the_standard(key: str) -> None:
    # ISO 7064, pure systems: the sum of character values times 2^position is 1 mod 37.
    bare = label_code(key)[1:].replace("-", "")
    total = sum(ISO_7064.index(sign) << at for at, sign in enumerate(reversed(bare)))
    assert total % 37 == 1


@given(keys)
def test_a_code_is_read_back_to_its_key(key: str) -> None:
    code = label_code(key)
    assert len(code) == len("V-XXXXX-XXXXX-C")
    assert set(code[2:]) <= set(CROCKFORD + "-")
    assert key.endswith(read_label_code(code))


def test_a_code_is_read_however_it_is_typed() -> None:
    key = "0" * 10 + "01ABC01DEF"
    code = label_code(key)
    for typed in (code.lower(), code.replace("-", ""), code.replace("-", " – "),
                  f"  {code} ", code.replace("0", "O").replace("1", "l")):  # fmt: skip
        assert read_label_code(typed) == key[10:]


@given(keys)
def test_two_swapped_characters_are_found_wherever_they_stand(key: str) -> None:
    bare = label_code(key).replace("-", "")
    for one, other in combinations(range(1, len(bare)), 2):
        signs = list(bare)
        signs[one], signs[other] = signs[other], signs[one]
        if signs != list(bare):
            with pytest.raises(BadValue, match="two have changed places"):
                read_label_code("".join(signs))


@given(keys, st.integers(1, 11), st.sampled_from(CROCKFORD))
def test_one_wrong_character_is_found(key: str, at: int, sign: str) -> None:
    bare = label_code(key).replace("-", "")
    if bare[at] != sign:
        with pytest.raises(BadValue, match="one character is wrong"):
            read_label_code(bare[:at] + sign + bare[at + 1 :])


@pytest.mark.parametrize(
    ("body", "one", "other"), [("84G7ZWYRD6", 3, 5), ("QPJZFFHGKG", 6, 7)]
)
def test_the_other_system_would_miss_this_exchange(body: str, one: int, other: int) -> None:
    # Why MOD 37-2 was chosen over MOD 37-36.
    signs = list(body)
    signs[one], signs[other] = signs[other], signs[one]
    swapped = "".join(signs)
    assert swapped != body
    assert mod_37_36.calc_check_digit(swapped) == mod_37_36.calc_check_digit(body)
    assert mod_37_2.calc_check_digit(swapped) != mod_37_2.calc_check_digit(body)


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("", "it has 0 characters"),
        ("V-123", "write V, ten characters and a check character"),
        ("W-01ABC-01DEF-0", "begins with 'W'"),
        ("V-UUUUU-UUUUU-1", "no code bears U"),
        ("V-01AB?-01DEF-0", "no code bears ?"),
    ],
)
def test_what_is_no_code_is_refused(text: str, wrong: str) -> None:
    with pytest.raises(BadValue) as caught:
        read_label_code(text)
    assert wrong in str(caught.value)


def test_a_code_needs_a_key() -> None:
    with pytest.raises(BadValue, match="20 characters"):
        label_code("object-1")


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("A 12.3", " a  12.3 "),
        ("1998–12/4", "1998-12/4"),  # en dash
        ("1998—12", "1998‑12"),  # em dash, non-breaking hyphen
        ("1998−12", "1998-12"),  # minus sign
        ("INV\u00a07", "inv 7"),
        ("\ufeffA7", "A7"),
        ("É1", "E\u03011"),  # one letter, or a letter and an accent
        ("STRASSE 1", "straße 1"),  # Unicode case folding
    ],
)
def test_spellings_of_one_number(one: str, other: str) -> None:
    assert fold_number(one) == fold_number(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [("A.1", "A1"), ("007", "7"), ("1²", "12"), ("A 1", "A1"), ("1998-12", "199812")],
)
def test_different_numbers_stay_different(one: str, other: str) -> None:
    assert fold_number(one) != fold_number(other)


@given(st.text(max_size=20))
def test_folding_twice_changes_nothing(text: str) -> None:
    assert fold_number(fold_number(text)) == fold_number(text)
