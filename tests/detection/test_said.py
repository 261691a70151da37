"""What the instructor says was flown goes before what the recording is taken for."""

from __future__ import annotations

from datetime import timedelta

import pytest

import groundref
from groundref.errors import UsageError
from groundref.simulation.lesson import simulate


@pytest.fixture(scope="module")
def flight():
    recording, _ = simulate(seed=4)
    return recording, groundref.debrief(recording)


def moments(recording, *seconds):
    return tuple(recording.epoch + timedelta(seconds=float(each)) for each in seconds)


def test_a_stretch_said_to_be_nothing_is_left_out(flight):
    recording, usual = flight
    m = usual.maneuvers[0].maneuver
    again = groundref.debrief(recording, said=[(*moments(recording, m.start, m.end), None)])
    assert [one.maneuver.start for one in again.maneuvers] == [
        one.maneuver.start for one in usual.maneuvers[1:]
    ]


def test_a_stretch_elsewhere_changes_nothing(flight):
    recording, usual = flight
    start = usual.maneuvers[-1].maneuver.end + 60
    again = groundref.debrief(recording, said=[(*moments(recording, start, start + 60), None)])
    assert again.to_dict()["maneuvers"] == usual.to_dict()["maneuvers"]


def test_other_bounds_leave_laps_out(flight):
    recording, usual = flight
    m = usual.maneuvers[0].maneuver
    assert len(m.laps) >= 2
    said = (*moments(recording, m.laps[1].start, m.end + 5), m.kind)
    (one,) = groundref.debrief(recording, said=[said]).maneuvers
    assert len(one.maneuver.laps) == len(m.laps) - 1
    assert one.maneuver.confidence == 1.0
    assert one.maneuver.alternatives == ()
    # Its places are those of the whole flight, so that pictures and series show the right samples.
    states = usual.states
    assert states.time[one.maneuver.first] == pytest.approx(one.maneuver.start, abs=3.0)
    assert one.maneuver.reference.east == pytest.approx(m.reference.east, abs=30)
    assert one.maneuver.reference.north == pytest.approx(m.reference.north, abs=30)


def test_the_whole_stretch_said_again_is_the_same(flight):
    recording, usual = flight
    m = usual.maneuvers[0].maneuver
    said = (*moments(recording, m.start - 20, m.end + 20), m.kind)
    (one,) = groundref.debrief(recording, said=[said]).maneuvers
    assert [round(lap.turn, 3) for lap in one.maneuver.laps] == [round(lap.turn, 3) for lap in m.laps]
    assert one.maneuver.radius == pytest.approx(m.radius, rel=0.01)


def test_what_cannot_be_read_so_is_said(flight):
    recording, usual = flight
    m = usual.maneuvers[0].maneuver
    said = (*moments(recording, m.start, m.end), "rectangular-course")
    again = groundref.debrief(recording, said=[said])
    assert again.maneuvers == ()
    assert any("rectangular course cannot be read" in note for note in again.to_dict()["flight"]["notes"])


def test_what_makes_no_sense_is_refused(flight):
    recording, _ = flight
    first, last = moments(recording, 100, 200)
    with pytest.raises(UsageError, match="no maneuver 'circles'"):
        groundref.debrief(recording, said=[(first, last, "circles")])
    with pytest.raises(UsageError, match="ends before it begins"):
        groundref.debrief(recording, said=[(last, first, None)])
