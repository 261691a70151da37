"""The bank of a steep turn not held at what was meant: steeper or shallower than the standard allows."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from groundref.assessment.assessed import Finding
from groundref.assessment.faults.mention import alike
from groundref.assessment.faults.not_held import beside_limit, strength_of, tolerance_of, worst_of
from groundref.assessment.flown import Flown
from groundref.assessment.measured import Measured
from groundref.assessment.said import degrees, laps_named
from groundref.units import degree

Floats = NDArray[np.float64]

NAME: Final = "bank-not-held"
usual_tolerance: Final = 5.0 * degree  # [rad]  FAA-S-ACS-6, PA.V.A.S5; used where the standard prints none
SHARE: Final = 0.8  # of the tolerance, from where an instructor speaks up; common practice, no source
held_for: Final = 3.0  # [s]  shorter is unsteadiness and gusts; common practice, no source


def bank_off(flown: Flown) -> tuple[float, Floats, Floats] | None:
    """Return the bank meant, how far the bank was off it, means of some seconds, and their sd [rad].

    The bank meant is the standard's; the mean bank flown where it names none. None when bank is not known.
    """
    if flown.bank is None:
        return None
    element = flown.element("bank-held")
    printed = None if element is None else element.target
    target = flown.bank.reference if printed is None else printed * degree
    off = np.where(flown.steady, flown.bank_flown - target, np.nan)
    width = max(1, round(held_for / flown.interval)) if flown.interval > 0.0 else 1
    sd = flown.states.bank_sd[flown.samples] / np.sqrt(max(width / alike(flown.interval), 1.0))
    return target, _running_mean(off, width), np.hypot(sd, flown.bank_bias)


def bank_held(flown: Flown) -> Measured | None:
    """Return the size of how far the bank was off the one meant."""
    off = bank_off(flown)
    return None if off is None else Measured(np.abs(off[1]), off[2], flown.time)


def find(flown: Flown) -> Finding | None:
    """Test the bank between rolling in and rolling out against the one meant."""
    measured = bank_off(flown)
    if measured is None:
        return None
    target, off, sd = measured
    element = flown.element("bank-held")
    tolerance = tolerance_of(element, usual_tolerance, degree)
    worst = worst_of(flown, off, sd, tolerance, SHARE * tolerance, least=0.0)  # means of seconds already
    if worst is None:
        return None
    deviation = float(off[worst.at])
    meant = f"the {degrees(target)} meant" if element is not None else f"the mean of {degrees(target)}"
    return Finding(
        fault=NAME,
        laps=worst.laps,
        size=abs(deviation) / degree,
        size_sd=float(sd[worst.at]) / degree,
        size_unit="deg",
        start=worst.start,
        end=worst.end,
        position="",
        consequence_ft=None,
        strength=strength_of(abs(deviation), float(sd[worst.at]), tolerance, worst.verdict),
        says=f"Bank became {degrees(abs(deviation))} (± {degrees(float(sd[worst.at]))}) "
        f"{'steeper' if deviation > 0.0 else 'shallower'} than {meant}"
        f"{laps_named(worst.laps, flown.words.lap)}; "
        f"{beside_limit(degrees(tolerance), worst.verdict, element, beyond=abs(deviation) > tolerance)}.",
        cure=_CURES[bool(deviation > 0.0)],
    )


def _running_mean(values: Floats, width: int) -> Floats:
    """Return the mean over ``width`` samples about each; NaN where not all of them are known."""
    out = np.full(values.size, np.nan)
    if values.size >= width:
        half = width // 2
        out[half : half + values.size - width + 1] = sliding_window_view(values, width).mean(axis=1)
    return out


_CURES: Final = {
    True: "Hold the bank against the overbanking tendency with a little opposite aileron, and check it "
    "against the horizon before every look at the gauges.",
    False: "Roll to the full bank at once and keep it there as back pressure comes on; let neither aileron "
    "nor a dropping altitude talk you into taking bank off.",
}
