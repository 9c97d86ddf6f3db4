"""What pages are made of: tables, claims, cautions, verdict signs, links, downloads.

Everything that somebody recorded goes through `html.escape` or `plain` before it meets a
page: a script in a note is shown as its text.
"""

import html
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING
from urllib.parse import quote, urlencode

import streamlit as st

from vestige.graph.intake import csv_table

from .. import language
from ..drawing.palette import GRADES, VerdictClass, verdict_class
from . import words

if TYPE_CHECKING:
    from vestige.graph.answer.answer import Said, Thing, Warned
    from vestige.graph.answer.whereabouts import LastSeen, Stay
    from vestige.graph.problem import Problem

CARRIED = ("known", "view", "large", "lang")
"""What a link takes along: the day as known and how the pages are set out."""
_NO_KIND = "not recorded"
"""Kind of a thing that answers name and no record is of."""
_SAID = re.compile(r'<(data value|time datetime)="([^"]*)">.*?</(?:data|time)>')
_MARKS = re.compile(r"([\\`*_{}\[\]()#+\-.!~|<>$:&@])")


class Html(str):
    """Text that is HTML already, made here from escaped parts."""

    __slots__ = ()


def plain(text: object) -> str:
    """A text as Markdown that shows it letter by letter.

    >>> plain("*a*")
    '\\\\*a\\\\*'
    """
    return _MARKS.sub(r"\\\1", " ".join(str(text).split()))


def esc(text: object) -> str:
    """A text as HTML that shows it letter by letter; what is HTML already stays."""
    return text if isinstance(text, Html) else html.escape(str(text), quote=True)


def own(text: object) -> Html:
    """A text in whatever script, as HTML; one that runs from right to left is set apart,
    so that it does not turn the signs and numbers beside it (Unicode UAX 9, isolates)."""
    written = esc(text)
    apart = not isinstance(text, Html) and language.runs_left(written)
    return Html(f"<bdi>{written}</bdi>" if apart else written)


def address(page: str, **query: str) -> str:
    """Address of a page with what it is asked, and what every link takes along."""
    taken = {name: st.query_params[name] for name in CARRIED if name in st.query_params}
    every = {**taken, **{name: value for name, value in query.items() if value}}
    return f"{page}?{urlencode(every, quote_via=quote)}" if every else page or "./"


def link(text: object, page: str, **query: str) -> Html:
    """A link to a page."""
    return Html(f'<a href="{esc(address(page, **query))}" target="_self">{own(text)}</a>')


def to(one: "Thing", text: str | None = None) -> Html:
    """A link to whatever page tells most of a thing."""
    shown = text or one.label
    if one.kind in ("role", _NO_KIND):
        return Html(esc(shown))
    if one.kind == "object":
        return link(shown, "object", o=one.number)
    if one.kind == "element":
        return link(shown, "element", e=one.number)
    if one.kind in ("container", "place"):
        return link(shown, "kept", shelf=one.number)
    if one.kind in ("part", "sample", "fragment"):
        return link(shown, "kept", item=one.number)
    return link(shown, "record", id=one.key)


def word(text: str) -> Html:
    """A fixed word of the trade in the reader's language; a saved table has its English."""
    return _told(text, language.word(text), "data value")


def date(text: object) -> Html:
    """A date in EDTF in the reader's language; a saved table has the EDTF."""
    return _told(str(text), language.date(str(text)), "time datetime")


def _told(text: str, told: str, element: str) -> Html:
    if told == text:
        return Html(esc(text))
    return Html(f'<{element}="{esc(text)}">{esc(told)}</{element.split(maxsplit=1)[0]}>')


def raw(body: str) -> None:
    """Put HTML that was made here onto the page; nothing where there is none."""
    if body:
        st.html(body)


def line(text: object, kind: str = "p") -> None:
    """One paragraph."""
    raw(f'<p class="vt-{kind}">{own(text)}</p>')


def head(text: str, level: int = 2) -> None:
    """A heading."""
    raw(f"<h{level}>{own(text)}</h{level}>")


def title(text: str, under: str = "") -> None:
    """The heading of a page, and a line under it."""
    raw(f"<h1>{own(text)}</h1>")
    if under:
        line(under, "note")


def table(
    heads: Sequence[str], rows: Iterable[Sequence[object]], caption: str, most: int = 200
) -> None:
    """A real table; beyond *most* rows it says how many are not shown."""
    every = [list(row) for row in rows]
    top = "".join(f'<th scope="col">{esc(one)}</th>' for one in heads)
    body = "".join(
        "<tr>" + "".join(f"<td>{own(cell)}</td>" for cell in row) + "</tr>"
        for row in every[:most]
    )
    raw(
        f'<div class="vt-scroll" tabindex="0" role="region" aria-label="{esc(caption)}">'
        f'<table class="vt"><caption>{esc(caption)}</caption><thead><tr>{top}</tr></thead>'
        f"<tbody>{body}</tbody></table></div>"
    )
    if len(every) > most:
        line(words.MORE_ROWS.format(shown=most, all=len(every)), "note")


def facts(pairs: Iterable[tuple[str, object]]) -> None:
    """Two columns: what, and what is recorded of it."""
    body = "".join(
        f'<tr><th scope="row">{esc(what)}</th><td>{own(said)}</td></tr>'
        for what, said in pairs
    )
    raw(f'<table class="vt"><tbody>{body}</tbody></table>')


def chip(one: VerdictClass) -> Html:
    """The signs of a class of verdict, beside which its words must stand."""
    return Html(
        f'<span class="vt-chip v-{one.key}"><i aria-hidden="true"></i>'
        f'<b aria-hidden="true">{one.letter}</b></span>'
    )


def verdict(text: str) -> Html:
    """Signs and words of a verdict; words alone where it is of no class that has signs."""
    try:
        signs: str = chip(verdict_class(text))
    except ValueError:
        signs = ""
    return Html(signs + verdict_words(text))


def verdict_words(text: str) -> Html:
    """Words of a verdict, or of its rival, without its signs."""
    return _told(text, language.verdict(text), "data value")


def grade(firmness: str) -> Html:
    """Filled dots out of three, and the word."""
    one = GRADES.get(firmness)
    dots = one.dots if one else 0
    signs = "●" * dots + "○" * (3 - dots)
    return Html(f'<span class="vt-dots" aria-hidden="true">{signs}</span> {word(firmness)}')


def cautions(found: "Sequence[Warned]") -> None:
    """Hazards and restrictions, before anything else on a page."""
    boxes = [_caution(one) for one in found]
    if boxes:
        raw(f'<section aria-label="{words.CAUTIONS}">{"".join(boxes)}</section>')


def _caution(one: "Warned") -> str:
    known = f" ({language.word(one.known)})" if one.known else ""
    barred = ", ".join(map(language.word, one.forbids))
    forbids = f"; {words.NOT_WITHOUT} {barred}" if barred else ""
    ask = f"; {words.ASK} {one.ask}" if one.ask else ""
    basis = f"; {words.BASIS}: {one.basis}" if one.basis else ""
    how = (
        ""
        if one.how == "recorded of it"
        else f" [{language.word(one.how)}: {one.via.number}]"
    )
    sort = "r" if one.sort == "restriction" else "h"
    said = f"{one.what}{known}{forbids}{ask}{basis}{how}"
    return (
        f'<div class="vt-caution {sort}"><b>{esc(language.word(one.sort).upper())}</b> '
        f"{esc(said)}</div>"
    )


def claims(found: "Iterable[Said]", weights: Mapping[str, str] | None = None) -> None:
    """Claims, each with its strength and its source, which can be opened."""
    raw("".join(claim(one, (weights or {}).get(one.key, "")) for one in found))


def claim(one: "Said", weight: str = "", *, recorded: bool = True) -> Html:
    """A claim with its strength, source and rival; one not *recorded* has no page yet."""
    source: str = to(one.source) if one.source else f"{words.SOURCE} {words.NONE}"
    if one.origin:
        copied = ", ".join(to(each, each.number) for each in one.origin)
        source = Html(f"{source}, {words.COPY_OF} {copied}")
    parts = [
        word(one.strength),
        source,
        *([own(one.by)] if one.by else []),
        *([date(one.when)] if one.when else []),
        *([esc(weight)] if weight else []),
    ]
    number = link(one.number, "record", id=one.key) if recorded else esc(one.number)
    rival = f"<br>{words.RIVAL}: {own(one.rival)}" if one.rival else ""
    note = f"<br>{own(one.note)}" if one.note and one.note not in one.text else ""
    side = " against" if one.stance == "against" else ""
    return Html(
        f'<div class="vt-claim{side}">{number} {own(language.claim(one.text))}'
        f'<div class="s">{" · ".join(parts)}{rival}{note}</div></div>'
    )


def place(stays: "Sequence[Stay]") -> Html:
    """The way from a thing outwards, each holder a link."""
    if not stays:
        return Html(words.NONE)
    parts = []
    for stay in stays:
        since = f" ({words.SINCE} {date(stay.since)})" if stay.since else ""
        parts.append(to(stay.holder, stay.holder.number) + since)
    return Html(" › ".join(parts))


def seen(look: "LastSeen | None") -> Html:
    """When, where and by whom a thing was seen."""
    if look is None:
        return Html(words.NONE)
    where = f" {words.IN} {to(look.where, look.where.number)}" if look.where else ""
    by = f" {words.BY} {esc(look.by)}" if look.by else ""
    indirect = "" if look.direct else f" ({words.HOLDER_SEEN})"
    return Html(f"{date(look.when)}{where}{by}{indirect}")


def problems(found: "Iterable[Problem]") -> None:
    """Everything that is wrong or doubtful with what was to be recorded."""
    for one in found:
        show = st.error if one.weight == "error" else st.warning
        show(plain(f"{one.wrong} {one.right}"))


def save_csv(
    name: str, heads: Sequence[str], rows: Iterable[Sequence[object]], key: str
) -> None:
    """A button that saves a table as CSV, harmless to spreadsheets."""
    cells = [[bare(cell) for cell in row] for row in rows]
    st.download_button(
        words.SAVE_TABLE,
        csv_table(heads, cells),
        file_name(name, "csv"),
        "text/csv",
        key=key,
        on_click="ignore",
    )


def bare(cell: object) -> str:
    """The text of a cell without its marks."""
    if isinstance(cell, Html):
        keyed = _SAID.sub(r"\2", cell)
        unmarked = re.sub(r'<(i|b|span class="vt-dots") aria-hidden.*?</\1>', "", keyed)
        return html.unescape(re.sub(r"<[^>]*>", "", unmarked)).strip()
    return str(cell)


def file_name(text: str, ending: str) -> str:
    """A name that is a file name on every system and climbs nowhere.

    >>> file_name("../../M1/bay 2", "csv")
    'M1-bay-2.csv'
    """
    kept = re.sub(r"[^\w.]+", "-", text).strip("-._") or "vestige"
    return f"{re.sub(r'[.][.]+', '.', kept)[:80]}.{ending}"
