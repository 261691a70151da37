"""What must and what must not be reported of flights of real airplanes.

Source: the sample recordings inside the package `traffic` 2.13, see `real`. None of them is a lesson: they
are surveys, a day of gliding, helicopters, hours of circling to relay television, and calibration of radio
aids. So nothing must be reported but orbits really flown at a constant radius, which were looked at by eye.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import groundref
from groundref.debriefing import Debrief

from . import real

# Looked at by eye on the path over the ground and the altitude: there is nothing in them to be reported.
WITHOUT = (
    "surveys/pixair_toulouse",
    "surveys/liguria",
    "gliders/franconia",
    "gliders/sisteron",
    "tv_relay/vasaloppet",
    "ambulances/rega_sg",
    "ambulances/samu31",
    "calibration/brussels_vor",
    "calibration/toulouse",
    "calibration/kota_kinabalu",
    "calibration/london_gatwick",
)


def debriefed(flight: str, folder: Path) -> Debrief:
    recording = real.recording(*flight.split("/"), folder)
    assert recording is not None
    return groundref.debrief(recording)


@pytest.mark.parametrize("flight", WITHOUT)
def test_nothing_is_reported(flight: str, tmp_path: Path) -> None:
    debrief = debriefed(flight, tmp_path)
    said = [(each.maneuver.kind, round(each.maneuver.confidence, 2)) for each in debrief.maneuvers]
    assert said == []
    assert debrief.to_dict()["maneuvers"] == []


def test_an_orbit_about_a_radio_aid_is_found_in_the_whole_flight(tmp_path: Path) -> None:
    """4.001 NM and 718° by another program's fit: the only thing reported of an hour and a half."""
    debrief = debriefed("calibration/noumea", tmp_path)
    (assessed,) = debrief.maneuvers
    found = assessed.maneuver
    assert found.kind == "turns-around-a-point"
    assert found.radius == pytest.approx(4.001 * 1852.0, abs=2.0 * found.radius_sd)
    # samples are 3° apart, and neither end is sharp
    assert np.degrees(abs(sum(lap.turn for lap in found.laps))) == pytest.approx(718.0, abs=12.0)
