"""The ledger: canonical text, seals, the chain, and the acts that may be recorded."""

import dataclasses
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vestige.graph.errors import BadValue, LedgerBroken, Refused
from vestige.graph.ledger import (
    GENESIS,
    LARGEST_BODY,
    Entry,
    Fault,
    Head,
    State,
    Withdraw,
    act_text,
    canonical,
    faults_of,
    follow,
    open_text,
    seal_batch,
    seal_of,
)

plain = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(st.characters(exclude_categories=["Cs"])),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.text("abä", max_size=2), inner, max_size=3)
    ),
    max_leaves=8,
)


def ledger(*sizes: int) -> list[Entry]:
    """Batches of so many acts."""
    head, entries = Head(), []
    for day, size in enumerate(sizes, start=1):
        acts = [open_text(f"batch {day}", {}, {})]
        acts += [act_text(State("note", f"N{day}-{i}", {"n": i})) for i in range(size)]
        entries += seal_batch(head, "registrar", day * 1000, acts)
        head = Head(entries[-1].seq, entries[-1].seal, entries[-1].at)
    return entries


# RFC 8785 (JSON Canonicalization Scheme), section 3.2.2 and 3.2.3: input and output.
RFC_INPUT = r"""{
  "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
  "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
  "literals": [null, true, false]
}"""
RFC_OUTPUT = (
    '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
    r'"string":"€$\u000f\nA' + r"'B\"\\\\\"/" + '"}'
)


def test_canonical_text_is_that_of_the_rfc_example() -> None:
    assert canonical(json.loads(RFC_INPUT)) == RFC_OUTPUT


@given(plain)
def test_canonical_text_is_read_and_written_again_alike(value: object) -> None:
    text = canonical(value)
    assert canonical(json.loads(text)) == text


@given(st.dictionaries(st.text("abcd", max_size=3), st.integers(), max_size=6))
def test_the_order_of_keys_does_not_matter(value: dict[str, int]) -> None:
    assert canonical(value) == canonical(dict(reversed(value.items())))


def test_an_accent_written_in_two_ways_is_one_text() -> None:
    # Unicode Standard Annex 15, figure 3: U+0041 U+030A and U+00C5 are one in NFC.
    assert canonical("A\u030a") == canonical("\u00c5") == '"\u00c5"'


@pytest.mark.parametrize(
    "value",
    [
        float("nan"),
        float("inf"),
        {1: "a"},
        {"a": {2}},
        {"A\u030a": 1, "\u00c5": 2},
        "\ud800",
        b"x",
    ],
)
def test_what_json_cannot_hold_is_refused(value: object) -> None:
    with pytest.raises(BadValue):
        canonical(value)


def test_a_body_nested_without_end_is_refused() -> None:
    value: list[object] = []
    value.append(value)
    with pytest.raises(BadValue, match="nested"):
        canonical(value)


def test_the_place_of_a_bad_value_is_named() -> None:
    with pytest.raises(BadValue, match=r"body\.size\[1\] is nan"):
        canonical({"size": [1, float("nan")]})


def test_the_seal_is_what_another_program_computes() -> None:
    # sha256sum (GNU coreutils) over 32 zero bytes and this line without its end:
    # 1|1|1700000000000|registrar|open|{"based_on":{},"batch":"b1","origin":{}}
    (entry,) = seal_batch(Head(), "registrar", 1_700_000_000_000, [open_text("b1", {}, {})])
    assert entry.body == '{"based_on":{},"batch":"b1","origin":{}}'
    assert entry.seal.hex() == (
        "2b1e048abab48c057ad2ef5d7394165fe65bb310b62ce16637591e2602eb0b07"
    )


def test_a_ledger_holds_and_ends_at_its_last_entry() -> None:
    entries = ledger(2, 1, 3)
    head, faults = faults_of(entries, {4: entries[3].seal})
    assert not faults
    assert head == Head(9, entries[-1].seal, 3000)
    assert list(follow(entries)) == entries
    assert [entry.batch for entry in entries] == [1, 1, 1, 4, 4, 6, 6, 6, 6]


def test_a_clock_that_runs_behind_does_not_turn_the_ledger_back() -> None:
    (entry,) = seal_batch(Head(7, GENESIS, 5000), "r", 3000, [open_text(None, {}, {})])
    assert entry.at == 5000


CHANGES = {
    "batch": 9,
    "at": 999_999,
    "by": "somebody",
    "act": "withdraw",
    "body": '{"n":7}',
    "seal": bytes(range(32)),
}


@given(st.integers(0, 8), st.sampled_from(sorted(CHANGES)))
def test_any_altered_field_is_found_at_its_entry(place: int, field: str) -> None:
    entries = ledger(2, 1, 3)
    change: dict[str, object] = {field: CHANGES[field]}
    entries[place] = dataclasses.replace(entries[place], **change)  # type: ignore[arg-type]
    _, faults = faults_of(entries, {})
    assert faults[0].seq == place + 1
    with pytest.raises(LedgerBroken) as broken:
        list(follow(entries))
    assert broken.value.number == place + 1


@given(st.integers(0, 7), st.integers(1, 3))
def test_a_missing_entry_is_found(place: int, many: int) -> None:
    entries = ledger(2, 1, 3)
    del entries[place : min(place + many, 8)]
    with pytest.raises(LedgerBroken) as broken:
        list(follow(entries))
    assert broken.value.number == place + 1


def test_two_entries_in_the_other_order_are_found() -> None:
    entries = ledger(2)
    entries[1], entries[2] = entries[2], entries[1]
    assert [fault.seq for fault in faults_of(entries, {})[1]][:1] == [3]


def test_a_ledger_sealed_anew_is_found_by_an_anchor_only() -> None:
    noted = ledger(2, 2)
    other = [noted[0]]
    for entry in noted[1:]:
        bare = dataclasses.replace(entry, body=entry.body.replace('"n":0', '"n":5'))
        other.append(dataclasses.replace(bare, seal=seal_of(other[-1].seal, bare)))
    assert faults_of(other, {})[1] == []
    assert faults_of(other, {6: noted[-1].seal})[1] == [
        Fault(6, "differs from the seal noted elsewhere")
    ]


def test_a_ledger_cut_short_is_found_by_an_anchor_only() -> None:
    entries = ledger(2, 2)
    assert faults_of(entries[:4], {})[1] == []
    assert faults_of(entries[:4], {6: entries[5].seal})[1] == [
        Fault(6, "was noted elsewhere and is gone")
    ]


def test_a_batch_cannot_be_continued_under_another_role() -> None:
    first = ledger(1)
    wrong = Entry(3, 1, 1000, "somebody", "state", first[1].body, b"")
    wrong = dataclasses.replace(wrong, seal=seal_of(first[-1].seal, wrong))
    assert faults_of([*first, wrong], {})[1] == [
        Fault(3, "does not belong to the batch that was open")
    ]


@pytest.mark.parametrize("by", ["", "  ", "a|b", "a\nb"])
def test_a_role_has_to_have_a_name(by: str) -> None:
    with pytest.raises(BadValue, match="role"):
        seal_batch(Head(), by, 0, [open_text(None, {}, {})])


def test_a_body_of_more_than_a_megabyte_is_refused() -> None:
    room = LARGEST_BODY - len(act_text(State("note", "N", {"text": ""}))[1])
    seal_batch(Head(), "r", 0, [act_text(State("note", "N", {"text": "x" * room}))])
    with pytest.raises(Refused, match="1,000,001"):
        seal_batch(
            Head(), "r", 0, [act_text(State("note", "N", {"text": "x" * (room + 1)}))]
        )


def test_a_correction_without_a_reason_is_refused() -> None:
    State("note", "N", {})
    State("note", "N", {}, replaces=4, reason="misread")
    for reason in ("", "  "):
        with pytest.raises(Refused, match="reason"):
            State("note", "N", {}, replaces=4, reason=reason)
        with pytest.raises(Refused, match="reason"):
            Withdraw("N", 4, reason)


@pytest.mark.parametrize("key", ["", " N", "N\n", "\x00", "a\x07b"])
def test_a_key_has_to_be_printable(key: str) -> None:
    with pytest.raises(BadValue, match="key"):
        State("note", key, {})


def test_an_unknown_act_is_refused() -> None:
    with pytest.raises(Refused, match="str is no act"):
        act_text("delete N")  # type: ignore[arg-type]
