"""Eights on pylons in a whole flight: found, the pylons where they stand, and not where none were flown."""

from __future__ import annotations

from math import radians
from typing import Any

import numpy as np
import pytest

from groundref.debriefing import debrief
from groundref.detection.maneuver import Maneuver
from groundref.detection.on_pylons import KIND
from groundref.simulation import Truth, simulate
from groundref.track.clean import clean
from groundref.track.recording import Recording
from groundref.units import foot, knot, nautical_mile


def lesson(seed: int = 4, recorder: str = "phone", **asked: Any) -> tuple[Recording, Truth]:
    usual = {"true_airspeed": 100 * knot, "wind_speed": 15 * knot, "laps": 2, "wind_from": 0.9 * seed}
    options = {**usual, "flight": "maneuver-only", **asked}
    return simulate("eights-on-pylons", recorder=recorder, seed=seed, **options)


def found_in(recording: Recording, truth: Truth, **given: Any) -> list[Maneuver]:
    options = {"ground": truth.ground_elevation, **given}
    return [one.maneuver for one in debrief(recording, **options).maneuvers]


def pylon_errors(recording: Recording, truth: Truth, found: Maneuver) -> list[float]:
    """Distance of each pylon from where it stands [m]."""
    frame, off = clean(recording).frame, []
    for place, (east, north) in zip(found.reference.places, truth.maneuver.places, strict=True):
        off.append(
            float(np.hypot(*np.subtract(place, frame.to_local(*truth.frame.to_geographic(east, north)))))
        )
    return off


@pytest.mark.parametrize("recorder", ["phone", "avionics", "adsb"])
@pytest.mark.parametrize(("airspeed", "wind"), [(85, 10), (100, 20), (130, 25)])
def test_they_are_found_with_their_pylons(recorder: str, airspeed: float, wind: float) -> None:
    asked = {"true_airspeed": airspeed * knot, "wind_speed": wind * knot}
    recording, truth = lesson(recorder=recorder, **asked)
    (found,) = found_in(recording, truth)
    assert found.kind == KIND
    assert found.confidence > 0.6
    assert found.direction == "both"
    assert len(found.laps) == 4
    assert [lap.turn < 0 for lap in found.laps] == [True, False, True, False]
    assert abs(found.start - truth.maneuver.start) < 1.5
    assert abs(found.end - truth.maneuver.end) < 1.5
    assert max(pylon_errors(recording, truth, found)) < 3.5 * found.reference.sd
    for n, lap in enumerate(found.laps):
        assert (lap.about_east, lap.about_north) == found.reference.places[n % 2]


def test_one_eight_is_enough_and_one_loop_is_none() -> None:
    (found,) = found_in(*lesson(laps=1))
    assert (found.kind, len(found.laps)) == (KIND, 2)
    assert found_in(*lesson(laps=0.5)) == []


def test_given_pylons_are_used_in_the_order_flown() -> None:
    recording, truth = lesson()
    first, second = (truth.frame.to_geographic(*place) for place in truth.maneuver.places)
    given = ((float(second[0]), float(second[1])), (float(first[0]), float(first[1])))
    (found,) = found_in(recording, truth, pylons=given, pylon_elevations=(180.0, 170.0))
    assert found.reference.source == "given"
    assert found.reference.sd == 0.0
    assert found.reference.elevations == (170.0, 180.0)
    assert max(pylon_errors(recording, truth, found)) < 0.5
    assert found.confidence > 0.9


@pytest.mark.parametrize("number", range(6))
def test_given_pylons_never_speak_against_them(number: int) -> None:
    figures = np.random.default_rng(number).uniform((75.0, 0.0), (125.0, 20.0)) * knot
    recording, truth = lesson(seed=number, true_airspeed=figures[0], wind_speed=figures[1])
    (a, b), (c, d) = (truth.frame.to_geographic(*place) for place in truth.maneuver.places)
    (told,) = found_in(recording, truth, pylons=((float(a), float(b)), (float(c), float(d))))
    (untold,) = found_in(recording, truth)
    before = {untold.kind: untold.confidence, **dict(untold.alternatives)}
    assert told.kind == KIND
    assert told.reference.source == "given"
    assert told.confidence >= before[KIND] - 0.02
    assert not {name for name, _ in told.alternatives} & {"eights-along-a-road", "eights-across-a-road"}


def test_a_road_through_the_middle_speaks_against_them() -> None:
    recording, truth = lesson(wind_speed=0.0)
    (e1, n1), (e2, n2) = truth.maneuver.places
    middle, aside = (0.5 * (e1 + e2), 0.5 * (n1 + n2)), (n2 - n1, e1 - e2)
    (a, b), (c, d) = (
        truth.frame.to_geographic(middle[0] + k * aside[0], middle[1] + k * aside[1]) for k in (-1, 1)
    )
    (told,) = found_in(recording, truth, line=((float(a), float(b)), (float(c), float(d))))
    (untold,) = found_in(recording, truth)
    confidence = [
        {one.kind: one.confidence, **dict(one.alternatives)}.get(KIND, 0.0) for one in (told, untold)
    ]
    assert confidence[0] < confidence[1]


def test_given_pylons_far_away_are_told_and_not_used() -> None:
    recording, truth = lesson()
    far = truth.frame.to_geographic(5.0 * nautical_mile, 0.0)
    place = (float(far[0]), float(far[1]))
    (found,) = found_in(recording, truth, pylons=(place, place))
    assert found.reference.source == "fitted"
    assert any("given" in note and "NM" in note for note in found.notes)


def test_without_the_ground_they_are_found_too() -> None:
    recording, truth = lesson(wind_speed=20 * knot)
    (found,) = found_in(recording, truth, ground=None)
    assert found.kind == KIND


@pytest.mark.parametrize("fault", ["pivotal-altitude-not-followed", "bank-over-limit", "uncoordinated"])
def test_they_are_found_with_an_error_in_them(fault: str) -> None:
    found = found_in(*lesson(faults={fault: None}))
    assert [one.kind for one in found] == [KIND]


@pytest.mark.parametrize("kind", ["turns-around-a-point", "s-turns", "steep-turns", "rectangular-course"])
def test_other_maneuvers_are_none(kind: str) -> None:
    recording, truth = simulate(kind, wind_speed=12 * knot, laps=2, seed=3, flight="maneuver-only")
    assert KIND not in [one.kind for one in found_in(recording, truth)]


@pytest.mark.parametrize("kind", ["eights-around-pylons", "eights-across-a-road"])
def test_elementary_eights_in_wind_are_told_apart_by_the_altitude_held(kind: str) -> None:
    asked: dict[str, Any] = {"radius": 1400 * foot, "laps": 2, "flight": "maneuver-only"}
    recording, truth = simulate(
        kind, true_airspeed=95 * knot, wind_speed=18 * knot, wind_from=radians(200), seed=2, **asked
    )
    assert KIND not in [one.kind for one in found_in(recording, truth)]
