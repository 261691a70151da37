"""The wings not level where the line is crossed: rolled out too late, or into the next turn too early.

The bank is that in the direction of the half circle that ends there, so still to roll out is positive and
already in the next turn negative. The two are tested apart: a line that lies a little off makes one crossing
seem late and the next one early by as much, which is no fault. So of a line that was fitted only what both
ways across it share can be told, the mean of the two; a line that was given shows each crossing.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from groundref.assessment.assessed import Finding
from groundref.assessment.details import LineFlown
from groundref.assessment.faults.mention import laps_that_show, supported
from groundref.assessment.flown import Flown
from groundref.assessment.profile import turn_sign
from groundref.assessment.said import degrees, laps_said
from groundref.units import degree

NAME: Final = "not-level-at-line"
THRESHOLD: Final = 10.0 * degree  # common practice, no source: as the standard's element
ROLL_RATE: Final = 12.0 * degree  # [s⁻¹] a usual one, to say how much earlier; common practice, no source


def find(flown: Flown) -> Finding | None:
    """Test the bank at each crossing, that which is left and that which comes too early."""
    found = [finding for sign in (1.0, -1.0) if (finding := _find(flown, sign)) is not None]
    return max(found, key=lambda finding: finding.strength, default=None)


def banks(flown: Flown) -> list[tuple[int, float, float]]:
    """Return for each half circle that ends at a crossing its number, the bank left and its sd [rad]."""
    if not isinstance(flown.details, LineFlown):
        return []
    return [
        (number, turn_sign(lap) * crossing.bank, crossing.bank_sd)
        for number, (lap, crossing) in enumerate(
            zip(flown.maneuver.laps, flown.details.crossings, strict=False), start=1
        )
    ]


def _find(flown: Flown, sign: float) -> Finding | None:
    """Test for bank that is left at the crossings, +1, or for bank that is there too early, −1."""
    every = [(lap, sign * bank, sd) for lap, bank, sd in banks(flown) if np.isfinite(bank)]
    given = flown.maneuver.reference.source == "given"
    laps, size, sd = laps_that_show(every, THRESHOLD) if given else _both_ways(every)
    if not laps or not isinstance(flown.details, LineFlown):
        return None
    times = [flown.details.crossings[lap - 1].time for lap in laps]
    return Finding(
        fault=NAME,
        laps=laps,
        size=size / degree,
        size_sd=sd / degree,
        size_unit="deg",
        start=min(times),
        end=max(times),
        position="",
        consequence_ft=None,
        strength=size / THRESHOLD,
        says=_says(flown, laps, size, sd, sign),
        cure=_cure(size, sign),
    )


def _both_ways(every: list[tuple[int, float, float]]) -> tuple[tuple[int, ...], float, float]:
    """Return the half circles, the size and its sd of what both ways across a fitted line share.

    No half circles where one way was not flown, or where it is not worth mentioning.
    """
    ways = [[row for row in every if row[0] % 2 == way] for way in (0, 1)]
    if not all(ways):
        return (), float("nan"), float("nan")
    size, sd = (float(np.mean([np.mean([row[part] for row in way]) for way in ways])) for part in (1, 2))
    if not supported(size, sd, THRESHOLD):
        return (), float("nan"), float("nan")
    return tuple(row[0] for row in every if row[1] > 0.0), size, sd


def _says(flown: Flown, laps: tuple[int, ...], size: float, sd: float, sign: float) -> str:
    """Return the sentence."""
    bank = f"{degrees(size)} (± {degrees(sd)})"
    which = laps_said(laps, flown.words.lap)
    if sign > 0.0:
        return f"{which}: {bank} of bank were still on where the line was crossed."
    return f"{which}: the next turn had begun before the line was crossed, {bank} of bank were on there."


def _cure(size: float, sign: float) -> str:
    """Return what to do, and by how much earlier or later."""
    seconds = size / ROLL_RATE
    if sign > 0.0:
        return (
            f"Begin to roll out about {seconds:.1f} s earlier, so that the wings come level over the line, "
            "and roll on into the next turn from there without a pause."
        )
    return (
        f"Hold the bank about {seconds:.1f} s longer: the wings come level over the line, square to it, and "
        "only then the other wing goes down."
    )
