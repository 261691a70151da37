"""What stopped short of a maneuver is said with how far round it went."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from groundref.debriefing import debrief
from groundref.reports.recorded import none_reasons, none_why
from groundref.simulation.lesson import simulate
from groundref.units import degree


@pytest.fixture(scope="module")
def flown():
    """A lesson of turns around a point, the debrief of all of it, and when its first lap began."""
    recording, _ = simulate(seed=2)
    whole = debrief(recording)
    return recording, whole, whole.maneuvers[0].maneuver


def cut(flown, turned: float, point=None):
    """The lesson debriefed up to where so much of the first lap was flown [rad]."""
    recording, whole, m = flown
    track = np.abs(whole.states.track - whole.states.track[m.first])
    last = int(np.flatnonzero((np.arange(track.size) >= m.first) & (track >= turned))[0])
    end = recording.epoch + timedelta(seconds=float(whole.states.time[last]))
    return debrief(recording, end=end, point=point)


@pytest.mark.parametrize("turned", [120.0, 220.0])
def test_a_recording_that_ends_in_a_turn_says_how_far_it_went(flown, turned):
    part = cut(flown, turned * degree)
    assert part.maneuvers == ()
    (one,) = [each for each in part.cut_short if each.by == "ends"]
    assert abs(one.turn) / degree == pytest.approx(turned, abs=12)
    said = " ".join(none_reasons(part))
    side = "left" if one.turn < 0 else "right"
    assert (
        f"The recording ends in a turn to the {side}, of which {int(abs(one.turn) / degree)}° are in it"
        in said
    )
    assert "Name what it was flown about" in said


def test_with_the_point_given_it_is_told_round_the_point_and_nothing_else_is_asked(flown):
    _, whole, m = flown
    latitude, longitude = whole.track.frame.to_geographic(m.reference.east, m.reference.north)
    part = cut(flown, 200.0 * degree, (float(latitude), float(longitude)))
    assert part.maneuvers == ()
    (one,) = part.cut_short
    assert one.by == "point"
    assert abs(one.turn) / degree == pytest.approx(200.0, abs=20)
    reasons = [each for each in none_reasons(part) if "left out as asked" not in each]
    assert len(reasons) == 1
    assert "Once round, 360°, is needed" in reasons[0]
    assert none_why(part) == ""


def test_nothing_is_cut_short_where_a_maneuver_was_found(flown):
    assert flown[1].cut_short == ()


def test_what_turns_on_the_ground_is_no_turn_cut_short(flown):
    recording, whole, m = flown
    last = int(np.flatnonzero(recording.time <= whole.states.time[m.first] + 25.0)[-1])
    part = recording.take(np.arange(len(recording)) <= last)
    assert debrief(part).cut_short != ()
    # The same turn, drawn together until the airplane that flies it would be walking.
    first = int(np.flatnonzero(recording.time >= whole.states.time[m.first])[0])
    near = {
        name: np.where(
            np.arange(len(part)) >= first,
            getattr(part, name)[first] + 0.03 * (getattr(part, name) - getattr(part, name)[first]),
            getattr(part, name),
        )
        for name in ("latitude", "longitude")
    }
    kept = {name: None for name in part.measured if name not in ("latitude", "longitude", "altitude_msl")}
    assert debrief(replace(part, **near, **kept)).cut_short == ()
