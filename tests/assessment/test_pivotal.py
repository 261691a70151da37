"""Eights on pylons as judged: pivotal heights, where the pylon stood, the ways between, faults."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import radians
from typing import Any

import numpy as np
import pytest

from groundref.assessment.assess import assess
from groundref.assessment.assessed import Assessed, ElementResult, Finding
from groundref.assessment.details import PivotalFlown
from groundref.assessment.explained import above_pivotal
from groundref.assessment.faults.pivotal_altitude_not_followed import corrections
from groundref.assessment.flown import gather
from groundref.debriefing import Debrief, debrief
from groundref.mechanics.pylon_sight import pylon_from_wing
from groundref.simulation import Truth, simulate
from groundref.simulation.on_pylons import OnPylons
from groundref.simulation.pilot import Wish
from groundref.standards.loading import load_standard
from groundref.units import degree, foot, knot, standard_gravity

Floats = np.ndarray[Any, np.dtype[np.float64]]
COMMERCIAL = load_standard("commercial-pilot")


@cache
def lesson(
    recorder: str, wind: float = 15.0, fault: str = "", size: float = 0.0, ground: bool = True, seed: int = 4
) -> tuple[Debrief, Truth]:
    recording, truth = simulate(
        "eights-on-pylons",
        true_airspeed=100 * knot,
        wind_speed=wind * knot,
        wind_from=radians(230),
        laps=2,
        recorder=recorder,
        seed=seed,
        faults={fault: size} if fault else {},
        flight="lesson" if ground else "maneuver-only",
    )
    elevation = truth.ground_elevation if ground else None
    return debrief(recording, standard=COMMERCIAL, ground=elevation), truth


def only(found: Debrief) -> tuple[Assessed, PivotalFlown]:
    (assessed,) = found.maneuvers
    assert isinstance(assessed.details, PivotalFlown)
    return assessed, assessed.details


def times(found: Debrief) -> Floats:
    maneuver = only(found)[0].maneuver
    return found.states.time[maneuver.first : maneuver.last + 1]


def element(found: Debrief, code: str) -> ElementResult:
    return next(each for each in only(found)[0].elements if each.code == code)


def said(found: Debrief) -> dict[str, Finding]:
    return {each.fault: each for each in only(found)[0].findings}


def true_pivotal(truth: Truth, at: Floats) -> Floats:
    """V·G·cos(crab)/g of the real motion (own derivation; product of velocities: J. Denker, 2008)."""
    product = truth.at("true_airspeed", at) * truth.at("ground_speed", at) * np.cos(truth.at("crab", at))
    return product / standard_gravity


@pytest.mark.parametrize(("recorder", "most"), [("phone", 30.0), ("adsb", 30.0), ("avionics", 8.0)])
@pytest.mark.parametrize("wind", [0.0, 20.0])
def test_the_pivotal_height_is_that_of_the_moment(recorder: str, most: float, wind: float) -> None:
    found, truth = lesson(recorder, wind)
    _, details = only(found)
    off = details.pivotal - true_pivotal(truth, times(found))
    known = np.isfinite(off)
    assert known.mean() > 0.6
    assert np.sqrt(np.mean(off[known] ** 2)) < most * foot
    assert np.sqrt(np.mean((off[known] / details.pivotal_sd[known]) ** 2)) < 1.8


@pytest.mark.parametrize("recorder", ["phone", "avionics"])
def test_the_angle_of_the_pylon_is_within_its_standard_deviation(recorder: str) -> None:
    found, truth = lesson(recorder)
    assessed, details = only(found)
    at, places = times(found), [(np.nan, np.nan)]
    places += [truth.maneuver.places[n % 2] for n in range(len(assessed.maneuver.laps))]
    about = np.array(places)[assessed.profile.lap]
    east, north = about[:, 0] - truth.at("east", at), about[:, 1] - truth.at("north", at)
    attitude = (truth.at("height", at), truth.at("heading", at), truth.at("bank", at))
    real, _ = pylon_from_wing(east, north, *attitude, assessed.profile.turn)
    off = (details.ahead - real)[np.isfinite(details.ahead)]
    assert np.sqrt(np.mean(off**2)) < 2.5 * degree
    assert np.mean(np.abs(off) < 1.96 * details.ahead_sd[np.isfinite(details.ahead)]) > 0.9


def test_the_handbook_is_too_high_downwind_and_too_low_upwind() -> None:
    """Rule less exact is about +W/V of the height downwind, −W/V upwind; the rule: FAA-H-8083-3C p. 7-15."""
    found, truth = lesson("avionics", 20.0)
    assessed, details = only(found)
    off = (details.handbook - details.pivotal) / details.pivotal
    assert np.nanmax(off) == pytest.approx(0.2, abs=0.06)
    assert np.nanmin(off) == pytest.approx(-0.2, abs=0.06)
    ground_speed = truth.at("ground_speed", times(found)) / knot
    assert np.nanmax(np.abs(details.handbook / foot - ground_speed**2 / 11.3)) < 25
    assert any("too high flying downwind" in note for note in assessed.notes)


def test_the_segments_are_those_flown_level() -> None:
    found, truth = lesson("phone")
    segments = only(found)[1].segments
    assert len(segments) == 3
    for each in segments:
        near = (truth.time > each.start - 8.0) & (truth.time < each.end + 8.0)
        level = 0.1 * np.count_nonzero(near & (np.abs(truth.bank) < 5 * degree))
        assert each.end - each.start == pytest.approx(level, abs=2.0)


def test_the_first_turn_is_told_from_one_away_from_the_wind() -> None:
    found, _ = lesson("phone")
    assert only(found)[1].first_into_wind < 90 * degree
    recording, truth = simulate(
        "eights-on-pylons",
        true_airspeed=100 * knot,
        wind_speed=15 * knot,
        wind_from=radians(230),
        course=radians(230 + 180 - 90),
        direction="left",
        laps=2,
        seed=4,
        flight="maneuver-only",
    )
    other = debrief(recording, standard=COMMERCIAL, ground=truth.ground_elevation)
    assert only(other)[1].first_into_wind > 90 * degree
    assert any("away from the wind" in note for note in only(other)[0].notes)


@pytest.mark.parametrize("recorder", ["phone", "avionics", "adsb"])
@pytest.mark.parametrize("wind", [0.0, 20.0])
def test_good_flying_is_left_alone(recorder: str, wind: float) -> None:
    assert said(lesson(recorder, wind)[0]) == {}


def test_pylons_above_the_airplane_give_no_height() -> None:
    """Ground that the airplane would have flown under is wrong, and nothing is judged by it."""
    done, _ = lesson("avionics")
    maneuver = only(done)[0].maneuver
    places = replace(maneuver.reference, elevations=(5000 * foot, 5000 * foot))
    one = assess(done.states, replace(maneuver, reference=places), COMMERCIAL, None)
    assert one.findings == ()
    assert isinstance(one.details, PivotalFlown)
    assert one.details.height is None
    assert any("lies above the airplane" in each for each in one.notes)
    (height,) = (each for each in one.elements if each.what.startswith("height within"))
    assert height.why == "The elevation given of a pylon lies above the airplane."


@pytest.mark.parametrize("recorder", ["phone", "avionics", "adsb"])
@pytest.mark.parametrize("size", [180.0, -180.0])
def test_a_height_off_the_pivotal_height_is_found(recorder: str, size: float) -> None:
    found = said(lesson(recorder, 15.0, "pivotal-altitude-not-followed", size)[0])
    assert list(found) == ["pivotal-altitude-not-followed"]
    finding = found["pivotal-altitude-not-followed"]
    assert finding.size == pytest.approx(abs(size), abs=3.0 * finding.size_sd)
    assert ("above" if size > 0 else "below") in finding.says
    assert ("descend" if size > 0 else "climb") in finding.cure
    # What the cure tells to look for is what was seen.
    moved = f"{'ahead of' if size > 0 else 'behind'} the wing line"
    assert ("When the pylon" in finding.cure) == (moved in finding.says)
    assert ("When the pylon" in finding.cure) != ("by itself" in finding.cure)


def test_bank_over_the_limit_is_found_and_judged() -> None:
    found, _ = lesson("phone", 15.0, "bank-over-limit", 7.0)
    assert list(said(found)) == ["bank-over-limit"]
    assert element(found, "CA.V.E.S5").verdict == "not-met"
    assert element(lesson("phone")[0], "CA.V.E.S5").verdict == "met"


@pytest.mark.parametrize("size", [0.12, -0.12])
def test_slip_and_skid_are_found_where_recorded(size: float) -> None:
    found = said(lesson("avionics", 15.0, "uncoordinated", size)[0])
    assert "uncoordinated" in found
    assert ("skidding" if size > 0 else "slipping") in found["uncoordinated"].says


def test_without_the_ground_what_needs_it_is_left_open() -> None:
    found, _ = lesson("phone", 15.0, "pivotal-altitude-not-followed", 180.0, ground=False)
    assessed, details = only(found)
    assert details.height is None
    assert details.height_sd is None
    assert np.isfinite(details.ahead).any()
    assert said(found) == {}
    judged = element(found, "practice-pivotal-height")
    assert judged.verdict == "undetermined"
    assert "elevation" in judged.why
    assert any("not judged" in note and "pylons" in note for note in assessed.notes)


def held_height(leg: OnPylons, wish: Wish) -> Wish:
    wish.height, wish.climb, wish.speed = leg.eight.way(0).height, 0.0, leg.eight.speed
    return wish


def test_a_height_held_while_the_pivotal_height_changes_is_found_without_the_ground(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A constant height at constant airspeed in 25 kt: exact pivotal heights are V(V ± W)/g, ± 221 ft."""
    plain = OnPylons._at_pivotal_height
    monkeypatch.setattr(
        OnPylons, "_at_pivotal_height", lambda leg, *asked: held_height(leg, plain(leg, *asked))
    )
    recording, truth = simulate(
        "eights-on-pylons",
        true_airspeed=100 * knot,
        wind_speed=25 * knot,
        laps=2,
        recorder="avionics",
        seed=4,
        flight="maneuver-only",
    )
    frame = [truth.frame.to_geographic(*place) for place in truth.maneuver.places]
    (one, other) = ((float(lat), float(lon)) for lat, lon in frame)
    found = debrief(recording, standard=COMMERCIAL, pylons=(one, other))
    assert found.maneuvers[0].maneuver.kind == "eights-on-pylons"
    finding = said(found)["pivotal-altitude-not-followed"]
    assert "either way" in finding.says
    assert "follow the ground speed" in finding.cure


def test_corrections_of_height_are_told_right_from_wrong() -> None:
    """Height off the pivotal height by more than 50 ft that shrinks is corrected the right way."""
    found, _ = lesson("avionics", 15.0, "pivotal-altitude-not-followed", 180.0)
    assessed, details = only(found)
    flown = gather(found.states, assessed.maneuver, COMMERCIAL, None)
    assert details.height is not None
    at = flown.time - flown.time[0]
    toward = replace(details, height=details.pivotal + np.maximum(400.0 - 1.5 * at, 0.0))
    made = corrections(flown, toward)
    assert made is not None
    assert made.right > 60.0
    assert made.wrong < 0.1 * made.right


def test_bank_that_only_a_wrong_height_asks_for_is_explained_by_it() -> None:
    """From 250 ft above the pivotal height the wing comes down to the pylon steeper: height is the cause."""
    found, _ = lesson("avionics", 15.0, "pivotal-altitude-not-followed", 250.0)
    assessed, details = only(found)
    flown = gather(found.states, assessed.maneuver, COMMERCIAL, None)
    at_pivotal = np.nanmax(np.arctan2(details.pivotal, flown.profile.distance))
    steep = replace(flown, bank_limit=float(at_pivotal) + 0.2 * degree)
    everywhere = replace(said(found)["pivotal-altitude-not-followed"], fault="bank-over-limit")
    assert above_pivotal(steep, everywhere)
    assert not above_pivotal(replace(flown, bank_limit=float(at_pivotal) - 2.0 * degree), everywhere)
    low = replace(steep, details=replace(details, height=details.pivotal - 50.0 * foot))
    assert not above_pivotal(low, everywhere)
    unknown = replace(steep, details=replace(details, height=None, height_sd=None))
    assert not above_pivotal(unknown, everywhere)
