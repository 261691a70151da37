"""How a line lies to the wind: the words of the way in fit the numbers beside them, and the caution comes."""

from __future__ import annotations

from math import radians

import pytest

from groundref.planning import Blowing, Plan, Wanted, plan
from groundref.units import knot

LINES = ("s-turns", "eights-along-a-road", "eights-across-a-road", "eights-around-pylons", "eights-on-pylons")


def made(kind: str, course_deg: float | None, wind_kt: float = 14) -> Plan:
    course = None if course_deg is None else radians(course_deg)
    blowing = Blowing(wind_kt * knot, radians(240))
    return plan(kind, wind=blowing, wanted=Wanted(course=course))


def names(one: Plan) -> set[str]:
    return {caution.name for caution in one.cautions}


def test_s_turns_along_the_wind_are_not_entered_with_the_wind_behind() -> None:
    """The wind from 240° on a track of 150°: from the right, so the crab is to the right."""
    along = made("s-turns", 60)
    assert along.roll_in.crab > radians(5)
    assert "with the wind from the right" in along.layout.entry.how
    assert "line-along-wind" in names(along)


@pytest.mark.parametrize("kind", LINES)
def test_the_caution_comes_beyond_thirty_degrees(kind: str) -> None:
    """Square to a wind from 240° are 150 and 330°."""
    assert "line-along-wind" not in names(made(kind, None))
    assert "line-along-wind" not in names(made(kind, 150 + 29))
    assert "line-along-wind" in names(made(kind, 150 + 31))
    assert "line-along-wind" in names(made(kind, 60))
    assert "line-along-wind" not in names(made(kind, 60, wind_kt=0))


@pytest.mark.parametrize(
    ("kind", "words"),
    [("s-turns", "the wind behind"), ("eights-around-pylons", "the wind from the left and behind")],
)
def test_the_usual_way_in_has_the_wind_behind(kind: str, words: str) -> None:
    """Between the pylons the track is 48° to the left of downwind: the wind comes from behind on the left."""
    usual = made(kind, None)
    assert words in usual.layout.entry.how
    assert usual.roll_in.crab <= radians(0.5)
    assert "in still air" in made(kind, None, wind_kt=0).layout.entry.how


def test_pylons_the_other_way_round_are_entered_against_the_wind() -> None:
    assert "and ahead" in made("eights-around-pylons", 150 + 180).layout.entry.how


def test_a_first_leg_off_downwind_is_said() -> None:
    assert "first-leg-not-downwind" not in names(made("rectangular-course", 60 + 44))
    assert "first-leg-not-downwind" in names(made("rectangular-course", 60 + 46))


def test_a_road_has_nothing_to_be_abeam_of() -> None:
    for kind in ("eights-along-a-road", "eights-across-a-road"):
        one = made(kind, None)
        assert one.layout.entry.distance is None
        assert one.roll_in.lead_time is None
    assert made("eights-around-pylons", None).layout.entry.distance is not None


def test_steep_turns_at_the_bank_of_the_standard_are_no_stop() -> None:
    """CA.V.A: 50° ± 5°; the 45° of FAA-H-8083-3C, p. 7-5, are of maneuvers about a place on the ground."""
    steep = plan("steep-turns", wind=Blowing(14 * knot, radians(240)), standard="commercial-pilot")
    assert steep.extremes.bank_max == pytest.approx(radians(50))
    assert "bank-above-ceiling" not in names(steep)
