"""What the instructor says was flown goes before what the recording is taken for."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest

import groundref
from groundref.errors import UsageError
from groundref.reports.notices import UNDO
from groundref.reports.recorded import none_reasons, none_why
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
    (said,) = again.not_read()
    assert said in again.to_dict()["flight"]["notes"]
    assert re.fullmatch(
        r"The instructor said that 14:\d\d:\d\d to 14:\d\d:\d\d UTC is rectangular course; "
        r"no rectangular course could be made of it: that takes a whole circuit, .* "
        r"and its turns are \d+° to the (left|right)\.",
        said,
    )
    # That is why nothing counts, and no reason of the recording's.
    assert none_why(again) == ""
    assert none_reasons(again) == [f"{said} {UNDO}"]


def test_what_was_said_to_be_no_maneuver_is_why_nothing_counts(flight):
    recording, usual = flight
    said = [(*moments(recording, one.maneuver.start, one.maneuver.end), None) for one in usual.maneuvers]
    again = groundref.debrief(recording, said=said)
    assert (again.maneuvers, again.cut_short, none_why(again)) == ((), (), "")
    assert re.fullmatch(
        r"The instructor said that [\d:]{8} to [\d:]{8} UTC is not a maneuver\.", none_reasons(again)[0]
    )
    assert len(none_reasons(again)) == len(usual.maneuvers)


def test_a_bound_that_was_not_moved_leaves_the_entry_as_it_was():
    recording, _ = simulate(faults={"late-turn-entry": 3.0}, seed=4)
    usual = groundref.debrief(recording).maneuvers[0]
    m = usual.maneuver
    assert "late-turn-entry" in [each.fault for each in usual.findings]
    for start in (round(m.start), m.start):  # as it is shown, and as it was found
        said = (*moments(recording, start, m.end - 15), m.kind)
        (one,) = groundref.debrief(recording, said=[said]).maneuvers
        assert one.maneuver.start == pytest.approx(m.start, abs=0.01)
        assert one.maneuver.end < m.end - 10
        assert "late-turn-entry" in [each.fault for each in one.findings]


def test_what_makes_no_sense_is_refused(flight):
    recording, _ = flight
    first, last = moments(recording, 100, 200)
    with pytest.raises(UsageError, match="no maneuver 'circles'"):
        groundref.debrief(recording, said=[(first, last, "circles")])
    with pytest.raises(UsageError, match="ends before it begins"):
        groundref.debrief(recording, said=[(last, first, None)])
