"""More bank than allowed; where the circle itself demands it, the cure is a wider circle."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.assessment.assessed import Finding
from groundref.assessment.decisive import decide
from groundref.assessment.faults.arc import Integers, runs
from groundref.assessment.faults.mention import change_sd, moved_said, point_gives, visible
from groundref.assessment.flown import Flown
from groundref.assessment.held import Deviation
from groundref.assessment.said import degrees, laps_said
from groundref.measures import at_least
from groundref.units import degree, foot

Floats = NDArray[np.float64]

NAME: Final = "bank-over-limit"
aftermath: Final = 10.0  # [s]  within which a bank shows in the distance


def find(flown: Flown) -> Finding | None:
    """Test the bank against the limit, as the verdict on it does: outside for sure, or nothing is said."""
    if flown.bank is None:
        return None
    bank, sds = _banks(flown.bank)
    verdict, worst = decide(bank, sds, -np.inf, flown.bank_limit)
    if verdict != "not-met":
        return None
    over, sd = float(bank[worst] - flown.bank_limit), float(sds[worst])
    beyond = bank > flown.bank_limit
    laps = flown.laps_in(beyond)
    stretch = next(run for run in runs(beyond) if worst in run)
    place = flown.place_of(beyond, worst)
    needed = float(flown.bank_needed[worst])
    closed, closed_sd = _closed(flown, stretch), change_sd(flown)
    effect = (
        f", and the {flown.words.shape} closed by {moved_said(flown, closed, closed_sd)}"
        if closed is not None
        else ""
    )
    return Finding(
        fault=NAME,
        laps=laps,
        size=over / degree,
        size_sd=sd / degree,
        size_unit="deg",
        start=float(flown.time[beyond][0]),
        end=float(flown.time[beyond][-1]),
        position=place,
        consequence_ft=closed / foot if closed is not None else None,
        consequence_sd_ft=closed_sd / foot if closed is not None else None,
        consequence_at_least=closed is not None and point_gives(flown),
        strength=over / (5.0 * degree),
        says=f"{laps_said(laps, flown.words.lap)}{f', {place}' if place else ''}: bank reached "
        f"{degrees(bank[worst])} (± {degrees(sd)}), more than {_limit(flown)}"
        f"{_needed(flown, needed)}{effect}.",
        cure=_cure(flown, needed),
    )


def _banks(held: Deviation) -> tuple[Floats, Floats]:
    """Return the banks flown and their standard deviations [rad]."""
    return held.reference + held.value, held.sd


def _closed(flown: Flown, stretch: Integers) -> float | None:
    """Return how far the distance closed until some seconds after; None when the eye could not tell [m].

    Where distance is not to be held nothing is meant by it.
    """
    if not np.isfinite(flown.maneuver.radius):
        return None
    end = int(np.searchsorted(flown.time, flown.time[stretch[-1]] + aftermath))
    distance = flown.profile.distance[stretch[0] : end]
    closed = float(distance[0] - distance.min())
    return closed if closed > visible else None


def _limit(flown: Flown) -> str:
    """Say the limit and how binding it is: the standard's, the handbook's, or what is usual."""
    limit, element = degrees(flown.bank_limit), flown.element("bank")
    if element is None:
        return f"the {limit} advised"
    if not element.published:
        return f"the usual {limit}"
    return f"the {limit} {'allowed' if element.basis == 'standard' else 'advised'}"


def _needed(flown: Flown, needed: float) -> str:
    """Return the clause about the bank needed there; empty when it cannot be told."""
    return f"; the {flown.words.shape} needed {degrees(needed)} there" if np.isfinite(needed) else ""


def beyond_need(flown: Flown) -> float:
    """Return by how much the bank exceeded what the circle needed where the limit was left [rad]."""
    if flown.bank is None:
        return float("nan")
    bank, sds = _banks(flown.bank)
    worst = decide(bank, sds, -np.inf, flown.bank_limit)[1]
    return float(bank[worst] - flown.bank_needed[worst])


def demanded(flown: Flown) -> bool:
    """Return whether the circle flown asked for more than the limit, where the limit was left."""
    smallest = flown.smallest_radius()
    if smallest is None or smallest <= flown.maneuver.radius or flown.bank is None:
        return False
    bank, sds = _banks(flown.bank)
    needed = flown.bank_needed[decide(bank, sds, -np.inf, flown.bank_limit)[1]]
    return not np.isfinite(needed) or bool(needed > flown.bank_limit)


def _then(flown: Flown) -> str:
    """Return what to look at after the horizon; empty where it is the horizon itself."""
    look = flown.words.look
    return "" if look == "the horizon" else f", then back at {look}"


def _cure(flown: Flown, needed: float) -> str:
    """Return the wider circle where the geometry demanded the bank, else less bank."""
    smallest = flown.smallest_radius()
    if smallest is not None and demanded(flown):
        return (
            f"Fly a wider {flown.words.shape}: at this airspeed and wind at least {at_least(smallest)} from "
            f"{flown.words.about} keeps "
            f"bank within {degrees(flown.bank_limit)}; should it creep up again, leave and start wider."
        )
    # One bank is named: the limit is no bank to roll to where the circle needs less.
    stop = (
        f"at the {degrees(needed)} that this {flown.words.shape} needs there"
        if needed <= flown.bank_limit
        else f"short of {degrees(flown.bank_limit)}"
    )
    return f"Stop the roll earlier, {stop}: look at the horizon while rolling{_then(flown)}."
