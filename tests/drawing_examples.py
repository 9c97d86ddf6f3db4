"""Invented records of one painted screen with four leaves, for tests of drawings."""

from __future__ import annotations

from dataclasses import replace

from vestige.ui.drawing import (
    ArrangementData,
    ArrangementPiece,
    ArrangementPlace,
    ArrangementState,
    CustodyData,
    CustodyGap,
    CustodyPlace,
    CustodySighting,
    CustodyStay,
    SameEvent,
    SequenceData,
    SequenceItem,
    SequenceLoop,
    SequencePhase,
    SequenceRelation,
    VerdictData,
    VerdictGroup,
    VerdictPart,
    WindowBar,
    WindowData,
)

_PHASES = (
    SequencePhase("P1", "P1 making", "about 1770 to about 1790"),
    SequencePhase("P2", "P2 second hanging", "not recorded"),
    SequencePhase("P3", "P3 refurbishing in the family's house"),
    SequencePhase("P4", "P4 family use to the gift", "to 1931"),
    SequencePhase("P5", "P5 museum workshop", "1958"),
    SequencePhase("P6", "P6 conservation", "2019 to 2021"),
)


def _items() -> tuple[SequenceItem, ...]:
    rows = (
        ("canvas", "SCR-05 canvas A", "element", "P1", "", ""),
        ("ground", "SCR-09a ground and landscape paint", "layer", "P1", "", ""),
        ("h1", "SCR-11 H1 mortises and ghosts", "feature", "P1", "", ""),
        ("b1", "SCR-18 backing paper B1", "layer", "P1", "", ""),
        ("v1", "SCR-21 varnish V1", "layer", "P1", "", ""),
        ("dirt", "dirt on V1", "layer", "", "", "open between P1 and P2"),
        ("f1", "SCR-25 fills F1", "layer", "P2", "", ""),
        ("h2", "SCR-13 H2 mortises", "feature", "P2", "after 1846, before 1911-08", ""),
        ("op1", "SCR-23 overpaint OP1 on sky and hill", "layer", "P2", "", ""),
        ("news", "SCR-20 newspaper scrap", "element", "P3", "1897-05 or later", ""),
        ("v2", "SCR-22 varnish V2", "layer", "P3", "", ""),
        ("b2", "SCR-19 backing paper B2", "layer", "P3", "1897-05 or later", ""),
        ("tide", "SCR-30 tidemark", "feature", "P4", "1924", ""),
        ("gift", "gift to the museum", "happening", "P4", "1931-11-02", ""),
        ("off", "H2 hinges taken off", "happening", "P5", "1958", ""),
        ("h3", "SCR-14 hinge set H3", "element", "P5", "1958", ""),
        ("back", "leaves put back in another order", "happening", "P5", "1958-04", ""),
        ("op2", "SCR-24 overpaint OP2", "layer", "P5", "1958", ""),
        ("f2", "SCR-25 fills F2", "layer", "P5", "1958", ""),
        ("h4", "SCR-15 hinge set H4", "element", "P6", "2021", ""),
        ("tone", "SCR-29 toning over cut ends of OP1", "layer", "P6", "2021", ""),
        ("tape", "SCR-17 tape edge E2", "element", "P5", "1958", ""),
        ("foot", "SCR-26 beech foot block, D left", "element", "", "", ""),
    )
    return tuple(SequenceItem(*row) for row in rows)


def screen_sequence() -> SequenceData:
    """The order of the screen's layers and happenings, one contradiction among them."""
    over = (
        ("ground", "canvas", "lies over", ("SV10",)),
        ("h1", "canvas", "cuts the frame of", ("SV1",)),
        ("v1", "ground", "lies over", ("SV10", "SV12")),
        ("dirt", "v1", "lies over", ("SV10",)),
        ("f1", "dirt", "lies over", ("SV10",)),
        ("op1", "f1", "lies over", ("SV10",)),
        ("op1", "h2", "runs over the edges joined by", ("SV6", "SV2", "SV3")),
        ("h2", "h1", "cuts", ("SV2", "SV3")),
        ("v2", "op1", "lies over", ("SV10",)),
        ("news", "b1", "lies over", ("SV17",)),
        ("b2", "news", "covers", ("SV17",)),
        ("tide", "v2", "lies on", ("SV16",)),
        ("tide", "b2", "lies on", ("SV16",)),
        ("off", "tide", "is later than", ("SV20",)),
        ("op2", "f2", "lies over", ("SV12",)),
        ("f2", "v2", "fills a loss through", ("SV12",)),
        ("h4", "h3", "replaces", ("D-2021-02",)),
        ("tone", "op1", "lies over", ()),
    )
    loop = SequenceLoop(
        (
            SequenceRelation("back", "h3", "is later than", ("SV21",)),
            SequenceRelation("h3", "back", "found the leaves as left by", ("SV20", "SV22")),
        )
    )
    return SequenceData(
        "Screen FEN.1931.44: order of layers and happenings (invented)",
        _items(),
        (
            *(SequenceRelation(*row) for row in over),
            SequenceRelation("h3", "off", "replaces", ("SV20",)),
        ),
        _PHASES,
        (loop,),
        (SameEvent("op2", "off", "same campaign as", ("SV13",)),),
        left_out=9,
    )


def screen_verdicts() -> VerdictData:
    """What is held about the screen's parts; every class of verdict and status is there."""
    rows = (
        ("SCR-09", "SCR-09a–d ground and landscape paint", "original, in place", 3, ""),
        ("SCR-21", "SCR-21 varnish V1, residues", "original, in place", 2, ""),
        ("SCR-22", "SCR-22 varnish V2", "added in P3 refurbishing", 2, ""),
        ("SCR-23", "SCR-23 overpaint OP1", "later, open between P2 and P3", 3, ""),
        ("SCR-01", "SCR-01 frame A", "original, in place", 3, "A"),
        ("SCR-05", "SCR-05 linen canvas A", "original, in place", 3, "A"),
        ("SCR-16", "SCR-16 gilt-leather edge strip E1", "open between P1 and P2", 1, "A"),
        ("SCR-02", "SCR-02 frame B", "original, moved or put back", 3, "B"),
        ("SCR-28", "SCR-28 insect channel, B right into C left", "unexamined", 0, "B"),
        ("SCR-03", "SCR-03 frame C", "original, moved or put back", 3, "C"),
        (
            "SCR-27",
            "SCR-27 chisel-cut numeral III",
            "older material, used from the start",
            1,
            "C",
        ),
        ("SCR-04", "SCR-04 frame D", "original, in place", 2, "D"),
        ("SCR-26", "SCR-26 foot block, beech, D left", "open", 1, "D"),
        ("SCR-31", "SCR-31 patch cut from an older screen", _OLD, 2, "D"),
    )
    grades = ("unexamined", "possible", "probable", "established")
    more = {
        "SCR-23": {"rival": "added in P2 second hanging"},
        "SCR-26": {"rival": "original, in place", "place": "D, left foot"},
        "SCR-16": {"caution": "lead-based gilding suspected, not tested"},
    }
    parts = [
        VerdictPart(key, label, verdict, grades[dots], group, **more.get(key, {}))
        for key, label, verdict, dots, group in rows
    ]
    hinges = (
        (
            "SCR-10x",
            "SCR-10x broken leaf of hinge set H1",
            "original, in place",
            "removed and kept",
        ),
        ("SCR-12a", "SCR-12 hinge set H2, four hinges", "added in P2", "removed and kept"),
        (
            "SCR-12b",
            "SCR-12 hinge set H2, two hinges",
            "added in P2",
            "whereabouts not recorded",
        ),
        (
            "SCR-14",
            "SCR-14 hinge set H3",
            "added in P5 museum workshop",
            "removed and kept",
        ),
        ("SCR-15", "SCR-15 hinge set H4", "added in P6 conservation", "in place"),
        (
            "SCR-32",
            "SCR-32 screws of an earlier refixing",
            "added in P4",
            "removal not documented",
        ),
        ("SCR-33", "SCR-33 swabs from the mortises", "added in P5", "discarded"),
        ("SCR-34", "SCR-34 textile of E1", "original, in place", "consumed"),
        ("SCR-35", "SCR-35 pin of H2", "added in P2", "moved on the object"),
        ("SCR-36", "SCR-36 escutcheon", "added in P4", "transferred"),
    )
    places = {"SCR-10x": "BG-014-3 in BX-014", "SCR-12a": "TIN-1 in drawer DR-07"}
    parts += [
        VerdictPart(k, label, verdict, "probable", "H", status, places.get(k, ""))
        for k, label, verdict, status in hinges
    ]
    groups = [VerdictGroup(x, f"Leaf {x}") for x in "ABCD"]
    return VerdictData(
        "Screen FEN.1931.44: what on it is original (invented)",
        tuple(parts),
        (*groups, VerdictGroup("H", "Hinges and what was taken off with them")),
        "as it stands now, as known on 2024-03-01",
    )


_OLD = "old material brought in later"


def hinge_custody() -> CustodyData:
    """Where hinge set H3 and a bag of fills were, with a gap, a search and a loss."""
    day = 1 / 365
    return CustodyData(
        "Where BG-014-4, fills F2, has been (invented)",
        (
            CustodyPlace("SCR", "on the screen"),
            CustodyPlace("LAB", "LAB, laboratory"),
            CustodyPlace("ST1", "ST1/A2, store, in BX-014"),
            CustodyPlace("M1", "MILL/M1/bay 1/shelf 2, in BX-014"),
        ),
        (
            CustodyStay(
                "E-F2", "SCR", "1958 to 2020", (1958.0, 1958.99), (2020.1, 2020.15)
            ),
            CustodyStay(
                "M-1",
                "LAB",
                "2020-02-11 to 2021-06-30",
                (2020.11, 2020.11),
                (2021.49, 2021.49),
            ),
            CustodyStay("M-2", "ST1", "from 2021-06-30", (2021.49, 2021.49), None),
            CustodyStay(
                "M-3",
                "M1",
                "listed 2022-04-12",
                (2022.28, 2022.28),
                (2023.13, 2023.14),
                inferred=True,
            ),
        ),
        (CustodyGap(2023.14, 2024.2, "2023-02-20 to today, 1 year"),),
        (
            CustodySighting(
                "S-1", "ST1", 2021.49 + day, "last seen 2021-06-30", named=True
            ),
            CustodySighting("S-2", "ST1", 2022.24, "on the list of 2022-03-28", "inferred"),
            CustodySighting(
                "S-3", "M1", 2023.13, "audit 2023-02-20, absent", "not seen", named=True
            ),
        ),
        2024.2,
    )


def screen_windows() -> WindowData:
    """Dates of the screen's happenings and elements, with every kind of end."""
    return WindowData(
        "Screen FEN.1931.44: when things happened (invented)",
        (
            WindowBar(
                "P1", "making", "about 1770 to about 1790", 1770, 1791, "about", "about"
            ),
            WindowBar(
                "H2",
                "SCR-12 hinge set H2 fitted",
                "not before 1846, by August 1911",
                1846,
                1911.6,
            ),
            WindowBar(
                "OP1",
                "SCR-23 overpaint OP1",
                "not before about 1845, no later limit recorded",
                1845,
                None,
                "about",
                "not recorded",
            ),
            WindowBar(
                "B2",
                "SCR-19 backing paper B2",
                "May 1897 or later, before the flood",
                1897.3,
                1925,
            ),
            WindowBar("FL", "flood", "1924 (unsure)", 1924, 1925, unsure=True),
            WindowBar(
                "FU",
                "family use to the gift",
                "to 1931-11-02, beginning not recorded",
                None,
                1931.8,
                "not recorded",
                lasting=True,
            ),
            WindowBar(
                "H3",
                "SCR-14 hinge set H3",
                "1958-03 to 2020-02-18",
                1958.2,
                2020.13,
                lasting=True,
            ),
            WindowBar(
                "FO",
                "SCR-26 beech foot block, D left",
                "not recorded",
                None,
                None,
                "not recorded",
                "not recorded",
            ),
            WindowBar(
                "KE",
                "removed parts kept, then review",
                "from 2021, no limit",
                2021,
                None,
                "firm",
                "open",
                lasting=True,
            ),
        ),
    )


def screen_arrangements() -> ArrangementData:
    """The four leaves in their order at each stage; leaf letters are identities."""
    pieces = (
        ArrangementPiece("SCR-01", "A", "river bend"),
        ArrangementPiece("SCR-02", "B", "mill"),
        ArrangementPiece("SCR-03", "C", "bridge"),
        ArrangementPiece("SCR-04", "D", "tower"),
    )
    key = {p.letter: p.key for p in pieces}

    def row(letters: str, **notes: str) -> tuple[ArrangementPlace, ...]:
        return tuple(ArrangementPlace(key.get(x, ""), notes.get(x, "")) for x in letters)

    def state(named: str, letters: str, known: str, joint: str = "") -> ArrangementState:
        name, label, when = named.split("; ")
        strength, *basis = known.split()
        joints = (joint,) * 3 if joint else ()
        places = row(letters)
        return ArrangementState(name, label, when, places, strength, tuple(basis), joints)

    told = state("AR-2b; Second hanging, as remembered; told in 2019", "ACDB", "weak SV19")
    during = state("AR-4; During treatment; 2020", "A B ", "recorded T-2019-07")
    turned = row("A B ", B="turned to the back")
    first = "AR-1; First hanging; about 1770 to about 1790"
    return ArrangementData(
        "Screen FEN.1931.44: order of the leaves (invented)",
        pieces,
        (
            state(first, "ABCD", "strong SV1 SV3 SV5", "hinges H1"),
            state(
                "AR-2; Second hanging; between 1846 and 1911",
                "ACBD",
                "strong SV2 SV6 SV15",
                "hinges H2",
            ),
            replace(told, rival=True),
            state("AR-3; Museum workshop; 1958", "ACBD", "strong SV20 SV22", "hinges H3"),
            replace(during, places=turned, away=(key["C"], key["D"])),
            state("AR-5; Displayed; from 2021", "ABCD", "recorded D-2021-02", "hinges H4"),
        ),
    )
