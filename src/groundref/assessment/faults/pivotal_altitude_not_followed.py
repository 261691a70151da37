"""The height not at the pivotal height: above or below it all along, or held while that changed.

A steady difference needs the height above the pylon and so the ground's elevation. That the height did not
go up and down with the pivotal height shows in any altitude: the mean difference of each loop is taken out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.assessment.assessed import Finding
from groundref.assessment.details import PivotalFlown
from groundref.assessment.faults.mention import laps_that_show
from groundref.assessment.flown import Flown
from groundref.assessment.said import laps_said, plus_minus
from groundref.measures import about, length, lengths
from groundref.units import degree, foot

Floats = NDArray[np.float64]

NAME: Final = "pivotal-altitude-not-followed"
THRESHOLD: Final = 100.0 * foot  # [m]  off the pivotal height: common practice, no source
span: Final = 8.0  # [s]  over which height and pivotal height are averaged: shorter is gusts and noise
correcting: Final = 1.0  # [m s⁻¹]  200 ft/min: slower is no correction
off_enough: Final = 50.0 * foot  # [m]  from where a correction is called for; common practice, no source
worth_telling: Final = 8.0  # [s]  of corrections the wrong way
visible_angle: Final = 4.0 * degree  # [rad]  of the pylon off the wing line


@dataclass(frozen=True, slots=True)
class Corrections:
    """For how long the height was off, and changed toward the pivotal height or away from it.

    Attributes
    ----------
    right, wrong
        [s]
    """

    right: float
    wrong: float


def find(flown: Flown) -> Finding | None:
    """Test the height against the pivotal height in each loop."""
    details = flown.details
    if not isinstance(details, PivotalFlown):
        return None
    steady = [_steady(flown, details, lap) for lap in flown.whole_laps]
    laps, size, sd = laps_that_show([(n, abs(x), s) for n, x, s in steady], THRESHOLD)
    if laps:
        above = float(np.mean([x for n, x, _ in steady if n in laps])) > 0.0
        return _finding(
            flown,
            details,
            laps,
            size,
            sd,
            _steady_said(above),
            _steady_cure(flown, details, laps, size, above),
        )
    swings = [_swing(flown, details, lap) for lap in flown.whole_laps]
    laps, size, sd = laps_that_show(swings, THRESHOLD)
    return _finding(flown, details, laps, size, sd, _SWING_SAID, _SWING_CURE) if laps else None


def excess(flown: Flown, details: PivotalFlown) -> Floats | None:
    """Return the height less the pivotal height; of an unknown ground less its mean in each loop [m]."""
    if details.height is not None:
        return details.height - details.pivotal
    altitude = flown.states.altitude
    if altitude is None:
        return None
    off = altitude[flown.samples] - details.pivotal
    for lap in flown.all_laps:
        inside = (flown.profile.lap == lap) & np.isfinite(off)
        off[inside] -= off[inside].mean()
    return np.asarray(off, dtype=np.float64)


def corrections(flown: Flown, details: PivotalFlown) -> Corrections | None:
    """Return for how long corrections of height went the right way and the wrong way; None if not known.

    The height is off by `off_enough` and its difference from the pivotal height shrinks or grows.
    """
    off = excess(flown, details)
    if off is None or details.height is None or off.size < 3:
        return None
    rate = np.gradient(_averaged(flown, off), flown.time)
    counts = (np.abs(off) > off_enough) & (np.abs(rate) > correcting)
    step = np.gradient(flown.time)
    toward = counts & (np.sign(rate) != np.sign(off))
    return Corrections(float(step[toward].sum()), float(step[counts & ~toward].sum()))


def _steady(flown: Flown, details: PivotalFlown, lap: int) -> tuple[int, float, float]:
    """Return the mean height over the pivotal height in a loop and its sd; NaN without a ground [m]."""
    if details.height is None or details.height_sd is None:
        return lap, float("nan"), float("nan")
    inside = flown.profile.lap == lap
    off = (details.height - details.pivotal)[inside]
    if not np.isfinite(off).any():
        return lap, float("nan"), float("nan")
    # The wind's error turns with the heading: of a loop's mean it leaves little, but no loop is a whole turn.
    sd = np.hypot(np.nanmean(details.height_sd[inside]), 0.5 * np.nanmean(details.pivotal_sd[inside]))
    return lap, float(np.nanmean(off)), float(sd)


def _swing(flown: Flown, details: PivotalFlown, lap: int) -> tuple[int, float, float]:
    """Return by how much the height left the pivotal height either way in a loop, and its sd [m]."""
    off, altitude_sd = excess(flown, details), flown.states.altitude_sd
    inside = flown.profile.lap == lap
    if off is None or altitude_sd is None or not np.isfinite(off[inside]).any():
        return lap, float("nan"), float("nan")
    values = _averaged(flown, off)[inside]
    half = 0.5 * (np.nanmax(values) - np.nanmin(values))
    sd = np.hypot(np.nanmean(altitude_sd[flown.samples][inside]), np.nanmean(details.pivotal_sd[inside]))
    return lap, float(half), float(sd)


def _averaged(flown: Flown, values: Floats) -> Floats:
    """Return values averaged over `span` about each sample, those not known left out."""
    known = np.isfinite(values)
    width = max(1, round(span / flown.interval)) if flown.interval > 0.0 else 1
    kernel = np.ones(min(width, values.size))
    total = np.convolve(np.where(known, values, 0.0), kernel, "same")
    count = np.convolve(known.astype(np.float64), kernel, "same")
    return np.where(known, total / np.maximum(count, 1.0), np.nan)


def _finding(
    flown: Flown,
    details: PivotalFlown,
    laps: tuple[int, ...],
    size: float,
    sd: float,
    said: str,
    cure: str,
) -> Finding:
    inside = np.isin(flown.profile.lap, laps) & np.isfinite(details.pivotal)
    low, high = float(np.nanmin(details.pivotal[inside])), float(np.nanmax(details.pivotal[inside]))
    number = f"{length(size)} ({plus_minus(sd)})"
    return Finding(
        fault=NAME,
        laps=laps,
        size=size / foot,
        size_sd=sd / foot,
        size_unit="ft",
        start=float(flown.time[inside][0]),
        end=float(flown.time[inside][-1]),
        position="",
        consequence_ft=None,
        strength=size / (1.5 * THRESHOLD),
        says=f"{laps_said(laps, flown.words.lap)}: the height was {said.format(number)}, which went from "
        f"{lengths(low, high)}{_angle_said(details, inside)}{_wrong_way(flown, details)}.",
        cure=cure,
    )


def _left_wing_line(details: PivotalFlown, inside: NDArray[np.bool_]) -> tuple[float, float] | None:
    """Return how far the pylon stood ahead of the wing line at most, behind it negative, and its sd [rad].

    None where that cannot be told from the wing held on it.
    """
    known = inside & np.isfinite(details.ahead)
    if not known.any():
        return None
    worst = int(np.argmax(np.where(known, np.abs(details.ahead), -1.0)))
    angle, sd = float(details.ahead[worst]), float(details.ahead_sd[worst])
    return None if abs(angle) < visible_angle or abs(angle) < 2.0 * sd else (angle, sd)


def _angle_said(details: PivotalFlown, inside: NDArray[np.bool_]) -> str:
    """Say how far the pylon left the wing line; empty where it was not seen to."""
    left = _left_wing_line(details, inside)
    if left is None:
        return ""
    angle, sd = left
    side = "ahead of" if angle > 0.0 else "behind"
    return f"; the pylon stood up to {abs(angle) / degree:.0f}° (± {sd / degree:.0f}°) {side} the wing line"


def _wrong_way(flown: Flown, details: PivotalFlown) -> str:
    """Say for how long height was corrected the wrong way; empty when hardly at all."""
    made = corrections(flown, details)
    if made is None or made.wrong < worth_telling or made.wrong < made.right:
        return ""
    return (
        f"; for {made.wrong:.0f} s the height was changed the wrong way, for {made.right:.0f} s the right way"
    )


def _steady_said(above: bool) -> str:
    return f"{{}} {'above' if above else 'below'} the pivotal height"


def _steady_cure(flown: Flown, details: PivotalFlown, laps: tuple[int, ...], size: float, above: bool) -> str:
    """Return which way to change the height, by the pylon where it was seen to leave the wing line."""
    left = _left_wing_line(details, np.isin(flown.profile.lap, laps))
    wrong, climb = ("high", "descend") if above else ("low", "climb")
    if left is not None and (left[0] > 0.0) is above:
        moves = "moves ahead of" if above else "falls behind"
        return (
            f"When the pylon {moves} the wing line you are too {wrong}: {climb} until it stays, and do "
            "not hold it with bank or rudder."
        )
    by = about(size)
    return (
        f"Before the turn {climb} some {by}: at the pivotal height the pylon stays "
        f"at the wing line by itself, where too {wrong} bank or rudder must hold it there."
    )


_SWING_SAID: Final = "up to {} off the pivotal height either way"
_SWING_CURE: Final = (
    "Let the height follow the ground speed: descend as the airplane turns into the wind and the pylon moves "
    "ahead, climb as it turns downwind and the pylon falls behind."
)
