"""The next exercise: one thing easier where something was weak, a step up where nothing was."""

from __future__ import annotations

import json
from typing import Any

import pytest

from groundref.errors import InputError, UsageError
from groundref.planning import Wanted
from groundref.planning.ladder import Next, parse_last, propose, read_last
from groundref.standards.usual import usual
from groundref.units import foot, knot

KIND = "turns-around-a-point"


def maneuver(*faults: str, direction: str = "left", wind_kt: float = 14.0, **other: Any) -> dict[str, Any]:
    return {
        "kind": KIND,
        "direction": direction,
        "radius_ft": 1003.0,
        "wind": {"from_deg": 240.0, "speed_kt": wind_kt, "tas_kt": 98.0},
        "laps": [{}, {}],
        "findings": [{"fault": name, "says": ""} for name in faults],
        "elements": [],
    } | other


def proposed(*flown: dict[str, Any], wanted: Wanted | None = None, kind: str = KIND) -> Next:
    document = {"schema": "groundref/debrief/1", "maneuvers": list(flown)}
    return propose(parse_last(json.dumps(document).encode(), "d.json", kind), wanted or Wanted())


def rules(following: Next) -> list[str]:
    return [step.rule for step in following.steps]


def test_too_steep_is_flown_wider_so_that_45_degrees_do() -> None:
    following = proposed(maneuver("bank-over-limit", wind_kt=20.0))
    assert rules(following) == ["wider-radius"]
    assert following.wanted.radius is not None
    # (98 + 20 kt)² / g at 45°, over 1,250 ft: the handbook's ceiling decides.
    needed = (118 * knot) ** 2 / 9.80665
    assert needed <= following.wanted.radius < needed + 50 * foot


def test_bank_wrong_by_place_in_a_brisk_wind_asks_for_less_wind_too() -> None:
    assert rules(proposed(maneuver("overbanked-upwind"))) == ["wider-radius", "less-wind"]
    assert rules(proposed(maneuver("overbanked-upwind", wind_kt=6.0))) == []


def test_what_should_be_held_takes_more_laps_and_an_entry_takes_entries() -> None:
    held = proposed(maneuver("altitude-not-held"))
    assert rules(held) == ["more-laps"]
    assert held.wanted.laps == usual(KIND).laps + 1
    entered = proposed(maneuver("late-turn-entry"))
    assert rules(entered) == ["more-entries"]
    assert entered.wanted.laps == 1


def test_all_well_one_way_goes_the_other_and_both_ways_goes_tighter() -> None:
    other = proposed(maneuver())
    assert rules(other) == ["other-direction"]
    assert other.wanted.direction == "right"
    assert other.wanted.radius == pytest.approx(1000 * foot)
    tighter = proposed(maneuver(), maneuver(direction="right"))
    assert rules(tighter) == ["tighter-radius"]
    assert tighter.wanted.radius == pytest.approx(900 * foot)


def test_a_limit_not_met_is_no_step_up() -> None:
    element = {"code": "PA.V.B.S7", "what": "altitude held within 100 ft", "verdict": "not-met"}
    assert rules(proposed(maneuver(elements=[element]))) == ["more-laps"]


def test_what_is_asked_for_stands() -> None:
    asked = Wanted(radius=1700 * foot, laps=2, true_airspeed=80 * knot)
    following = proposed(maneuver("bank-over-limit", "altitude-not-held"), wanted=asked)
    assert following.wanted.radius == asked.radius
    assert following.wanted.laps == asked.laps
    assert following.wanted.true_airspeed == asked.true_airspeed
    assert rules(following) == []


def test_the_wind_is_that_of_the_flight() -> None:
    following = proposed(maneuver(), maneuver(wind=None, direction="right"))
    assert following.wind is None
    known = proposed(maneuver())
    assert known.wind is not None
    assert known.wind.speed == pytest.approx(14 * knot)


def test_every_step_says_what_it_saw_and_why() -> None:
    for step in proposed(maneuver("bank-over-limit", "late-turn-entry", "altitude-not-held")).steps:
        assert step.saw
        assert step.change
        assert step.why


@pytest.mark.parametrize("content", [b"", b"{}", b"[1]", b'{"schema": "groundref/debrief/1"}', b"\xff"])
def test_what_is_no_debrief_is_refused(content: bytes) -> None:
    with pytest.raises(InputError, match="not a debrief"):
        parse_last(content, "d.json", KIND)


def test_a_debrief_without_the_kind_is_refused_with_what_it_has() -> None:
    with pytest.raises(UsageError, match="no s-turns was flown in it, but turns-around-a-point"):
        proposed(maneuver(), kind="s-turns")
    with pytest.raises(InputError, match="no such file"):
        read_last("nowhere.json", KIND)
