"""Every sentence in both kinds of units: from one value, each rounded once, and no measure left open."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from groundref.assessment.assessed import Assessed
from groundref.units import degree, foot, kilometre_per_hour, knot

from .synthetic import Case, changed, fading, flight, judged

_STATED = re.compile(r" \([\d,]+(?: to [\d,]+)? (?:ft|kt)\)")
_MEASURE = re.compile(r"(?<![\w.,])(\d[\d,]*(?:\.\d+)?)(?: to (\d[\d,]*))? (ft|kt|m|km/h)(?![\w/])")
_SIZES = {"ft": foot, "m": 1.0, "kt": knot, "km/h": kilometre_per_hour}
UPWARD = 10.0 * foot + 5.0  # by which two roundings of advice, up to the next ten feet or five meters, differ


def upwind(excess: float) -> Case:
    return Case(bank=lambda turned, needed: needed + excess * degree * fading(turned - np.pi))


def flights() -> dict[str, Assessed]:
    states, maneuver = flight(Case())
    low = changed(states, height=np.full(len(states), 450.0 * foot))
    hump = 180.0 * foot * np.exp(-(((states.time - maneuver.start - 35.0) / 8.0) ** 2))
    fast = np.where(states.time > maneuver.start + 20, 12.0 * knot, 0.0)
    speedy = changed(states, true_airspeed=states.true_airspeed + fast, airspeed_source="measured")
    rare = changed(states, velocity_sd=np.full(len(states), 2.0))
    return {
        "late": judged(*flight(Case(late=4.0))),
        "upwind": judged(*flight(upwind(8.0))),
        "constant": judged(*flight(Case(bank=lambda turned, needed: 23.6 * degree))),
        "low": judged(low, maneuver),
        "altitude": judged(changed(states, altitude=states.altitude - hump), maneuver),
        "airspeed": judged(speedy, maneuver),
        "light wind": judged(*flight(Case(wind=2.0 * knot))),
        "coarse": judged(rare, maneuver),
        "close": judged(*flight(Case(radius=230.0, airspeed=110 * knot))),
    }


FLIGHTS = flights()


def pairs(one: Assessed) -> list[tuple[str, str]]:
    said = [(each.says, each.says_metric) for each in one.findings]
    said += [(each.cure, each.cure_metric) for each in one.findings]
    return [*said, *zip(one.notes, one.notes_metric, strict=True)]


def measures(sentence: str) -> list[tuple[float, str]]:
    found = _MEASURE.findall(_STATED.sub("", sentence))
    return [
        (float(number.replace(",", "")), unit)
        for first, second, unit in found
        for number in (first, second)
        if number
    ]


@pytest.mark.parametrize("name", FLIGHTS)
def test_both_texts_say_the_same_each_rounded_once(name: str) -> None:
    said = pairs(FLIGHTS[name])
    assert said
    for us, si in said:
        ours, theirs = measures(us), measures(si)
        assert len(ours) == len(theirs), (us, si)
        assert not {unit for _, unit in ours} & {"m", "km/h"}
        assert not {unit for _, unit in theirs} & {"ft", "kt"}
        for (one, unit), (other, metric) in zip(ours, theirs, strict=True):
            advice = "at least" in us or "about" in us or "below the wing" in us or "Work out" in us
            room = UPWARD if advice and unit == "ft" else 0.5 * (_SIZES[unit] + _SIZES[metric])
            assert abs(one * _SIZES[unit] - other * _SIZES[metric]) <= room + 1e-9, (us, si)
    # What is not a measure is the same, word by word.
    for us, si in said:
        assert _MEASURE.sub("#", us) == _MEASURE.sub("#", _STATED.sub("", si))


def test_no_measure_is_left_open_anywhere() -> None:
    told = 0
    for one in FLIGHTS.values():
        sentences = [text for pair in pairs(one) for text in pair]
        sentences += [each.why for each in one.elements] + list(one.not_looked_for)
        assert not [text for text in sentences if re.search("[\ue000-\uf8ff]", text)]
        told += sum(bool(measures(text)) for text in sentences)
    assert told > 20


def test_what_a_standard_states_in_feet_stands_beside_its_meters() -> None:
    (finding,) = FLIGHTS["altitude"].findings
    assert "; 100 ft is the tolerance" in finding.says
    assert "; 30 m (100 ft) is the tolerance" in finding.says_metric
    (low,) = (each for each in FLIGHTS["low"].findings if each.fault == "outside-height-band")
    assert "band of 600 to 1,000 ft." in low.says
    assert "band of 183 to 305 m (600 to 1,000 ft)." in low.says_metric


def test_the_metric_value_is_the_one_of_the_table_and_not_a_turned_one() -> None:
    """142.3 m are 467 ft, and 467 ft are 142 m; but 121.4 m are 398 ft, which said to ten feet were 122 m."""
    states, maneuver = flight(Case(noise=0.0))
    hump = 121.4 * np.exp(-(((states.time - maneuver.start - 35.0) / 8.0) ** 2))
    (finding,) = judged(changed(states, altitude=states.altitude - hump), replace(maneuver)).findings
    off = finding.size * foot
    assert f"went {off:.0f} m (± " in finding.says_metric
    assert f"went {finding.size:.0f} ft (± " in finding.says
