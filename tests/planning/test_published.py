"""Plans against numbers that were worked out elsewhere: exact solutions, handbook rules, other libraries."""

from __future__ import annotations

from math import degrees, radians, tan

import pytest
from scipy.special import ellipe

from groundref.planning import Blowing, Plan, Wanted, plan
from groundref.units import degree, foot, knot
from tests.planning.flown import planned

# Cases of exact circles, computed apart from this code by integrating the equations of motion:
# TAS and wind kt, radius m; bank downwind, across and upwind, greatest crab, deg; lap s.
CIRCLES = [
    (90, 0, 500, (23.615, 23.615, 23.615), 0.0, 67.853),
    (90, 15, 500, (30.755, 23.320, 16.889), 9.59, 69.304),
    (100, 20, 600, (32.931, 23.783, 16.059), 11.54, 75.565),
    (100, 30, 800, (29.688, 17.838, 9.386), 17.46, 104.914),
    (65, 25, 400, (28.656, 14.742, 6.161), 22.62, 84.850),
]
# Radius for 45° straight downwind, ft: (V + W)² / g, computed apart from this code.
AT_45 = [(80, 15, 799), (90, 0, 717), (90, 15, 976), (90, 25, 1171), (100, 20, 1275), (110, 30, 1735)]


def circle(tas_kt: float, wind_kt: float, **wanted: float) -> Plan:
    return plan(
        "turns-around-a-point",
        wind=Blowing(wind_kt * knot, radians(240)),
        wanted=Wanted(true_airspeed=tas_kt * knot, **wanted),
    )


@pytest.mark.parametrize(("tas", "wind", "radius", "banks", "crab", "lap"), CIRCLES)
def test_exact_circles(
    tas: float, wind: float, radius: float, banks: tuple[float, ...], crab: float, lap: float
) -> None:
    made = circle(tas, wind, radius=float(radius))
    shown = [abs(degrees(made.schedule.bank[i])) for i in made.schedule.marked.nonzero()[0]]
    assert shown == pytest.approx([banks[0], banks[1], banks[2], banks[1]], abs=6e-4)
    assert degrees(made.extremes.crab_max) == pytest.approx(crab, abs=6e-3)
    assert made.extremes.time == pytest.approx(lap, abs=6e-4)
    # The lap in closed form, 4 R V E(m) / (V² − W²), with scipy's elliptic integral.
    v, w = tas * knot, wind * knot
    assert made.extremes.time == pytest.approx(
        4 * radius * v * ellipe((w / v) ** 2) / (v**2 - w**2), rel=1e-9
    )


@pytest.mark.parametrize(("tas", "wind", "radius_ft"), AT_45)
def test_smallest_radius_of_a_bank_limit(tas: float, wind: float, radius_ft: float) -> None:
    made = circle(tas, wind, bank_limit=45 * degree)
    assert made.layout.radius is not None
    assert made.layout.radius / foot == pytest.approx(radius_ft, abs=0.6)
    assert degrees(made.extremes.bank_max) == pytest.approx(45.0, abs=1e-4)
    gentler = circle(tas, wind, bank_limit=30 * degree)
    assert gentler.layout.radius is not None
    assert gentler.layout.radius / made.layout.radius == pytest.approx(1.732, abs=5e-4)


def test_the_usual_numbers_do_not_fit_together() -> None:
    """98 kt, 1,000 ft and 30° (common practice, no source): worked out apart from this code."""
    made = circle(98, 0, radius=1000 * foot, bank_limit=30 * degree)
    assert made.fit is not None
    assert not made.fit.works
    assert degrees(made.fit.bank_needed) == pytest.approx(40.4, abs=0.05)
    assert made.fit.radius_needed / foot == pytest.approx(1470, abs=5)
    assert made.fit.wider / foot == pytest.approx(470, abs=5)
    assert made.fit.wind_limit is None
    # 45° (FAA-H-8083-3C, p. 7-5) allows V²/g; and 30° at 1,000 ft allows √(g R tan 30°).
    assert made.fit.radius_at_ceiling == pytest.approx((98 * knot) ** 2 / 9.80665, rel=1e-6)
    assert made.fit.airspeed_needed == pytest.approx((9.80665 * 304.8 * tan(radians(30))) ** 0.5, rel=1e-4)
    (first,) = [each.says for each in made.cautions if each.name == "bank-above-limit"]
    assert "98 kt (181 km/h) true, 1,000 ft and 30° do not fit together" in first
    assert "fly wider, 1,473 ft" in first
    windy = circle(98, 14, radius=1000 * foot, bank_limit=30 * degree)
    assert windy.fit is not None
    assert windy.fit.radius_needed > made.fit.radius_needed
    assert windy.fit.radius_needed_still == pytest.approx(made.fit.radius_needed, rel=1e-6)


def test_pylons_with_height_traded_for_speed() -> None:
    """100 kt, 20 kt of wind: 941 and 822 ft against 1,274 and 566 ft by GS²/11.3 at a constant 100 kt.

    Computed apart from this code by integration (exact heights 941/885/822, lap of a full circle 68.9 s, the
    product of distance and V + w varying by 13 %).
    """
    made = plan(
        "eights-on-pylons",
        wind=Blowing(20 * knot, radians(240)),
        wanted=Wanted(true_airspeed=100 * knot, radius=450.0),
    )
    rows, by_rule = made.schedule, made.handbook_height
    assert by_rule is not None
    assert made.extremes.height_min / foot == pytest.approx(822, abs=1)
    # The turns end short of straight downwind, where the height would be 941 ft.
    assert 885 < made.extremes.height_max / foot < 941
    # Handbook, FAA-H-8083-3C, p. 7-15: ground speed in knots squared over 11.3.
    assert by_rule / foot == pytest.approx((rows.ground_speed / knot) ** 2 / 11.3, abs=0.6)
    assert any("GS²/11.3 of the handbook holds in still air" in note for note in made.notes)


# Pivotal table, GS²/11.3 (the rule of FAA-H-8083-3C, p. 7-15), computed; still air.
PIVOTAL = [(60, 319), (80, 566), (90, 717), (100, 885), (110, 1071), (120, 1274)]


@pytest.mark.parametrize(("speed", "height_ft"), PIVOTAL)
def test_pivotal_heights_in_still_air(speed: float, height_ft: float) -> None:
    made = planned("eights-on-pylons", true_airspeed=speed * knot, wind_speed=0.0)
    assert made.handbook_height is not None
    assert made.handbook_height / foot == pytest.approx(height_ft, abs=0.6)
    assert made.schedule.height / foot == pytest.approx(height_ft, abs=1.0)
    assert any("within 5 ft" in note for note in made.notes)


def test_the_sight_line_of_a_circle_stays_while_the_bank_does_not() -> None:
    """800 ft, 500 m: 26.0° at every place while the bank goes from 30.8 to 16.9° (computed apart)."""
    made = circle(90, 15, radius=500.0, height=800 * foot)
    rows = made.schedule
    assert rows.depression == pytest.approx(26.0 * degree, abs=0.03 * degree)
    assert degrees(rows.above_wing.max()) == pytest.approx(30.755 - 26.0, abs=0.1)
    assert degrees(rows.above_wing.min()) == pytest.approx(16.889 - 26.0, abs=0.1)


def test_a_steep_turn_drifts_with_the_wind() -> None:
    """100 kt, 30 kt, 45°: 32.961 s and 508.695 m downwind a turn (integrated apart from this code)."""
    made = plan(
        "steep-turns",
        wind=Blowing(30 * knot, radians(270)),
        wanted=Wanted(true_airspeed=100 * knot, laps=1, bank_limit=45 * degree),
    )
    (turn,) = made.layout.pieces
    ends = turn.at(made.inputs.air, turn.spread()[[0, -1]])
    assert made.extremes.time == pytest.approx(32.961, abs=6e-4)
    assert ends.east[1] - ends.east[0] == pytest.approx(508.695, abs=6e-4)
    assert ends.north[1] - ends.north[0] == pytest.approx(0.0, abs=1e-6)
