"""Roll into the entry, what the wing hides, heights by rule; magnetic directions; weather of a plan."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from math import degrees, nan, pi, radians

import numpy as np
import pytest

from groundref.aircraft.loading import load_aircraft
from groundref.errors import InputError, NoSolutionError, UsageError
from groundref.planning import Where, compass, from_weather, make, plan
from groundref.units import foot, knot, standard_gravity
from groundref.weather.metar import read_metar
from groundref.weather.wind_used import from_typed
from groundref.weather.winds_aloft import read_winds_aloft
from tests.planning.flown import given, planned


def test_the_lead_puts_the_turn_where_it_would_be_with_the_bank_at_once() -> None:
    """Heading integrated step by step: rolled evenly from the lead on, it ends as if banked at once abeam."""
    made = planned()
    roll, inputs = made.roll_in, made.inputs
    bank, rate = abs(made.layout.entry.bank), inputs.aircraft.roll_rate
    assert roll.lead_time is not None
    assert roll.lead_distance is not None
    step = 1e-4
    time = np.arange(-roll.lead_time, 20.0, step)
    banked = np.minimum((time + roll.lead_time) * rate, bank)
    turned = np.sum(standard_gravity * np.tan(banked) / inputs.true_airspeed) * step
    at_once = 20.0 * standard_gravity * np.tan(bank) / inputs.true_airspeed
    assert turned == pytest.approx(at_once, abs=2e-4)
    assert roll.roll_time == pytest.approx(bank / rate)
    assert 0.5 * roll.roll_time < roll.lead_time < 0.65 * roll.roll_time
    assert roll.lead_distance == pytest.approx(roll.lead_time * (92 + 14) * knot)


def test_the_way_in_of_a_circle() -> None:
    made = planned()
    assert made.roll_in.spans == pytest.approx(1200 * foot / made.inputs.aircraft.wing_span)
    assert degrees(made.roll_in.depression or 0.0) == pytest.approx(degrees(np.arctan(800 / 1200)))
    assert made.roll_in.crab == pytest.approx(0.0, abs=1e-12)
    assert planned("s-turns").roll_in.lead_time is None
    assert planned("steep-turns").roll_in.spans is None


def test_a_high_wing_hides_the_point_where_the_bank_is_steep_a_low_wing_where_it_is_shallow() -> None:
    high = make(given(radius=1000 * foot))
    low = make(given(radius=2500 * foot, aircraft=load_aircraft("low-wing-trainer"), height=1000 * foot))
    above = high.schedule.above_wing
    assert high.hidden.any()
    assert above[high.hidden].min() > above[~high.hidden].max() - radians(1.0)
    below = low.schedule.above_wing
    if low.hidden.any():
        assert below[low.hidden].max() < below[~low.hidden].max()
    assert not planned("rectangular-course").hidden.any()


def test_pylons_stay_on_the_wing_line() -> None:
    rows = planned("eights-on-pylons").schedule
    turning = rows.bank != 0.0
    assert rows.above_wing[turning] == pytest.approx(0.0, abs=1e-9)
    assert rows.ahead[turning] == pytest.approx(0.0, abs=1e-9)


def test_the_variation_of_place_and_day() -> None:
    """2.1° west at 40.1, −90.2 on 1 May 2026 by the World Magnetic Model (see tests/geo)."""
    where = Where(latitude=radians(40.1), longitude=radians(-90.2), when=date(2026, 5, 1))
    made = plan("turns-around-a-point", where=where)
    assert degrees(made.inputs.variation or 0.0) == pytest.approx(-2.1, abs=0.05)
    assert (made.inputs.when, made.inputs.day) == (None, date(2026, 5, 1))
    assert any("Magnetic variation 2.1° W (±0.4°)" in said for said in made.inputs.assumptions)
    told = plan("turns-around-a-point", where=replace(where, variation=radians(3.0)))
    assert told.inputs.variation == radians(3.0)
    assert plan("turns-around-a-point", where=replace(where, when=None)).inputs.variation is None
    with pytest.raises(InputError, match="outside the span of the magnetic model"):
        plan("turns-around-a-point", where=replace(where, when=date(2031, 1, 1)))
    with pytest.raises(UsageError, match="the magnetic variation is not known"):
        compass.true_from(1.0, None)
    assert [compass.spoken(radians(one)) for one in (2.14, -3.0, 0.0)] == ["2.1° E", "3.0° W", "0.0°"]


def test_the_day_of_a_metar_is_the_latest_no_later_than_tomorrow() -> None:
    report = read_metar("KXYZ 311753Z 24014KT 22/12 A2992")
    for now, month in ((datetime(2026, 7, 30, tzinfo=UTC), 7), (datetime(2026, 7, 12, tzinfo=UTC), 5)):
        assert from_weather.moment_of(report, now) == datetime(2026, month, 31, 17, 53, tzinfo=UTC)
    assert from_weather.moment_of(replace(report, day=None), datetime(2026, 7, 30, tzinfo=UTC)) is None


def test_the_temperature_is_the_metar_s_before_that_of_winds_aloft() -> None:
    report, level = read_metar("KXYZ 311753Z 24014KT 22/12 A3012"), read_winds_aloft("2412+05", 3000 * foot)
    day = from_weather.day_of(report, [level], 1400 * foot, 800 * foot)
    assert day.temperature == pytest.approx(295.15 - 0.0065 * 243.84)
    aloft = from_weather.day_of(replace(report, temperature=None), [level], 1400 * foot, 800 * foot)
    assert aloft.temperature == pytest.approx(278.15 + 0.0065 * 1600 * foot)
    nothing = from_weather.day_of(None, [], 1400 * foot, 800 * foot)
    assert (nothing.temperature, nothing.altimeter, nothing.assumptions) == (None, None, ())


def test_a_wind_as_a_plan_takes_it() -> None:
    taken = from_weather.blowing(from_typed(14 * knot, radians(240), 22 * knot))
    assert (taken.speed, taken.direction_from) == (14 * knot, radians(240))
    assert taken.gust == pytest.approx(8 * knot)
    assert from_weather.blowing(from_typed(0.0, None)).direction_from == 0.0


BAD: list[tuple[dict[str, float], type[Exception]]] = [
    ({"true_airspeed": nan}, UsageError),
    ({"wind_speed": nan}, UsageError),
    ({"wind_from": nan}, UsageError),
    ({"gust": nan}, UsageError),
    ({"radius": nan}, UsageError),
    ({"height": float("inf")}, UsageError),
    ({"elevation": nan}, UsageError),
    ({"temperature": nan}, UsageError),
    ({"altimeter": nan}, UsageError),
    ({"course": nan}, UsageError),
    ({"spacing": nan}, UsageError),
    ({"variation": nan}, UsageError),
    ({"latitude": nan}, UsageError),
    ({"laps": nan}, UsageError),
    ({"bank_limit": nan}, UsageError),
    ({"wind_speed": 93 * knot}, NoSolutionError),
    ({"radius": 201 * foot}, NoSolutionError),
]


@pytest.mark.parametrize(("wrong", "kind"), BAD, ids=str)
def test_numbers_that_make_no_plan_are_refused(wrong: dict[str, float], kind: type[Exception]) -> None:
    with pytest.raises(kind):
        make(given(**wrong))


def test_the_nearest_plan_that_works_does_work() -> None:
    with pytest.raises(
        NoSolutionError, match=r"fly [\d,]+ ft \([\d,]+ m\) or more, which needs 45°"
    ) as refused:
        make(given(radius=250 * foot))
    feet = float(refused.value.remedy.split("fly ")[1].split(" ft")[0].replace(",", ""))
    made = make(given(radius=feet * foot))
    assert 44.0 < degrees(made.extremes.bank_max) <= 45.0 + 1e-9
    assert made.inputs.air.downwind == pytest.approx(radians(240) + pi)
