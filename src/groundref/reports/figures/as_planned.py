"""The plan in the pictures of a debrief: thin, dashed, with diamonds on it, so that gray tells it, too."""

from __future__ import annotations

from typing import Final

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from groundref.assessment.assessed import Assessed
from groundref.reports import svg, words
from groundref.reports.figures.plan import Plan
from groundref.units import degree

Floats = NDArray[np.float64]

_APART: Final = 80.0  # paper from one diamond to the next
_SHAPE: Final = "m0-4.5l4 4.5l-4 4.5l-4-4.5z"


def path(assessed: Assessed, plan: Plan) -> Markup:
    """Return the planned path over the ground; nothing where there is none."""
    planned = assessed.as_planned
    return Markup("") if planned is None else line(plan.x(planned.east), plan.y(planned.north))


def line(x: Floats, y: Floats) -> Markup:
    """Return a planned line on paper."""
    return svg.group(svg.polyline(x, y, class_="planned"), *[diamond(*spot) for spot in _spots(x, y)])


def diamond(x: float, y: float) -> Markup:
    """Return a diamond on a planned line."""
    return svg.tag("path", d=f"M{x:.1f} {y:.1f}{_SHAPE}", class_="planned-mark")


def _spots(x: Floats, y: Floats) -> list[tuple[float, float]]:
    """Return places evenly along a line, from half a step after its beginning."""
    steps = np.hypot(np.diff(x), np.diff(y))
    way = np.concatenate(([0.0], np.cumsum(np.where(np.isfinite(steps), steps, 0.0))))
    if x.size < 2:
        return []
    at = np.searchsorted(way, np.arange(0.5 * _APART, way[-1], _APART))
    spots = zip(x[at].tolist(), y[at].tolist(), strict=True)
    return [(a, b) for a, b in spots if np.isfinite(a) and np.isfinite(b)]


def described(assessed: Assessed) -> str:
    """Return the planned path in words; empty where there is none."""
    planned = assessed.as_planned
    if planned is None or not planned.east.size:
        return ""
    return f" The planned path is drawn {_where(planned.placed)}."


def key(assessed: Assessed) -> str:
    """Return what the planned path is, for the key; empty where none is drawn."""
    planned = assessed.as_planned
    if planned is None or not planned.east.size:
        return ""
    return f"as planned, {_where(planned.placed)}"


def _where(placed: bool) -> str:
    return "at the place planned for" if placed else "laid on what was flown about"


def banks(assessed: Assessed) -> str:
    """Return the planned banks in words; empty where there are none."""
    planned = assessed.as_planned
    if planned is None or not planned.bank.size:
        return ""
    size = np.abs(planned.bank) / degree
    return f" Planned {words.number(float(np.nanmin(size)))}° to {words.number(float(np.nanmax(size)))}°."
