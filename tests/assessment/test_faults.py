"""Each fault alone is found with its size, with nothing it does not imply; good flying yields none."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groundref.assessment.assessed import Assessed, Finding
from groundref.assessment.faults.mention import laps_that_show, supported
from groundref.assessment.findings import EXPLANATIONS, FAULTS
from groundref.debriefing import debrief
from groundref.detection.maneuver import point_at
from groundref.mechanics import trochoid
from groundref.simulation import simulate
from groundref.units import degree, foot, knot, standard_gravity

from .synthetic import Case, changed, fading, flight, found, judged, smooth_noise

sides = pytest.mark.parametrize("side", [1.0, -1.0])
three_sd = 3.0

quick = settings(max_examples=40, deadline=None)


@quick
@given(
    airspeed=st.floats(65, 115),
    share=st.floats(0.0, 0.3),
    wind_to=st.floats(0.0, 6.28),
    bank=st.floats(15.0, 40.0),
    side=st.sampled_from([1.0, -1.0]),
    laps=st.sampled_from([1.0, 2.0, 3.0]),
    seed=st.integers(0, 10_000),
)
def test_a_well_flown_circle_yields_no_finding(
    airspeed: float, share: float, wind_to: float, bank: float, side: float, laps: float, seed: int
) -> None:
    """Any airspeed, wind, direction and number of laps; steepest bank up to 40°; with noise as stated."""
    speed = airspeed * knot * (1.0 + share)
    radius = speed**2 / (standard_gravity * np.tan(bank * degree))
    case = Case(airspeed * knot, share * airspeed * knot, wind_to, radius, side, laps, seed=seed)
    assert found(case) == {}


@sides
def test_bank_held_constant_is_the_cause_and_the_only_thing_said(side: float) -> None:
    case = Case(side=side, bank=lambda turned, needed: 23.6 * degree)
    findings = found(case)
    finding = findings["bank-held-constant"]
    assert set(findings) == {"bank-held-constant"}
    assert abs(finding.size - 1.0) < three_sd * finding.size_sd
    assert finding.size_unit == "fraction"
    assert finding.laps == (1, 2)
    # Constant bank drifts straight downwind by W · 2πV/(g tan φ) in one lap.
    drift = case.wind * 2 * np.pi * case.airspeed / (9.80665 * np.tan(23.6 * degree)) / foot
    assert finding.consequence_ft == pytest.approx(drift, rel=0.05)


@pytest.mark.parametrize("laps", [2.2, 2.6, 3.4])
def test_the_drift_of_a_held_bank_is_what_the_circle_moved(laps: float) -> None:
    """Whatever was turned beyond whole laps, one figure is told of the circle and by the finding."""
    recording, _ = simulate(
        seed=5,
        wind_speed=15 * knot,
        laps=laps,
        unsteadiness=0.0,
        faults={"bank-held-constant": 1.0},
        flight="maneuver-only",
    )
    (one,) = debrief(recording).maneuvers
    (finding,) = (each for each in one.findings if each.fault == "bank-held-constant")
    m = one.maneuver
    assert m.drifts
    assert m.wind is not None
    assert finding.consequence_ft == pytest.approx(np.hypot(m.drift_east, m.drift_north) / foot)
    assert one.bank is not None
    bank = 0.5 * (one.bank.maximum + one.bank.minimum)
    exact = float(trochoid.drift_per_lap(m.wind.true_airspeed, m.wind.speed, bank)) / foot
    assert finding.consequence_ft == pytest.approx(exact, rel=0.03)
    assert "of the change the wind asked for was made" in finding.says or finding.size < 0.995


def test_half_of_the_change_of_bank_made() -> None:
    finding = found(Case(bank=lambda turned, needed: 0.5 * needed + 0.5 * 23.6 * degree))[
        "bank-held-constant"
    ]
    assert finding.size == pytest.approx(0.5, abs=max(0.1, three_sd * finding.size_sd))


def drawn(case: Case, fault: str) -> list[Finding]:
    """The finding in ten draws of the noise, at the radius that was meant, where it was made."""
    found_in = []
    for seed in range(1, 11):
        states, maneuver = flight(replace(case, seed=seed))
        finding = named_or_none(judged(states, replace(maneuver, radius=case.radius)), fault)
        found_in += [] if finding is None else [finding]
    return found_in


@sides
@pytest.mark.parametrize("size", [6.0, 9.0])
@pytest.mark.parametrize(
    ("fault", "middle", "sign", "place", "laps"),
    [
        ("overbanked-upwind", np.pi, 1.0, "flying upwind", 1.0),
        ("underbanked-downwind", 0.0, -1.0, "flying downwind", 1.3),
    ],
)
def test_bank_wrong_in_one_third(
    fault: str, middle: float, sign: float, place: str, laps: float, size: float, side: float
) -> None:
    wrong = sign * size * degree
    case = Case(side=side, bank=lambda turned, needed: needed + wrong * fading(turned - middle), laps=laps)
    findings = drawn(case, fault)
    assert len(findings) >= 9
    z = [(each.size - size) / each.size_sd for each in findings]
    assert abs(np.mean(z)) < 0.5  # the largest of noisy means leans outward, by less than half of its sd
    assert np.std(z) < 1.3
    for each in findings:
        assert each.position == place
        assert each.consequence_ft is not None
        assert each.consequence_ft > 0.0


@pytest.mark.parametrize(
    ("fault", "middle", "sign"), [("overbanked-upwind", np.pi, 1.0), ("underbanked-downwind", 0.0, -1.0)]
)
def test_bank_wrong_in_one_third_is_not_called_anything_else(fault: str, middle: float, sign: float) -> None:
    wrong = sign * 6 * degree
    assert set(found(Case(bank=lambda turned, needed: needed + wrong * fading(turned - middle)))) == {fault}


@sides
def test_late_turn_entry(side: float) -> None:
    """4 s at 105 kt past abeam at 500 m, measured on the track: √(500² + 216²) − 500 = 45 m farther."""
    states, maneuver = flight(Case(side=side, late=4.0, noise=0.0))
    finding = named(judged(states, maneuver), "late-turn-entry")
    assert finding.size == pytest.approx(4.0)
    assert finding.consequence_ft == pytest.approx(44.7 / foot, abs=0.5)
    assert f"grew by {finding.consequence_ft:.0f} ft" in finding.says


@sides
def test_how_far_a_late_turn_leads_is_measured_and_not_worked_out_from_the_radius(side: float) -> None:
    """Abeam at 400 m of a maneuver whose mean distance is 500 m: what grew is what stands beside it."""
    states, maneuver = flight(Case(side=side, radius=400.0, late=4.0, noise=0.0))
    finding = named(judged(states, replace(maneuver, radius=500.0)), "late-turn-entry")
    speed = float(states.ground_speed[maneuver.first])
    grown = float(np.hypot(400.0, 4.0 * speed)) - 400.0
    assert finding.consequence_ft == pytest.approx(grown / foot, abs=0.5)
    assert finding.consequence_ft == pytest.approx((maneuver.entry.distance - 400.0) / foot, abs=0.5)


@sides
def test_the_deviation_of_what_a_late_turn_added_is_that_of_repeated_draws(side: float) -> None:
    """The point drawn with its deviation of 20 m on each axis, and the moment of turning with that stated."""
    states, maneuver = flight(Case(side=side, late=4.0))
    rng, drawn_ft, stated_ft = np.random.default_rng(3), [], []
    for _ in range(300):
        off = 20.0 * rng.standard_normal(2)
        moved = point_at(maneuver.reference.east + off[0], maneuver.reference.north + off[1], 20.0, "fitted")
        finding = named_or_none(judged(states, replace(maneuver, reference=moved)), "late-turn-entry")
        assert finding is not None
        drawn_ft.append(finding.consequence_ft)
        stated_ft.append(finding.consequence_sd_ft)
    # Position, its wander and the moment of turning are not drawn: they are in what is stated besides.
    assert 0.4 * np.mean(stated_ft) < np.std(drawn_ft) < np.mean(stated_ft)


def test_a_late_turn_that_took_nothing_out_of_the_circle_has_no_consequence() -> None:
    """Abeam seconds before the nearest place: the distance shrinks until the turn, so nothing grew."""
    states, maneuver = flight(Case(noise=0.0))
    entry = replace(maneuver.entry, abeam_time=maneuver.start - 4.0)
    finding = named(judged(states, replace(maneuver, entry=entry)), "late-turn-entry")
    assert finding.consequence_ft is None
    assert finding.consequence_sd_ft is None
    assert "grew" not in finding.says


def test_a_turn_begun_just_past_abeam_is_not_late() -> None:
    states, maneuver = flight(Case())
    entry = replace(maneuver.entry, abeam_time=maneuver.start - 1.5)
    assert named_or_none(judged(states, replace(maneuver, entry=entry)), "late-turn-entry") is None
    entry = replace(maneuver.entry, abeam_time=None)
    assert named_or_none(judged(states, replace(maneuver, entry=entry)), "late-turn-entry") is None


@sides
@pytest.mark.parametrize("off", [40.0, -40.0])
def test_entry_not_downwind(side: float, off: float) -> None:
    findings = found(Case(side=side, entry_off=off * degree))
    assert set(findings) == {"entry-not-downwind"}
    finding = findings["entry-not-downwind"]
    assert finding.size == pytest.approx(40.0, abs=0.1)
    place = "turning from downwind to crosswind" if off > 0 else "turning from crosswind to downwind"
    assert finding.position == place


@pytest.mark.parametrize(("off_ft", "fault"), [(-350.0, "entry-too-close"), (350.0, "entry-too-far")])
def test_entered_at_another_distance_than_flown(off_ft: float, fault: str) -> None:
    states, maneuver = flight(Case())
    turned = np.abs(states.track - states.track[maneuver.first])
    away = off_ft * foot * np.where(turned < np.pi, 0.5 * (1.0 + np.cos(np.minimum(turned, np.pi))), 0.0)
    away = np.where(states.time < maneuver.start, off_ft * foot, away)
    distance = np.hypot(states.east, states.north)
    states = changed(
        states,
        east=states.east * (1.0 + away / distance),
        north=states.north * (1.0 + away / distance),
    )
    findings = judged(states, maneuver).findings
    finding = next(each for each in findings if each.fault == fault)
    assert {each.fault for each in findings} == {fault}
    assert finding.size == pytest.approx(350.0, abs=three_sd * finding.size_sd)


@pytest.mark.parametrize(("off_ft", "fault"), [(-350.0, "entry-too-close"), (350.0, "entry-too-far")])
def test_the_entry_is_measured_from_the_circle_held_later_not_from_a_point_that_gave_way(
    off_ft: float, fault: str
) -> None:
    """A point fitted to an entry from elsewhere lies off toward it and is as uncertain: no matter."""
    states, maneuver = flight(Case())
    moved = 80.0 * foot * np.array([np.sin(0.9), np.cos(0.9)])
    gave_way = replace(maneuver, reference=point_at(float(moved[0]), float(moved[1]), 180.0 * foot, "fitted"))
    turned = np.abs(states.track - states.track[maneuver.first])
    away = off_ft * foot * np.where(turned < np.pi, 0.5 * (1.0 + np.cos(np.minimum(turned, np.pi))), 0.0)
    away = np.where(states.time < maneuver.start, off_ft * foot, away)
    share = 1.0 + away / np.hypot(states.east, states.north)
    entered = changed(states, east=states.east * share, north=states.north * share)
    finding = named(judged(entered, gave_way), fault)
    assert finding.size == pytest.approx(350.0, abs=three_sd * finding.size_sd)
    assert finding.size_sd < 60.0


def test_a_circle_too_tight_for_the_wind_is_cured_by_a_wider_one() -> None:
    """80 kt in 15 kt of wind needs 799 ft for 45° straight downwind (own derivation, table of radii)."""
    findings = found(Case(airspeed=80 * knot, wind=15 * knot, radius=600 * foot))
    assert set(findings) == {"entry-too-close"}
    finding = findings["entry-too-close"]
    told = float(finding.cure.partition(" at about ")[2].partition(" ft")[0])
    assert told == pytest.approx(799.0, abs=5.0)
    assert finding.size == pytest.approx(199.0, abs=three_sd * finding.size_sd)


def test_bank_over_limit_demanded_by_the_circle_says_how_wide() -> None:
    states, maneuver = flight(Case(airspeed=80 * knot, wind=15 * knot, radius=740 * foot, noise=0.3))
    finding = named(judged(states, maneuver), "bank-over-limit")
    assert "wider circle" in finding.cure
    assert "800 ft" in finding.cure


def test_bank_over_limit_by_the_pilot_is_cured_by_less_bank() -> None:
    spike = 24.0 * degree
    case = Case(bank=lambda turned, needed: needed + spike * fading(turned - 2 * np.pi - 0.3, 0.5))
    finding = found(case)["bank-over-limit"]
    assert "wider" not in finding.cure
    assert finding.laps == (2,)
    assert finding.size == pytest.approx(30.4 + 24.0 - 45.0, abs=three_sd * finding.size_sd)


def test_radius_changed_from_lap_to_lap() -> None:
    states, maneuver = flight(Case(laps=3.0))
    turned = np.abs(states.track - states.track[maneuver.first]) / (2 * np.pi)
    factor = 1.0 + 0.15 * np.clip((turned - 1.0) * 6.0, 0.0, 1.0)
    states = changed(states, east=states.east * factor, north=states.north * factor)
    finding = named(judged(states, maneuver), "radius-changed")
    assert finding.size == pytest.approx(0.15 * 500 / foot, abs=three_sd * finding.size_sd)
    assert "not the same size" in finding.says


@pytest.mark.parametrize("size", [-160.0, 160.0])
def test_altitude_not_held(size: float) -> None:
    states, maneuver = flight(Case())
    hump = size * foot * np.exp(-(((states.time - maneuver.start - 35.0) / 8.0) ** 2))
    findings = judged(changed(states, altitude=states.altitude + hump), maneuver).findings
    assert [each.fault for each in findings] == ["altitude-not-held"]
    assert findings[0].size == pytest.approx(160.0, abs=three_sd * findings[0].size_sd)
    assert ("below" if size < 0 else "above") in findings[0].says
    assert findings[0].position == "flying upwind"


def test_airspeed_that_height_explains_is_not_said_twice() -> None:
    states, maneuver = flight(Case())
    dip = -60.0 * np.exp(-(((states.time - maneuver.start - 35.0) / 8.0) ** 2))
    gained = -9.80665 * dip / states.true_airspeed
    traded = changed(states, altitude=states.altitude + dip, true_airspeed=states.true_airspeed + gained)
    assert [each.fault for each in judged(traded, maneuver).findings] == ["altitude-not-held"]
    note = judged(traded, maneuver).notes[-1]
    assert note.startswith("Airspeed became ")
    assert note.endswith(": height was traded for speed.")
    both = changed(states, altitude=states.altitude + dip, true_airspeed=states.true_airspeed - gained)
    assert {each.fault for each in judged(both, maneuver).findings} == {
        "altitude-not-held",
        "airspeed-not-held",
    }


def test_airspeed_that_the_wind_could_be_is_not_reported() -> None:
    """10 kt slow once a lap is a finding when measured; when derived it may be the wind's error."""
    states, maneuver = flight(Case())
    slow = 5.0 * knot * (1.0 - np.cos(2 * np.pi * (states.time - maneuver.start) / 70.0))
    slow = np.where(states.time > maneuver.start, slow, 0.0)
    states = changed(states, true_airspeed=states.true_airspeed - slow)
    measured = judged(changed(states, airspeed_source="measured"), maneuver)
    assert [each.fault for each in measured.findings] == ["airspeed-not-held"]
    derived = judged(states, maneuver)
    assert derived.findings == ()
    verdict = next(each for each in derived.elements if each.what.startswith("airspeed"))
    assert verdict.verdict == "undetermined"


@pytest.mark.parametrize(("height", "way"), [(450.0, "below"), (1150.0, "above")])
def test_outside_height_band(height: float, way: str) -> None:
    states, maneuver = flight(Case())
    finding = named(
        judged(changed(states, height=np.full(len(states), height * foot)), maneuver), "outside-height-band"
    )
    assert finding.size == pytest.approx(150.0)
    assert way in finding.says
    assert judged(changed(states, height=None, height_sd=None), maneuver).findings == ()


@sides
@pytest.mark.parametrize(("sign", "word"), [(1.0, "skidding"), (-1.0, "slipping")])
def test_uncoordinated(side: float, sign: float, word: str) -> None:
    """Specific force toward the inside of the turn is a skid; level flight takes out the sensor's tilt."""
    states, maneuver = flight(Case(side=side))
    rng = np.random.default_rng(5)
    turning = states.time > maneuver.start
    force = 0.02 + sign * side * 0.1 * turning + smooth_noise(rng, len(states), 0.02, 2.0)
    findings = judged(changed(states, lateral_acceleration=force * standard_gravity), maneuver).findings
    assert [each.fault for each in findings] == ["uncoordinated"]
    assert word in findings[0].says
    assert findings[0].size == pytest.approx(0.1, abs=three_sd * findings[0].size_sd + 0.02)


def test_without_a_known_wind_nothing_is_said_relative_to_it() -> None:
    states, maneuver = flight(Case(bank=lambda turned, needed: 23.6 * degree, entry_off=0.7))
    nowhere = np.full(len(states), np.nan)
    states = changed(states, crab=nowhere, heading=nowhere, true_airspeed=nowhere)
    relative = {
        "bank-held-constant",
        "overbanked-upwind",
        "underbanked-downwind",
        "entry-not-downwind",
        "airspeed-not-held",
    }
    findings = judged(states, replace(maneuver, wind=None)).findings
    assert not relative & {each.fault for each in findings}
    assert all(each.position == "" for each in findings)


def test_light_wind_has_no_places() -> None:
    findings = found(Case(wind=2.0 * knot, bank=lambda turned, needed: 23.6 * degree, entry_off=2.0))
    assert findings == {}


def test_noise_alone_is_never_a_finding() -> None:
    reported = [found(Case(seed=seed)) for seed in range(60)]
    assert reported == [{}] * 60


def test_a_wind_that_could_be_none_has_no_places() -> None:
    """5 kt known to 2 kt on each axis gives no downwind; known to 1 kt it does."""
    states, maneuver = flight(Case(wind=5.0 * knot, entry_off=1.5))
    assert maneuver.wind is not None
    for sd, said in ((2.0 * knot, False), (0.5 * knot, True)):
        wind = replace(maneuver.wind, east_sd=sd, north_sd=sd)
        findings = judged(states, replace(maneuver, wind=wind))
        assert (named_or_none(findings, "entry-not-downwind") is not None) is said


def test_bank_lacking_in_a_skid_is_the_skid() -> None:
    """0.1 g toward the inside turns like 5.7° of bank, so that much less was flown on the same circle."""
    states, maneuver = flight(Case())
    turning = states.time > maneuver.start
    skid = changed(
        states,
        bank=states.bank - 5.7 * degree * turning,
        lateral_acceleration=0.1 * standard_gravity * turning,
    )
    assert [each.fault for each in judged(skid, maneuver).findings] == ["uncoordinated"]


def test_an_error_that_takes_back_a_larger_one_is_not_said() -> None:
    """15° too much at the downwind place, then 8° too little: the second is the correction of the first."""

    def bank(turned: float, needed: float) -> float:
        return needed + degree * (15 * fading(turned, 0.4) - 8 * fading(turned - 0.75, 0.35))

    for middle, expected in ((bank, False), (lambda t, n: n - 8 * degree * fading(t - 0.6, 0.5), True)):
        case = Case(bank=middle, laps=3.0, noise=0.3)
        states, maneuver = flight(case)
        found_it = named_or_none(
            judged(states, replace(maneuver, radius=case.radius)), "underbanked-downwind"
        )
        assert (found_it is not None) is expected


@sides
def test_a_lap_that_only_takes_back_an_error_is_left_out_and_said_so(side: float) -> None:
    """Upwind in lap 1: 8° too little, then 8° too much to come back; in laps 2 and 3 8° too much alone."""

    def bank(turned: float, needed: float) -> float:
        before = -8.0 * fading(turned - 2.3, 0.5) if turned < 4.0 else 0.0
        return needed + degree * (before + 8.0 * fading(turned - 3.3, 0.6))

    finding = found(Case(side=side, laps=3.0, noise=0.3, bank=bank))["overbanked-upwind"]
    assert finding.laps == (2, 3)
    assert finding.says.startswith("Laps 2 and 3, flying upwind: ")
    assert finding.says.endswith(
        " Lap 1 is left out: there the steeper bank may only have taken back one too shallow just before."
    )
    every = found(
        Case(side=side, laps=3.0, noise=0.3, bank=lambda t, n: n + 8 * degree * fading(t - 3.3, 0.6))
    )
    assert every["overbanked-upwind"].laps == (1, 2, 3)
    assert "left out" not in every["overbanked-upwind"].says


def test_airspeed_says_what_it_does_to_the_circle() -> None:
    """12 kt on 90 kt at the same bank: (102/90)² − 1 = 28 % of 500 m."""
    states, maneuver = flight(Case(noise=0.0))
    fast = np.where(states.time > maneuver.start + 20, 12.0 * knot, 0.0)
    finding = named(
        judged(
            changed(states, true_airspeed=states.true_airspeed + fast, airspeed_source="measured"), maneuver
        ),
        "airspeed-not-held",
    )
    assert finding.consequence_ft == pytest.approx(0.2844 * maneuver.radius / foot, rel=1e-3)
    assert "wider" in finding.says


def test_height_lost_in_every_lap_is_said_of_every_lap() -> None:
    """160 ft low about the upwind place of each of three laps; the times go from the first to the last."""
    states, maneuver = flight(Case(laps=3.0))
    turned = np.abs(states.track - states.track[maneuver.first])
    hump = np.array([fading(float(angle) - np.pi, 1.2) for angle in turned]) * (states.time > maneuver.start)
    finding = named(
        judged(changed(states, altitude=states.altitude - 160 * foot * hump), maneuver), "altitude-not-held"
    )
    assert finding.laps == (1, 2, 3)
    assert finding.position == "flying upwind"
    assert "in laps 1, 2 and 3, most in lap" in finding.says
    for lap in (maneuver.laps[0], maneuver.laps[2]):
        middle = 0.5 * (lap.start + lap.end)
        assert finding.start < middle + 10.0
        assert finding.end > middle - 10.0
    assert maneuver.laps[0].start < finding.start < maneuver.laps[0].end
    assert maneuver.laps[2].start < finding.end < maneuver.laps[2].end


def test_height_lost_once_is_said_of_one_lap() -> None:
    states, maneuver = flight(Case(laps=3.0))
    middle = 0.5 * (maneuver.laps[1].start + maneuver.laps[1].end)
    hump = 160 * foot * np.exp(-(((states.time - middle) / 8.0) ** 2))
    finding = named(judged(changed(states, altitude=states.altitude + hump), maneuver), "altitude-not-held")
    assert finding.laps == (2,)
    assert maneuver.laps[1].start < finding.start < middle < finding.end < maneuver.laps[1].end
    assert "in lap 2, flying upwind" in finding.says


def test_a_skid_all_the_way_round_has_no_place() -> None:
    states, maneuver = flight(Case())
    turned = np.abs(states.track - states.track[maneuver.first])
    force = 0.1 * standard_gravity * (states.time > maneuver.start)
    everywhere = named(judged(changed(states, lateral_acceleration=force), maneuver), "uncoordinated")
    assert everywhere.position == ""
    upwind = np.array([fading(float(angle) - np.pi, 1.0) for angle in turned])
    somewhere = named(judged(changed(states, lateral_acceleration=force * upwind), maneuver), "uncoordinated")
    assert somewhere.position == "flying upwind"
    assert somewhere.laps == (1, 2)


def test_what_a_fitted_point_took_up_is_said() -> None:
    states, maneuver = flight(Case(bank=lambda turned, needed: needed + 8 * degree * fading(turned - np.pi)))
    fitted = named(judged(states, maneuver), "overbanked-upwind")
    assert fitted.consequence_at_least
    assert "closed the circle by at least" in fitted.says
    assert "give the point for the full figure" in fitted.says
    point = replace(maneuver.reference, sd=0.0, source="given")
    given_point = named(judged(states, replace(maneuver, reference=point)), "overbanked-upwind")
    assert not given_point.consequence_at_least
    assert "at least" not in given_point.says
    # Two positions of 1.5 m with 2.5 m of slow wander each.
    assert given_point.consequence_sd_ft == pytest.approx(np.sqrt(2) * np.hypot(1.5, 2.5) / foot, rel=1e-6)


def test_every_consequence_has_its_deviation() -> None:
    cases = [
        Case(bank=lambda turned, needed: 23.6 * degree),
        Case(bank=lambda turned, needed: needed - 8 * degree * fading(turned)),
        Case(airspeed=80 * knot, radius=600 * foot),
    ]
    states, maneuver = flight(Case())
    later = replace(maneuver, entry=replace(maneuver.entry, abeam_time=maneuver.start - 4.0))
    low = changed(states, altitude=states.altitude - 200 * foot * (states.time > maneuver.start + 20))
    slow = changed(
        states,
        true_airspeed=states.true_airspeed - 14 * knot * (states.time > maneuver.start + 20),
        airspeed_source="measured",
    )
    high = changed(states, height=np.full(len(states), 400.0))
    findings = [each for case in cases for each in judged(*flight(case)).findings]
    for flown in ((states, later), (low, maneuver), (slow, maneuver), (high, maneuver)):
        findings += judged(*flown).findings
    assert len({each.fault for each in findings}) >= 7
    for each in findings:
        assert (each.consequence_ft is None) == (each.consequence_sd_ft is None), each.fault
        if each.consequence_ft is not None:
            assert "±" in each.says


def test_left_mirrors_right() -> None:
    def say(side: float) -> list[tuple[str, float]]:
        case = Case(
            side=side,
            wind_to=0.0,
            bank=lambda turned, needed: needed - 8 * degree * fading(turned),
            noise=0.0,
        )
        return [(each.fault, round(each.size, 6)) for each in judged(*flight(case)).findings]

    assert say(1.0) == say(-1.0) != []


def test_findings_are_sorted_and_each_says_a_sentence_and_a_cure() -> None:
    states, maneuver = flight(Case(entry_off=40 * degree))
    states = changed(states, altitude=states.altitude - 80.0 * (states.time > maneuver.start + 20))
    findings = judged(states, maneuver).findings
    assert len(findings) >= 2
    assert list(findings) == sorted(findings, key=lambda each: -each.strength)
    for each in findings:
        assert each.says.endswith(".")
        assert each.cure.endswith(".")
        assert "nan" not in each.says + each.cure


def test_the_table_of_explanations_names_faults() -> None:
    for each in EXPLANATIONS:
        assert {each.cause, each.effect} <= set(FAULTS)
        assert each.cause != each.effect


def test_support_needs_size_and_certainty() -> None:
    assert supported(3.0, 0.9, 3.0)
    assert not supported(2.9, 0.1, 3.0)
    assert not supported(3.0, 1.0, 3.0)
    assert not supported(float("nan"), 0.1, 3.0)


def test_one_lap_alone_must_show_it_clearly() -> None:
    assert laps_that_show([(1, 0.0, 0.5), (2, 4.0, 0.5)], 3.0)[0] == ()
    assert laps_that_show([(1, 0.0, 0.5), (2, 5.0, 0.5)], 3.0)[0] == (2,)
    assert laps_that_show([(1, 3.0, 0.5), (2, 5.0, 0.5)], 3.0)[0] == (1, 2)


def named(assessed: Assessed, fault: str) -> Finding:
    finding = named_or_none(assessed, fault)
    assert finding is not None, [each.says for each in assessed.findings]
    return finding


def named_or_none(assessed: Assessed, fault: str) -> Finding | None:
    return next((each for each in assessed.findings if each.fault == fault), None)


def test_thousands_are_apart() -> None:
    states, maneuver = flight(Case())
    finding = named(
        judged(changed(states, height=np.full(len(states), 4363 * foot)), maneuver), "outside-height-band"
    )
    assert "reached 4,363 ft" in finding.says
    assert "3,363 ft above the band" in finding.says
