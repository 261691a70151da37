"""Two maneuvers of one kind on like paper: the same ranges, scales, places and units in their pictures."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

import numpy as np

from groundref.angles import wrap_signed
from groundref.assessment.assessed import Assessed
from groundref.debriefing import Debrief
from groundref.reports import places
from groundref.reports.figures import bank, plan, quantities, strips
from groundref.reports.like_paper import Alike, Span
from groundref.units import degree

_WIDER: Final = 2.0  # two ranges so much wider together than each have one scale, and not one range
EVERY: Final = (
    quantities.distance,
    quantities.altitude,
    quantities.airspeed,
    quantities.bank,
    quantities.outside,
    quantities.crab,
    quantities.above_pylon,
    quantities.ahead,
)
Flown = tuple[Debrief, int]  # and the number of the maneuver


def alike(first: Flown, second: Flown) -> tuple[Alike, Alike]:
    """Return the paper that each of two maneuvers is drawn on, so that their pictures are alike.

    Parameters
    ----------
    first, second
        The debriefs, each with the number of its maneuver from 1; both of one kind.
    """
    both = [(debrief, debrief.maneuvers[number - 1]) for debrief, number in (first, second)]
    common = _common(both)
    one, other = (replace(common, spans=own) for own in _spans(both))
    return one, other


def _common(both: list[tuple[Debrief, Assessed]]) -> Alike:
    extents = [plan.extent(debrief.states, one) for debrief, one in both]
    banks = [bank.reached(debrief, one) for debrief, one in both]
    by_wind = all(places.named_by_wind(one) for _, one in both)
    start, reach = _opening([places.cut(one, by_wind=by_wind) for _, one in both])
    directions = {one.maneuver.direction for _, one in both}
    return Alike(
        wide=max(float(np.ptp(east)) for east, _ in extents),
        tall=max(float(np.ptp(north)) for _, north in extents),
        by_wind=by_wind,
        direction=directions.pop() if len(directions) == 1 else "both",
        start=start,
        reach=reach,
        bank=(min(low for low, _ in banks) * degree, max(high for _, high in banks) * degree),
        duration=max(one.maneuver.end - one.maneuver.start for _, one in both),
        spans={},
    )


def _opening(starts: list[float]) -> Span:
    """Return where both circles are cut open, and how far apart their own cuts lie [rad].

    Half circles begin half a turn apart, so a cut half a turn away is as good.
    """
    first, second = starts
    apart = float(wrap_signed(2.0 * (second - first))) / 2.0
    return min(first, first + apart), abs(apart)


def _spans(both: list[tuple[Debrief, Assessed]]) -> tuple[dict[str, Span], dict[str, Span]]:
    """Return for each of the two the range of each quantity that both have."""
    first, second = (
        {strip.key: strips.reached(strip) for strip in strips.drawable(debrief, one, EVERY)}
        for debrief, one in both
    )
    shown: tuple[dict[str, Span], dict[str, Span]] = ({}, {})
    for key in first.keys() & second.keys():
        for kept, span in zip(shown, _shared((first[key], second[key])), strict=True):
            kept[key] = span
    return shown


def _shared(spans: tuple[Span, Span]) -> Iterable[Span]:
    """Return one range for both, or where they lie far apart two of one width, each about its own middle."""
    wide = max(high - low for low, high in spans)
    low, high = min(span[0] for span in spans), max(span[1] for span in spans)
    if high - low <= _WIDER * wide:
        return (low, high), (low, high)
    middles = [(span[0] + span[1]) / 2 for span in spans]
    return [(middle - wide / 2, middle + wide / 2) for middle in middles]
