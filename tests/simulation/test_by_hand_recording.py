"""What was flown by hand is debriefed like any other flight, and comes out as it was flown."""

from __future__ import annotations

from datetime import UTC, datetime
from math import radians

import pytest

import groundref
from groundref.errors import NothingToWorkOnError
from groundref.mechanics.trochoid import drift_per_lap
from groundref.simulation.by_hand import START, seen, start, step
from groundref.simulation.by_hand_recording import recorded
from groundref.simulation.lesson import PRACTICE_LATITUDE, PRACTICE_LONGITUDE
from groundref.units import foot, knot
from tests.simulation.test_by_hand import a_try

HEIGHT = 800 * foot


def flown(bank, seconds=190.0):
    task = a_try(radius=400.0)
    now = start(task)
    moments = [now]
    while now.time < seconds:
        now = step(now, bank(now, task) if now.time > START - 0.7 else 0.0, 0.1, task)
        moments.append(now)
    return recorded(moments, task, HEIGHT, datetime(2026, 5, 1, 14, tzinfo=UTC))


def debriefed(recording):
    return groundref.debrief(recording, point=(PRACTICE_LATITUDE, PRACTICE_LONGITUDE)).to_dict()["maneuvers"]


def test_a_circle_flown_well_is_found_without_fault():
    (found,) = debriefed(flown(lambda now, task: seen(now, task).bank_needed))
    assert found["kind"] == "turns-around-a-point"
    assert found["direction"] == "left"
    assert found["findings"] == []
    assert found["wind"]["speed_kt"] == pytest.approx(15.0, abs=0.3)
    assert found["wind"]["from_deg"] == pytest.approx(240.2, abs=1.5)
    assert found["wind"]["tas_kt"] == pytest.approx(90.0, abs=0.3)
    assert found["radius_ft"] * foot == pytest.approx(400.0, abs=8.0)
    assert found["bank"]["source"] == "measured"


def test_a_bank_held_is_found_with_the_drift_that_it_had():
    (found,) = debriefed(flown(lambda now, task: radians(-30)))
    (fault,) = found["findings"]
    assert fault["fault"] == "bank-held-constant"
    drift = float(drift_per_lap(90 * knot, 15 * knot, radians(30))) / foot
    assert f"{drift:,.0f}" == "1,301"
    said = float(fault["says"].split("worth ")[1].split(" ft")[0].replace(",", ""))
    assert said == pytest.approx(drift, rel=0.02)


def test_a_try_that_ends_at_once_has_nothing_to_debrief():
    task = a_try()
    with pytest.raises(NothingToWorkOnError):
        recorded([start(task)], task, HEIGHT, datetime(2026, 5, 1, tzinfo=UTC))
