"""Least heights: the rules as quoted, a height that is too low refused, the standard's band."""

from __future__ import annotations

import pytest

from groundref.errors import UsageError
from groundref.planning import Around, Blowing, Wanted, plan
from groundref.planning.rules import SURROUNDINGS, load_rules
from groundref.units import degree, foot, knot

# 14 CFR 91.119(b), (c) and SERA.5005(f), read in secondary copies: feet, over an obstacle of 200 ft.
ASKED = {
    ("us", "congested"): (1200, "14 CFR 91.119(b)"),
    ("us", "open"): (500, "14 CFR 91.119(c)"),
    ("us", "sparse"): (700, "14 CFR 91.119(c)"),
    ("us", "water"): (700, "14 CFR 91.119(c)"),
    ("europe", "congested"): (1200, "SERA.5005(f)(1)"),
    ("europe", "open"): (700, "SERA.5005(f)(2)"),
    ("europe", "sparse"): (700, "SERA.5005(f)(2)"),
    ("europe", "water"): (700, "SERA.5005(f)(2)"),
}


@pytest.mark.parametrize(("rules", "surroundings"), ASKED)
def test_least_height_as_quoted(rules: str, surroundings: str) -> None:
    feet, source = ASKED[rules, surroundings]
    limit = load_rules(rules).over(surroundings)
    assert limit.least_height(200 * foot) / foot == pytest.approx(feet)
    assert limit.source == source
    assert not limit.confirmed  # read in quotations, not in the publication


def test_obstacles_count_within_2000_ft_and_600_m() -> None:
    assert load_rules("us").over("congested").within_ft == 2000
    assert load_rules("europe").over("congested").within_ft * foot == pytest.approx(600, abs=0.1)


@pytest.mark.parametrize(("rules", "surroundings"), ASKED)
def test_a_height_below_it_is_refused_and_one_at_it_is_not(rules: str, surroundings: str) -> None:
    feet, _ = ASKED[rules, surroundings]
    around = Around(surroundings, 200 * foot, rules)
    made = plan("turns-around-a-point", wanted=Wanted(height=feet * foot), around=around)
    assert made.safety.heights.least == pytest.approx(feet * foot)
    short = 1 if rules == "us" else 20  # ft: below what the rule prints in meters, too
    with pytest.raises(UsageError, match=rf"below the {feet:,} ft \([\d,.]+ m\) that .* asks for here"):
        plan("turns-around-a-point", wanted=Wanted(height=(feet - short) * foot), around=around)


def test_every_surroundings_has_one_limit_in_each_set_of_rules() -> None:
    for rules in ("us", "europe"):
        named = [each for limit in load_rules(rules).limit for each in limit.surroundings]
        assert sorted(named) == sorted(SURROUNDINGS)


def test_over_empty_land_a_distance_is_asked_and_no_height() -> None:
    made = plan("s-turns", wanted=Wanted(height=400 * foot), around=Around("sparse"))
    assert made.safety.heights.least is None
    assert {"distance-from-people", "outside-height-band"} <= {each.name for each in made.cautions}


def test_a_height_that_follows_from_the_speed_is_a_caution() -> None:
    low = plan(
        "eights-on-pylons",
        wind=Blowing(10 * knot, 240 * degree),
        wanted=Wanted(true_airspeed=80 * knot),
        around=Around("congested", 0.0),
    )
    (caution,) = (each for each in low.cautions if each.name == "below-least-height")
    assert caution.weight.name == "STOP"
    assert caution.source == "14 CFR 91.119(b)"


def test_the_band_is_that_of_the_standard() -> None:
    high = plan("turns-around-a-point", wanted=Wanted(height=1200 * foot))
    assert high.safety.heights.band_low == pytest.approx(600 * foot)
    assert high.safety.heights.band_high == pytest.approx(1000 * foot)
    (caution,) = (each for each in high.cautions if each.name == "outside-height-band")
    assert "1,200 ft is above 1,000 ft" in caution.says
    assert caution.source.startswith("PA.V.B.S3c")


def test_without_surroundings_what_would_hold_is_said() -> None:
    (said,) = (each for each in plan("s-turns").cautions if each.name == "surroundings-not-stated")
    assert "300 ft above what open land asks" in said.says
    assert "91.119(b)" in said.says
    low = plan("s-turns", wanted=Wanted(height=450 * foot))
    (said,) = (each for each in low.cautions if each.name == "surroundings-not-stated")
    assert said.weight.name == "CARE"


def test_legal_but_near_an_obstacle() -> None:
    made = plan("s-turns", wanted=Wanted(height=600 * foot), around=Around("open", 180 * foot))
    (said,) = (each for each in made.cautions if each.name == "near-obstacle")
    assert "by 420 ft" in said.says


def test_unknown_names_are_refused() -> None:
    with pytest.raises(UsageError, match="choose one of open, sparse, congested, water"):
        plan("s-turns", around=Around("desert"))
    with pytest.raises(UsageError, match="take one of europe, us"):
        plan("s-turns", around=Around(rules="moon"))


# SERA.5005(f) prints both units, 300 m (1 000 ft) and 150 m (500 ft): the rounded value keeps it, too.
@pytest.mark.parametrize(("surroundings", "metres", "feet"), [("open", 150, 500), ("congested", 300, 1000)])
def test_a_rule_printed_in_both_units_is_kept_by_either(surroundings: str, metres: int, feet: int) -> None:
    around = Around(surroundings, 0.0, "europe")
    for height in (metres, feet * foot):
        made = plan("turns-around-a-point", wanted=Wanted(height=height), around=around)
        assert "below-least-height" not in {each.name for each in made.cautions}
    says = rf"^height: .* ft \({metres - 0.2:.1f} m\) .* below the {feet:,} ft \({metres} m\)"
    with pytest.raises(UsageError, match=says):
        plan("turns-around-a-point", wanted=Wanted(height=metres - 0.2), around=around)


def test_a_rule_printed_in_feet_is_offered_in_whole_meters_that_keep_it() -> None:
    around = Around("open")
    with pytest.raises(UsageError, match=r"below the 500 ft \(152\.4 m\).* plan 500 ft \(153 m\) or more"):
        plan("turns-around-a-point", wanted=Wanted(height=152.0), around=around)
    plan("turns-around-a-point", wanted=Wanted(height=153.0), around=around)
