"""Series behind the moment slider of the page: where each sample lies in every picture, and in words."""

from __future__ import annotations

from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from groundref.assessment.assessed import Assessed
from groundref.debriefing import Debrief
from groundref.reports import naming, words
from groundref.reports.figures import strips
from groundref.reports.laps import during
from groundref.reports.sections.every import SECTIONS

Floats = NDArray[np.float64]

_MOST: Final = 400  # steps of the slider; more could not be told apart by hand


def series(debrief: Debrief, assessed: Assessed) -> dict[str, Any]:
    """Return lists of one length: paper places in the pictures (None where off), along time, and a sentence.

    Each picture that is not along time has its places under its name; those along time share one scale.
    `seconds` are from the start of the recording, by which other pictures of the flight are kept in step.
    """
    m = assessed.maneuver
    steps = np.unique(np.linspace(0, m.last - m.first, _MOST).round().astype(np.int64))
    moving = SECTIONS[m.kind].moving(debrief, assessed)
    elapsed = during(debrief.states.time, assessed) - debrief.states.time[0]
    time = strips.time_scale(assessed)(during(debrief.states.time, assessed))
    return {
        **{name: _pairs(x, y, steps) for name, (x, y) in moving.items()},
        "time": [round(v, 1) for v in time[steps].tolist()],
        "seconds": [round(v, 2) for v in elapsed[steps].tolist()],
        "says": [_says(debrief, assessed, int(step)) for step in steps],
    }


def _pairs(x: Floats, y: Floats, steps: NDArray[np.int64]) -> list[list[float] | None]:
    return [
        [round(a, 1), round(b, 1)] if np.isfinite(a) and np.isfinite(b) else None
        for a, b in zip(x[steps].tolist(), y[steps].tolist(), strict=True)
    ]


def _says(debrief: Debrief, assessed: Assessed, step: int) -> str:
    states, m = debrief.states, assessed.maneuver
    at, number = m.first + step, int(assessed.profile.lap[step])
    said = (
        f"{words.moment(debrief.track.recording.epoch, float(states.time[at]))} UTC",
        f"{naming.lap(m.kind)} {number}" if number else f"outside the {naming.parts(m.kind)}",
        *SECTIONS[m.kind].says(debrief, assessed, step),
        f"ground speed {words.speed(float(states.ground_speed[at]))}",
    )
    # What can't be told is said once below; here it would only come between the numbers.
    return " · ".join(part for part in said if part and words.CANNOT_TELL not in part)
