"""Figures of the validation page: told apart by shape and by grey, so that they work without color."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np
from markupsafe import Markup

from groundref.reports.svg import WIDTH, circle, group, line, picture, polyline, rectangle, tag, text

INK: Final = "#1a1a1a"
FAINT: Final = "#b8b8b8"
ACCENT: Final = "#1f5f8b"


def _drawn(name: str, title: str, description: str, height: int, *children: str) -> str:
    """Return a picture on white, lettered so that it can be read on its own."""
    paper = rectangle(0, 0, WIDTH, height, fill="white")
    lettered = group(paper, *children, font_family="sans-serif", font_size="12", fill=INK)
    return str(picture(name, title, description, height, lettered)) + "\n"


def short(kind: str) -> str:
    """Return a kind in few letters."""
    return {
        "turns-around-a-point": "point",
        "s-turns": "s-turns",
        "rectangular-course": "rectangle",
        "eights-along-a-road": "8 along",
        "eights-across-a-road": "8 across",
        "eights-around-pylons": "8 around",
        "eights-on-pylons": "8 on pylons",
        "steep-turns": "steep",
    }.get(kind, kind)


def confusion_figure(count: Mapping[tuple[str, str], int], kinds: Sequence[str]) -> str:
    """Return which kind was found where which was flown, darker where it is a larger share of the row."""
    rows, left, top, size, high = [*kinds, "nothing"], 116.0, 70.0, 57.0, 34.0
    drawn = [text(left + 0.5 * size * len(rows), 18, "found", "middle", font_weight="bold")]
    drawn.append(text(8, top - 12, "flown", font_weight="bold"))
    for j, kind in enumerate(rows):
        drawn.append(text(left + (j + 0.5) * size, top - 12, short(kind), "middle", font_size="10.5"))
    for i, flown in enumerate(rows):
        whole = sum(count.get((flown, found), 0) for found in rows)
        y = top + i * high
        drawn.append(text(left - 8, y + 22, short(flown), "end"))
        for j, found in enumerate(rows):
            drawn += _cell(left + j * size, y, size, high, count.get((flown, found), 0), whole)
    told = "; ".join(f"{a} found as {b} {n}" for (a, b), n in sorted(count.items()))
    return _drawn(
        "confusion",
        "Which kind was found where which was flown",
        told,
        int(top + high * len(rows) + 12),
        *drawn,
    )


def _cell(x: float, y: float, wide: float, high: float, number: int, whole: int) -> list[Markup]:
    share = number / whole if whole else 0.0
    grey = int(255 - 205 * share**0.6)
    box = rectangle(x, y, x + wide, y + high, fill=f"rgb({grey},{grey},{grey})", stroke=FAINT)
    if not number:
        return [box]
    ink = "white" if grey < 130 else INK
    return [box, text(x + 0.5 * wide, y + 22, str(number), "middle", fill=ink)]


def coverage_figure(inside: Mapping[str, Sequence[float]], levels: Sequence[float]) -> str:
    """Return the share of truths within each stated interval, by quantity."""
    left, right, top, high = 196.0, 612.0, 46.0, 28.0
    height = int(top + high * len(inside) + 40)

    def x(share: float) -> float:
        return left + (right - left) * share

    drawn: list[Markup] = []
    bottom = top + high * len(inside)
    for level in levels:
        drawn.append(line(x(level), top - 8, x(level), bottom, stroke=INK, stroke_dasharray="3 3"))
    drawn.append(rectangle(x(0.91), top - 8, x(0.98), bottom, fill="#000000", fill_opacity="0.07"))
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        drawn.append(text(x(share), bottom + 18, f"{share:.0%}", "middle"))
    for row, (quantity, shares) in enumerate(inside.items()):
        y = top + (row + 0.5) * high
        drawn.append(text(left - 10, y + 4, quantity, "end"))
        drawn.append(line(left, y, right, y, stroke=FAINT))
        drawn += [_mark(k, x(share), y) for k, share in enumerate(shares)]
    key = [_mark(k, left + 8 + 130 * k, 16) for k in range(len(levels))]
    key += [text(left + 18 + 130 * k, 20, f"{level:.0%} interval") for k, level in enumerate(levels)]
    told = "; ".join(
        f"{name}: " + ", ".join(f"{v:.1%} in {c:.0%}" for v, c in zip(shares, levels, strict=True))
        for name, shares in inside.items()
    )
    return _drawn("coverage", "Share of truths within the stated intervals", told, height, *drawn, *key)


def _mark(kind: int, x: float, y: float) -> Markup:
    """Return a mark told from the others by its shape: ring, square, diamond, disk, cross."""
    if kind == 0:
        return circle(x, y, 4.5, fill="white", stroke=INK, stroke_width="1.5")
    if kind == 1:
        return rectangle(x - 4, y - 4, x + 4, y + 4, fill="#8a8a8a", stroke=INK)
    if kind == 2:
        points = f"{x:.1f},{y - 6:.1f} {x + 6:.1f},{y:.1f} {x:.1f},{y + 6:.1f} {x - 6:.1f},{y:.1f}"
        return tag("polygon", points=points, fill=ACCENT, stroke=INK)
    if kind == 3:
        return circle(x, y, 4.0, fill=INK)
    return tag("path", d=f"M{x - 4:.1f} {y - 4:.1f}l8 8m0 -8l-8 8", stroke=INK, fill="none")


def calibration_figure(rows: Sequence[tuple[float, float, int, float, float]]) -> str:
    """Return how often a stated confidence was right, with two standard deviations of the share."""
    left, top, size, height = 90.0, 20.0, 300.0, 380

    def x(p: float) -> float:
        return left + size * (p - 0.4) / 0.6

    def y(p: float) -> float:
        return top + size * (1.0 - max(p, 0.4)) / 0.6 if p >= 0.4 else top + size

    drawn: list[Markup] = [
        rectangle(left, top, left + size, top + size, fill="none", stroke=FAINT),
        line(x(0.4), y(0.4), x(1.0), y(1.0), stroke=INK, stroke_dasharray="4 3"),
        text(left + 0.5 * size, height - 14, "confidence stated", "middle"),
        text(14, top + 0.5 * size, "share right", transform=f"rotate(-90 14 {top + 0.5 * size:.0f})"),
    ]
    for p in (0.4, 0.6, 0.8, 1.0):
        drawn.append(text(x(p), top + size + 18, f"{p:.1f}", "middle"))
        drawn.append(text(left - 8, y(p) + 4, f"{p:.1f}", "end"))
    drawn.append(text(left + size + 24, top + 12, "right of said, by class", font_weight="bold"))
    for number, (low, high, count, stated, right) in enumerate(rows):
        off = 2.0 * np.sqrt(max(right * (1.0 - right), 0.25 / count) / count)
        drawn.append(line(x(stated), y(right - off), x(stated), y(min(right + off, 1.0)), stroke=INK))
        drawn.append(_mark(2, x(stated), y(right)))
        said = f"{low:g} to {high:g}: {round(right * count)} of {count}"
        drawn.append(text(left + size + 24, top + 34 + 20 * number, said))
    told = "; ".join(f"stated {s:.3f}, right {r:.3f} of {n}" for _, _, n, s, r in rows)
    return _drawn("calibration", "Confidence stated and share right", told, height, *drawn)


def wind_figure(winds: Sequence[float], series: Mapping[str, Sequence[float]]) -> str:
    """Return the median error of the wind by wind, one line a recorder [kt]."""
    left, right, top, bottom = 60.0, 440.0, 20.0, 300.0
    most = 1.15 * max((v for values in series.values() for v in values if np.isfinite(v)), default=1.0)

    def x(wind: float) -> float:
        return left + (right - left) * wind / 30.0

    def y(error: float) -> float:
        return bottom - (bottom - top) * error / most

    drawn: list[Markup] = [
        line(left, bottom, right, bottom, stroke=INK),
        line(left, top, left, bottom, stroke=INK),
    ]
    for wind in winds:
        drawn.append(text(x(wind), bottom + 18, f"{wind:.0f}", "middle"))
    step = 0.25 if most < 1.5 else 0.5
    for error in np.arange(0.0, most, step):
        drawn.append(text(left - 8, y(error) + 4, f"{error:g}", "end"))
        drawn.append(line(left, y(error), right, y(error), stroke=FAINT, stroke_width="0.5"))
    drawn.append(text(0.5 * (left + right), bottom + 38, "wind, kt", "middle"))
    drawn.append(text(14, 210, "wind error, median kt", transform="rotate(-90 14 210)"))
    dashes = (None, "6 3", "2 3", "8 3 2 3", "1 2")
    for k, (name, values) in enumerate(series.items()):
        at = np.array([x(w) for w in winds])
        drawn.append(
            polyline(
                at, np.array([y(v) for v in values]), fill="none", stroke=INK, stroke_dasharray=dashes[k % 5]
            )
        )
        drawn += [_mark(k % 5, a, y(v)) for a, v in zip(at.tolist(), values, strict=True) if np.isfinite(v)]
        row = top + 16 + 24 * k
        drawn.append(line(right + 16, row, right + 44, row, stroke=INK, stroke_dasharray=dashes[k % 5]))
        drawn.append(_mark(k % 5, right + 30, row))
        drawn.append(text(right + 52, row + 4, name, font_size="11"))
    told = "; ".join(
        f"{name}: " + ", ".join(f"{v:.2f} at {w:.0f} kt" for w, v in zip(winds, values, strict=True))
        for name, values in series.items()
    )
    return _drawn("wind", "Median error of the wind, by wind", told, 350, *drawn)
