"""The picture of `bench/marks.py`: shares recovered against number of marks, as SVG.

Black lines told apart by their dashes, so that a grey print reads the same; the figures
stand in the description too.
"""

from collections.abc import Sequence

Spoilt = tuple[float, float]
Curves = dict[str, dict[Spoilt, list[tuple[int, float]]]]
"""By method or scatter, by share missing and spurious: number of marks, share recovered."""

DASHES = ("", "9 4", "2 4", "9 3 2 3", "1 7")
WIDE, HIGH, GAP, LEFT = 160, 150, 44, 56


def picture(rows: Sequence[tuple[str, Curves]]) -> str:
    """Return one row of panels for each set of curves, with its heading and key."""
    most = max(len(_shares(curves)) for _, curves in rows)
    width, each = LEFT + most * (WIDE + GAP), HIGH + 138
    words = " ".join(f"{heading}: {_words(curves)}." for heading, curves in rows)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}"'
        f' height="{len(rows) * each + 10}" font-family="sans-serif" font-size="12"'
        ' role="img"><title>Share of placements recovered against number of marks</title>'
        f'<desc>{words}</desc><rect width="100%" height="100%" fill="#fff"/>',
    ]
    for k, (heading, curves) in enumerate(rows):
        parts.append(f'<g transform="translate({LEFT} {k * each + 22})">')
        parts.append(f'<text font-weight="700" font-size="14">{heading}</text>')
        parts += [
            _panel(curves, spoilt, at * (WIDE + GAP))
            for at, spoilt in enumerate(_shares(curves))
        ]
        parts += [_key(at, name) for at, name in enumerate(curves)]
        parts.append("</g>")
    return "\n".join([*parts, "</svg>\n"])


def _shares(curves: Curves) -> list[Spoilt]:
    return sorted({spoilt for by in curves.values() for spoilt in by})


def _panel(curves: Curves, spoilt: Spoilt, x0: float) -> str:
    counts = sorted({n for by in curves.values() for line in by.values() for n, _ in line})
    at = {n: k * WIDE / max(len(counts) - 1, 1) for k, n in enumerate(counts)}
    parts = [f'<g transform="translate({x0} 38)">']
    parts.append(f'<text y="-10">{spoilt[0]:.0%} missing, {spoilt[1]:.0%} spurious</text>')
    for tick in (0.0, 0.5, 1.0):
        y = HIGH * (1 - tick)
        parts.append(f'<path d="M0 {y:g}H{WIDE}" stroke="#bbb" fill="none"/>')
        parts.append(f'<text x="-6" y="{y + 4:g}" text-anchor="end">{tick:g}</text>')
    parts += [
        f'<text x="{at[n]:.1f}" y="{HIGH + 18}" text-anchor="middle">{n}</text>'
        for n in counts
    ]
    for name, by in zip(range(len(curves)), curves.values(), strict=True):
        path = " ".join(f"{at[n]:.1f},{HIGH * (1 - s):.1f}" for n, s in by[spoilt])
        parts.append(
            f'<polyline points="{path}" fill="none" stroke="#000" stroke-width="1.8"'
            f' stroke-dasharray="{DASHES[name % len(DASHES)]}"/>'
        )
    return "".join([*parts, "</g>"])


def _key(at: int, name: str) -> str:
    x, y = 170 * at, HIGH + 98
    note = (
        f'<text y="{y - 24}">marks on each face; upwards the share recovered</text>'
        if at == 0
        else ""
    )
    return (
        f'{note}<path d="M{x} {y - 4}h34" stroke="#000" stroke-width="1.8" fill="none"'
        f' stroke-dasharray="{DASHES[at % len(DASHES)]}"/>'
        f'<text x="{x + 42}" y="{y}">{name}</text>'
    )


def _words(curves: Curves) -> str:
    return "; ".join(
        f"{name}, {spoilt[0]:.0%} missing and {spoilt[1]:.0%} spurious: "
        + ", ".join(f"{n} marks {share:.2f}" for n, share in line)
        for name, by in curves.items()
        for spoilt, line in by.items()
    )
