"""Series behind the moment slider of the page: where each sample lies in every picture, and in words."""

from __future__ import annotations

from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from groundref.assessment.assessed import Assessed
from groundref.debriefing import Debrief
from groundref.reports import places, words
from groundref.reports.figures import bank, plan, strips
from groundref.reports.laps import during, turn_sign
from groundref.units import degree

Floats = NDArray[np.float64]

_MOST: Final = 400  # steps of the slider; more could not be told apart by hand


def series(debrief: Debrief, assessed: Assessed) -> dict[str, Any]:
    """Return lists of one length: paper places in the three pictures (None where off) and a sentence."""
    m = assessed.maneuver
    steps = np.unique(np.linspace(0, m.last - m.first, _MOST).round().astype(np.int64))
    paper = plan.plan_of(debrief.states, assessed)
    across, up = bank.scales(debrief, assessed)
    flown = turn_sign(assessed) * during(debrief.states.bank, assessed) / degree
    flown = np.where((flown >= up.low) & (flown <= up.high), flown, np.nan)  # off the paper while rolling
    return {
        "circle": _pairs(
            paper.x(during(debrief.states.east, assessed)),
            paper.y(during(debrief.states.north, assessed)),
            steps,
        ),
        "bank": _pairs(across(places.unrolled(assessed).angle / degree), up(flown), steps),
        "time": [
            round(v, 1)
            for v in strips.time_scale(assessed)(during(debrief.states.time, assessed))[steps].tolist()
        ],
        "says": [_says(debrief, assessed, int(step)) for step in steps],
    }


def _pairs(x: Floats, y: Floats, steps: NDArray[np.int64]) -> list[list[float] | None]:
    return [
        [round(a, 1), round(b, 1)] if np.isfinite(a) and np.isfinite(b) else None
        for a, b in zip(x[steps].tolist(), y[steps].tolist(), strict=True)
    ]


def _says(debrief: Debrief, assessed: Assessed, step: int) -> str:
    states, profile, sign = debrief.states, assessed.profile, float(turn_sign(assessed)[step])
    at = assessed.maneuver.first + step
    lap = f"lap {profile.lap[step]}" if profile.lap[step] else "outside the laps"
    return " · ".join(
        (
            f"{words.moment(debrief.track.recording.epoch, float(states.time[at]))} UTC",
            lap,
            f"bank {words.degrees(sign * float(states.bank[at]))}",
            f"required {words.degrees(sign * float(profile.bank_required[step]))}",
            places.side(float(profile.radial[step])),
            f"ground speed {words.knots(float(states.ground_speed[at]))}",
        )
    )
