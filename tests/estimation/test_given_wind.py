"""A wind that the user gives is used as it is, and set beside what the recording says."""

from __future__ import annotations

import pytest

from groundref.angles import wrap
from groundref.debriefing import debrief
from groundref.errors import UsageError
from groundref.mechanics.wind_triangle import wind_components
from groundref.simulation import simulate
from groundref.units import degree, knot

RECORDING, _ = simulate(seed=3, wind_from=240 * degree, wind_speed=12 * knot)


def given(direction: float, speed: float) -> tuple[float, float]:
    east, north = wind_components(speed * knot, direction * degree)
    return float(east), float(north)


def test_the_wind_used_is_the_wind_given() -> None:
    flown = debrief(RECORDING, wind=given(60, 12)).maneuvers[0].maneuver.wind
    assert flown is not None
    assert flown.speed == pytest.approx(12 * knot, abs=0.2 * knot)
    assert float(wrap(flown.direction_from)) / degree == pytest.approx(60, abs=1)


@pytest.mark.parametrize(("direction", "word"), [(240, "agrees"), (60, "contradicts")])
def test_what_the_recording_says_of_it_is_said(direction: float, word: str) -> None:
    notes = debrief(RECORDING, wind=given(direction, 12)).states.notes
    assert any(word in note and "The wind was given" in note for note in notes)


def test_a_wind_not_below_the_airspeed_is_refused() -> None:
    with pytest.raises(UsageError, match="not below the airspeed"):
        debrief(RECORDING, wind=given(240, 95))
