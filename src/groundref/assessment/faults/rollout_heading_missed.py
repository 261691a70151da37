"""A steep turn rolled out on another heading than that of its start."""

from __future__ import annotations

from typing import Final

import numpy as np

from groundref.assessment.assessed import Finding
from groundref.assessment.decisive import decide
from groundref.assessment.details import SteepFlown, SteepTurn
from groundref.assessment.faults.mention import probably, supported
from groundref.assessment.faults.not_held import beside_limit, tolerance_of
from groundref.assessment.flown import Flown
from groundref.assessment.measured import Measured
from groundref.assessment.said import degrees, laps_said
from groundref.units import degree

NAME: Final = "rollout-heading-missed"
usual_tolerance: Final = 10.0 * degree  # [rad]  FAA-S-ACS-6, PA.V.A.S5; used where the standard prints none
SHARE: Final = 0.8  # of the tolerance, from where an instructor speaks up; common practice, no source


def rollout_heading(flown: Flown) -> Measured | None:
    """Return how far each turn was rolled out off the heading of its start."""
    turns = _turns(flown)
    if not turns:
        return None
    return Measured(
        np.array([abs(turn.off_heading) for turn in turns]),
        np.array([turn.off_heading_sd for turn in turns]),
        np.array([flown.maneuver.laps[turn.lap - 1].end for turn in turns]),
    )


def find(flown: Flown) -> Finding | None:
    """Test the heading after each turn against the one before it."""
    element = flown.element("rollout-heading")
    tolerance = tolerance_of(element, usual_tolerance, degree)
    missed = [
        turn
        for turn in _turns(flown)
        if supported(abs(turn.off_heading), turn.off_heading_sd, SHARE * tolerance)
    ]
    if not missed:
        return None
    worst = max(missed, key=lambda turn: abs(turn.off_heading))
    alike = [turn for turn in missed if turn.off_heading * worst.off_heading > 0.0]
    laps = tuple(turn.lap for turn in alike)
    beyond = worst.off_heading > 0.0
    off, sd = np.array([abs(worst.off_heading)]), np.array([worst.off_heading_sd])
    verdict, _ = decide(off, sd, -np.inf, tolerance)
    if verdict == "undetermined" and off[0] <= tolerance and not probably(off[0], sd[0], SHARE * tolerance):
        return None
    end = [flown.maneuver.laps[turn.lap - 1].end for turn in alike]
    most = f", most in {flown.words.lap} {worst.lap}" if len(laps) > 1 else ""
    return Finding(
        fault=NAME,
        laps=laps,
        size=abs(worst.off_heading) / degree,
        size_sd=worst.off_heading_sd / degree,
        size_unit="deg",
        start=end[0],
        end=end[-1],
        position="",
        consequence_ft=None,
        strength=abs(worst.off_heading) / tolerance,
        says=f"{laps_said(laps, flown.words.lap)}: rolled out {degrees(abs(worst.off_heading))} "
        f"(± {degrees(worst.off_heading_sd)}) {'beyond' if beyond else 'short of'} the heading of the start"
        f"{most}; {beside_limit(degrees(tolerance), verdict, element, beyond=bool(off[0] > tolerance))}.",
        cure=_cure(flown, worst, beyond=beyond),
    )


def _turns(flown: Flown) -> list[SteepTurn]:
    """Return the turns of which both headings are known."""
    if not isinstance(flown.details, SteepFlown):
        return []
    return [turn for turn in flown.details.turns if np.isfinite(turn.off_heading)]


def _cure(flown: Flown, turn: SteepTurn, *, beyond: bool) -> str:
    """Return when to begin rolling out: half of the bank before the heading."""
    element = flown.element("bank-held")
    target = None if element is None else element.target
    bank = turn.bank if target is None else target * degree
    hold = "begin to roll out when it is" if beyond else "hold the bank until it is"
    return (
        f"Choose a landmark ahead before the turn, and {hold} half the bank away: about "
        f"{0.5 * bank / degree:.0f}° before it from {degrees(bank)}."
    )
