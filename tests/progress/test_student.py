"""A student's progress as a whole: whatever order lessons come in, and whatever they lack."""

from __future__ import annotations

import json
import random
from dataclasses import replace

import pytest

from groundref.progress import progress, to_dict
from groundref.progress.evidence import STANDING
from tests.progress.invented import (
    AIRSPEED,
    ALTITUDE,
    BAND,
    SEEN,
    SEGMENT,
    altitudes,
    element,
    lesson,
    maneuver,
    student,
)  # fmt: skip


def elements(lessons):
    return progress("a student", lessons).maneuvers[0].elements


def test_the_order_in_which_lessons_are_given_does_not_matter():
    lessons = list(student())
    expected = progress("a student", lessons)
    for seed in range(4):
        random.Random(seed).shuffle(lessons)
        assert progress("a student", lessons) == expected


def test_a_second_flight_alike_in_the_same_lesson_makes_no_trend_surer():
    lessons = altitudes(140, 120, 111, 95, 80)
    twice = [replace(each, maneuvers=each.maneuvers * 2) for each in lessons]
    assert elements(twice)[0].trend == elements(lessons)[0].trend


def test_nobody_has_no_progress():
    told = progress("a student", ())
    assert (told.lessons, told.first, told.maneuvers) == (0, "", ())
    assert to_dict(told)["first"] is None


def test_one_lesson_has_figures_and_no_trend():
    (told,) = progress("a student", altitudes(140)).maneuvers
    assert told.elements[0].trend is None
    assert told.elements[0].last_three.says == "too-few"
    assert told.evidence[0] == (
        "Flown in one lesson, last on 3 May 2026: three are needed to speak of consistency."
    )


def test_what_was_never_measured_is_told_as_such():
    (told,) = elements(
        [lesson(n, maneuver(element(worst=None, verdict="undetermined"))) for n in range(1, 5)]
    )
    assert told.trend is None
    assert [figure.off for figure in told.figures] == [None] * 4
    assert told.turns.why == "No turns to one side alone were measured."
    assert told.last_three.says == "undetermined"


def test_figures_without_a_limit_are_shown_and_not_measured_by_one():
    (told,) = elements([lesson(n, maneuver(element(SEGMENT, 3.0 + n))) for n in range(1, 5)])
    assert told.trend is None
    assert told.asked is None
    assert [figure.off for figure in told.figures] == [4.0, 5.0, 6.0, 7.0]
    assert told.wind.why == "No limit is printed to measure it by."


def test_too_high_and_too_low_in_a_band_count_alike():
    (told,) = elements([lesson(n, maneuver(element(BAND, w))) for n, w in enumerate((1010, 590, 930), 1)])
    assert [figure.off for figure in told.figures] == [210.0, 210.0, 130.0]
    assert told.asked == 200.0


def test_elements_of_one_code_are_kept_apart_by_their_quantity():
    lessons = [lesson(n, maneuver(element(ALTITUDE, 90.0), element(AIRSPEED, 7.0))) for n in range(1, 4)]
    assert [(one.name, len(one.figures)) for one in elements(lessons)] == [("altitude", 3), ("airspeed", 3)]


def test_debriefs_too_old_to_say_their_quantities_are_read_by_newer_ones():
    def flown(**changed):
        return maneuver(element(ALTITUDE, 90.0, **changed), element(AIRSPEED, 7.0, **changed))

    old, new = lesson(1, flown(quantity="")), lesson(2, flown())
    assert [(one.name, len(one.figures)) for one in elements([old, new])] == [
        ("altitude", 2),
        ("airspeed", 2),
    ]
    alone = elements([old, lesson(2, flown(quantity=""))])
    assert [(one.name, len(one.figures)) for one in alone] == [
        ("altitude held within 100 ft", 2), ("airspeed held within 10 kt", 2),
    ]  # fmt: skip


def test_a_standard_deviation_that_is_not_said_shows_as_scatter():
    lessons = [lesson(n, maneuver(element(worst=w, worst_sd=None))) for n, w in enumerate((140, 90, 120), 1)]
    assert elements(lessons)[0].trend.a_lesson_sd > 0.0


def test_evidence_is_what_the_lessons_show_and_the_instructor_decides():
    told = progress("a student", student()).maneuvers[0]
    said = " ".join(told.evidence)
    assert "The last three lessons met" in said
    assert "The strongest wind was " in said
    assert "last on 28 June 2026" in said
    assert "instructor’s own" in said
    for word in ("ready", "pass", "permitted", "may fly"):
        assert word not in said
    assert "the instructor decides" in STANDING


def test_evidence_says_what_was_not_met_not_judged_and_only_to_one_side():
    seen = [
        lesson(
            n,
            maneuver(
                element(verdict="not-met" if n == 3 else "met"),
                element(AIRSPEED, None, verdict="undetermined"),
                element(BAND, 800.0),
                wind=4.2,
            ),
        )
        for n in range(1, 5)
    ]
    assert progress("a student", seen).maneuvers[0].evidence == (
        "The last three lessons met height.",
        "Altitude: not met in one of the last three, 17 May 2026.",
        "Can’t be told in all of the last three lessons: airspeed.",
        "Flown in four lessons, last on 24 May 2026.",
        "The strongest wind was 4 kt.",
        "Only turns to the left were flown.",
    )


def test_every_verdict_of_the_instructor_is_counted_and_those_that_differ_are_said():
    def own(*elements):
        return progress("a student", [lesson(1, maneuver(*elements))]).maneuvers[0].evidence[-1]

    alike, other = element(own="met"), element(AIRSPEED, own="not-met")
    seen = element(SEEN, None, verdict="undetermined", own="met")
    assert own(other) == "In one verdict the instructor’s own stands in place of the program’s."
    assert own(alike) == "One verdict is the instructor’s own."
    assert own(alike, other) == "Two verdicts are the instructor’s own, one in place of the program’s."
    assert (
        own(alike, other, seen) == "Three verdicts are the instructor’s own, one in place of the program’s."
    )


def test_what_only_the_instructor_sees_is_said_in_the_words_of_the_standard_with_its_code():
    alone = element(SEEN, None, verdict="undetermined")
    other = element(("X.5", "turn, as asked for", *SEEN[2:]), None, verdict="undetermined")
    seen = [lesson(n, maneuver(element(), alone, other)) for n in range(1, 4)]
    (said,) = (one for one in progress("a student", seen).maneuvers[0].evidence if "instructor" in one)
    assert said == (
        "Only the instructor sees, and has not judged in all of them: attention divided (X.6); "
        "turn, as asked for (X.5)."
    )


def test_trends_are_told_from_the_last_twelve_lessons():
    early, late = [400.0] * 8, [90.0 - 3.0 * n for n in range(12)]
    assert elements(altitudes(*early, *late))[0].trend.says == "smaller"
    assert elements(altitudes(*early, *late))[0].trend.a_lesson == pytest.approx(
        elements(altitudes(*late))[0].trend.a_lesson, rel=1e-6
    )


def test_the_document_is_plain_and_without_numbers_that_are_none():
    said = json.dumps(to_dict(progress("a student", student())), allow_nan=False)
    read = json.loads(said)
    assert read["schema"] == "groundref/progress/1"
    assert read["maneuvers"][0]["elements"][0]["figures"][0]["wind_kt"] > 0.0
    assert read["standing"] == STANDING
