"""Read a case file: YAML with a section for each sheet and a list of entries in each.

Every value is taken as the text that stands there, so ``1958``, ``yes`` and ``0417`` stay
what was written. Entries may leave keys out; what is left out says nothing, and a key with
nothing behind it empties the field. Anchors, aliases and tags are not used.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from ..problem import Place, Problem
from ..record import Record
from .cell import join_list, shorten
from .column import columns_of, fold_head, heads_of
from .head_row import about_name, kind_of_name, meant_field
from .paper import Cell, Paper, Row, SheetRows, checksum_of, unreadable

LARGEST_FILE: Final = 20_000_000
"""Bytes of a case file."""

DEEPEST: Final = 4
"""Levels: sections, entries, fields, values of a list."""

LAYOUT: Final = (
    "A case file has sections named like sheets, and under each a list of entries: "
    "'Elements:', then '- number: SCR-14' and so on."
)


@dataclass(frozen=True, slots=True)
class Text:
    """A value as it stands in the file; None for nothing."""

    text: str | None
    line: int


@dataclass(frozen=True, slots=True)
class Listing:
    """Values one below the other."""

    items: list["Node"]
    line: int


@dataclass(frozen=True, slots=True)
class Pairs:
    """Keys with their values, in order."""

    items: list[tuple[Text, "Node"]]
    line: int


Node = Text | Listing | Pairs


class Unread(Exception):
    """The file cannot be read on from a line."""

    def __init__(self, line: int, wrong: str, right: str) -> None:
        super().__init__(wrong)
        self.line, self.wrong, self.right = line, wrong, right


def read_case_file(path: Path) -> Paper:
    """Everything that a case file says; rows are numbered by its lines."""
    data = path.read_bytes()
    checksum = checksum_of(data)
    place = Place(path.name)
    if not data.strip() or len(data) > LARGEST_FILE:
        wrong = "The file is empty." if not data.strip() else "The file is far too large."
        return unreadable(path, "unreadable file", wrong, LAYOUT, checksum)
    try:
        sections = _sections(_tree(_decoded(data)))
    except Unread as found:
        place = Place(path.name, row=found.line)
        problem = Problem("unreadable file", found.wrong, found.right, place)
        return Paper(path.name, checksum, problems=(problem,))
    sheets: list[SheetRows] = []
    problems: list[Problem] = []
    for name, node in sections:
        kind = kind_of_name(name.text or "")
        if kind is None:
            problems.append(about_name(name.text or "", Place(path.name, row=name.line)))
            continue
        sheet, found_too = _sheet(name.text or "", kind, node, path.name)
        sheets.append(sheet)
        problems += found_too
    return Paper(path.name, checksum, tuple(sheets), tuple(problems))


def _decoded(data: bytes) -> str:
    try:
        return data.decode(
            "utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
        )
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise Unread(
            line, "The file is not UTF-8.", "Save it with the encoding UTF-8."
        ) from None


def _tree(text: str) -> Node:
    """The file as texts, lists and pairs.

    Raises:
        Unread: it is not YAML, or uses what a case file does not.
    """
    import yaml

    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    try:
        events: Iterator[Any] = iter(yaml.parse(text, Loader=loader))
        return _document(events)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        raise Unread(
            mark.line + 1 if mark else 0,
            f"The file is not laid out as YAML: {error.problem}.",
            "Look at indents, colons and quotation marks here and in the line before.",
        ) from None
    except (yaml.YAMLError, UnicodeError) as error:
        raise Unread(
            0, "The file holds signs that YAML does not allow.", shorten(str(error))
        ) from None


def _document(events: Iterator[Any]) -> Node:
    import yaml

    found: Node | None = None
    for event in events:
        if isinstance(
            event, (yaml.ScalarEvent, yaml.CollectionStartEvent, yaml.AliasEvent)
        ):
            if found is not None:
                wrong = "The file holds a second document."
                raise Unread(_line(event), wrong, "Remove the '---'.")
            found = _node(event, events, 0)
    if found is None:
        raise Unread(1, "The file says nothing.", LAYOUT)
    return found


def _line(event: Any) -> int:
    """Line of the file, from 1, on which an event begins."""
    return int(event.start_mark.line) + 1


def _node(event: Any, events: Iterator[Any], depth: int) -> Node:
    import yaml

    line = _line(event)
    if isinstance(event, yaml.AliasEvent) or event.anchor is not None:
        raise Unread(
            line,
            "The file uses an anchor or an alias (& or *).",
            "Write the value out, or put it between quotation marks if it begins so.",
        )
    if event.tag is not None and event.tag != "!":
        raise Unread(
            line,
            f"The file uses a tag ({event.tag}).",
            "Leave it out; values are read by their columns.",
        )
    if isinstance(event, yaml.ScalarEvent):
        return Text(_said(event), line)
    if depth == DEEPEST:
        raise Unread(line, "The file is nested too deeply.", LAYOUT)
    if isinstance(event, yaml.SequenceStartEvent):
        items = [_node(one, events, depth + 1) for one in _until_end(events)]
        return Listing(items, line)
    return Pairs(_pairs(events, depth), line)


def _until_end(events: Iterator[Any]) -> Iterator[Any]:
    import yaml

    for event in events:
        if isinstance(event, yaml.CollectionEndEvent):
            return
        yield event


def _pairs(events: Iterator[Any], depth: int) -> list[tuple[Text, Node]]:
    pairs: list[tuple[Text, Node]] = []
    first: dict[str, int] = {}
    for event in _until_end(events):
        key = _node(event, events, depth + 1)
        if not isinstance(key, Text):
            raise Unread(key.line, "A list or a group stands where a key belongs.", LAYOUT)
        name = fold_head(key.text or "")
        if name in first:
            raise Unread(
                key.line,
                f"'{key.text}' stands twice here; the first time in line {first[name]}.",
                "Keep one of them.",
            )
        first[name] = key.line
        pairs.append((key, _node(next(events), events, depth + 1)))
    return pairs


def _said(event: Any) -> str | None:
    """The text of a value; plain ``null`` or ``~`` is nothing."""
    text: str = event.value
    plain = event.style is None
    return None if not text.strip() or (plain and text in ("null", "~")) else text


def _sections(tree: Node) -> list[tuple[Text, Node]]:
    if isinstance(tree, Pairs):
        return tree.items
    raise Unread(tree.line, "The file has no sections.", LAYOUT)


def _sheet(
    name: str, kind: type[Record], node: Node, file: str
) -> tuple[SheetRows, list[Problem]]:
    problems: list[Problem] = []
    rows: list[Row] = []
    heads: dict[str, str] = {}
    entries = node.items if isinstance(node, Listing) else [node]
    for entry in entries:
        place = Place(file, name, entry.line)
        if isinstance(entry, Pairs):
            cells, found = _entry(entry, kind, heads, place)
            rows.append(Row(entry.line, cells))
            problems += found
        elif not isinstance(entry, Text) or entry.text is not None:
            wrong = "A value stands where an entry with keys belongs."
            problems.append(Problem("no entry", wrong, LAYOUT, place))
    return SheetRows(file, name, kind, heads, 0, tuple(rows)), problems


def _entry(
    entry: Pairs, kind: type[Record], heads: dict[str, str], place: Place
) -> tuple[dict[str, Cell | None], list[Problem]]:
    """The cells of one entry, and what was wrong with its keys."""
    cells: dict[str, Cell | None] = {}
    problems: list[Problem] = []
    for key, value in entry.items:
        written = key.text or ""
        at = Place(place.file, place.sheet, key.line, written)
        name = heads_of(kind).get(fold_head(written))
        if name is None:
            problems.append(_unknown(written, kind, at))
        elif name in cells:
            wrong = f"'{written}' and '{heads[name]}' are the same field."
            problems.append(Problem("column twice", wrong, "Keep one of them.", at))
        else:
            heads.setdefault(name, written)
            try:
                cells[name] = _cell(value, columns_of(kind)[name].many)
            except ValueError as error:
                cells[name] = None
                problems.append(Problem("bad list", str(error), "Write a text.", at))
    return cells, problems


def _unknown(written: str, kind: type[Record], place: Place) -> Problem:
    field = meant_field(written, kind)
    right = (
        f"Did you mean '{columns_of(kind)[field].head}'?"
        if field
        else "Known are: " + ", ".join(one.head for one in columns_of(kind).values()) + "."
    )
    return Problem("unknown column", f"The key '{written}' is not known.", right, place)


def _cell(value: Node, many: bool) -> str | None:
    if isinstance(value, Text):
        return value.text
    texts = [one.text for one in value.items if isinstance(one, Text) and one.text]
    if isinstance(value, Pairs) or len(texts) < len(value.items):
        raise ValueError("Further keys or lists stand where a value belongs.")
    if not many:
        raise ValueError("A list stands where one value belongs.")
    return join_list(tuple(texts))
