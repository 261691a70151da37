"""Steep turns assessed: bank, roll-out heading and drift against what was really flown, and what is said."""

from __future__ import annotations

from math import radians
from typing import Any

import numpy as np
import pytest

from groundref.assessment.assessed import Assessed
from groundref.assessment.details import SteepFlown
from groundref.debriefing import debrief
from groundref.simulation import Truth, simulate
from groundref.standards.loading import load_standard
from groundref.units import degree, foot, knot


def assessed(
    faults: dict[str, float | None], seed: int = 3, standard: str = "private-pilot", **options: Any
) -> tuple[Assessed, SteepFlown, Truth]:
    """Return two turns as assessed, their particulars, and the truth."""
    options = {"laps": 2, "wind_speed": 15 * knot, "course": 1.3 * seed, **options}
    recording, truth = simulate(
        "steep-turns", height=2500 * foot, flight="maneuver-only", seed=seed, faults=faults, **options
    )
    (found,) = debrief(recording, ground=truth.ground_elevation, standard=load_standard(standard)).maneuvers
    assert isinstance(found.details, SteepFlown)
    return found, found.details, truth


def verdicts(found: Assessed, what: str) -> list[str]:
    return [each.verdict for each in found.elements if what in each.what]


def before_and_after(truth: Truth) -> list[float]:
    """Return the true heading before the first turn and after the last, continuous [°]."""
    heading = np.degrees(np.unwrap(truth.heading))
    times = (truth.maneuver.start - 4.0, truth.maneuver.end + 4.0)
    return [float(np.interp(time, truth.time, heading)) for time in times]


@pytest.mark.parametrize("recorder", ["phone", "avionics", "adsb"])
@pytest.mark.parametrize("seed", [3, 8])
def test_good_turns_meet_the_standard_and_nothing_is_said(recorder: str, seed: int) -> None:
    found, details, _ = assessed({}, seed, recorder=recorder)
    assert [finding.fault for finding in found.findings] == []
    assert verdicts(found, "altitude") == ["met"]
    assert verdicts(found, "rolled out") == ["met"]
    assert "not-met" not in verdicts(found, "bank")
    for turn in details.turns:
        assert abs(turn.bank - 45 * degree) < 3.0 * turn.bank_sd
        assert abs(turn.off_heading) < 3.0 * turn.off_heading_sd


@pytest.mark.parametrize("bank", [45.0, 50.0])
def test_the_commercial_standard_asks_for_fifty_degrees(bank: float) -> None:
    found, _, _ = assessed({}, standard="commercial-pilot", bank_limit=radians(bank))
    said = [finding.fault for finding in found.findings]
    assert ("bank-not-held" in said) == (bank == 45.0)


@pytest.mark.parametrize(
    ("fault", "size"),
    [
        ("bank-not-held", 9.0),
        ("rollout-heading-missed", 20.0),
        ("rollout-heading-missed", -25.0),
        ("altitude-not-held", 220.0),
        ("airspeed-not-held", 16.0),
    ],
)
@pytest.mark.parametrize("recorder", ["phone", "avionics"])
def test_an_error_is_said_with_its_size(fault: str, size: float, recorder: str) -> None:
    found, _, _ = assessed({fault: size}, recorder=recorder)
    said = {finding.fault: finding for finding in found.findings}
    assert list(said) == [fault]
    tolerance = max(3.0 * said[fault].size_sd, 0.25 * abs(size))
    assert said[fault].size == pytest.approx(abs(size), abs=tolerance)
    assert said[fault].cure


def test_missed_headings_are_beyond_or_short() -> None:
    for size, word in ((20.0, "beyond"), (-20.0, "short of")):
        found, details, truth = assessed({"rollout-heading-missed": size})
        assert word in found.findings[0].says
        assert verdicts(found, "rolled out") == ["not-met"]
        before, after = before_and_after(truth)
        total = np.degrees(details.turns[1].off_heading - details.turns[0].off_heading)  # left, then right
        assert total == pytest.approx(after - before, abs=4.0)


def test_heading_counts_and_not_track() -> None:
    """20° off in a strong wind across: the track differs by another angle than the heading."""
    _, details, truth = assessed({"rollout-heading-missed": 40.0}, laps=1, wind_speed=28 * knot)
    before, after = before_and_after(truth)
    (turn,) = details.turns
    assert np.degrees(turn.off_heading) == pytest.approx(abs(after - before) - 360.0, abs=3.0)


def test_turns_rolled_from_one_into_the_other() -> None:
    found, details, _ = assessed({}, bank_limit=radians(50), standard="commercial-pilot")
    assert [turn.lap for turn in details.turns] == [1, 2]
    for turn in details.turns:
        assert abs(np.degrees(turn.off_heading)) < 6.0
    assert verdicts(found, "rolled out") == ["met"]


def test_the_drift_is_explained_and_is_no_error() -> None:
    found, details, _ = assessed({}, wind_speed=20 * knot)
    assert any("carried each turn" in note for note in found.notes)
    for turn in details.turns:
        assert turn.drift == pytest.approx(turn.drift_expected, rel=0.15)
    assert found.findings == ()
