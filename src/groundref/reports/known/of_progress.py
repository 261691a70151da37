"""How the figures of a student's progress are known."""

from __future__ import annotations

from typing import Final

from groundref.reports.known.entry import CHOSEN, COUNTED, DERIVED, GIVEN, Known

_FEW: Final = (
    "the lessons were of another kind of flying: rough air, another airplane, another instructor's ask"
)

PROGRESS: Final = (
    Known(
        ("lessons", "flown", "figures.lesson", "figures.at", "figures.maneuver"),
        COUNTED,
        "from the record, in the order flown",
    ),
    Known(
        ("wind_least_kt", "wind_most_kt", "figures.wind_kt", "figures.wind_from_deg"),
        DERIVED,
        "the wind of each debrief",
        "the airspeed rises and falls once a lap, which looks like a wind",
        sd=("figures.wind_sd_kt",),
        sure="How surely stands in each lesson",
        cannot="it could not be told in these lessons",
    ),
    Known(
        ("figures.radius_ft",),
        DERIVED,
        "the mean radius of each debrief (circle fit)",
        cannot="no distance is held in this maneuver",
    ),
    Known(
        ("limit", "minimum", "target", "asked"),
        CHOSEN,
        "from the standard of the latest lesson; of a band half its width",
        "another standard applies",
        sure="Exact",
        cannot="no number is printed",
    ),
    Known(
        ("figures.worst", "figures.off"),
        DERIVED,
        "the worst of each flight as its debrief has it, of a band how far from its middle",
        _FEW,
        cannot="it was not measured in these lessons",
    ),
    Known(
        ("trend.now", "trend.line", "trend.at", "trend.scatter"),
        DERIVED,
        "what the last lessons stand for with their chance taken out (a robust line through"
        " {trend.lessons} lessons)",
        _FEW,
        sd=("trend.now_sd",),
        cannot="there are fewer than two lessons with a figure and a limit",
    ),
    Known(
        ("trend.a_lesson", "trend.low", "trend.high", "trend.smaller", "trend.lessons"),
        DERIVED,
        "the slope of that line, held back toward no change by what all elements say",
        f"{_FEW}; two lessons are never a trend",
        sd=("trend.a_lesson_sd",),
        cannot="there are fewer than two lessons with a figure and a limit",
    ),
    Known(
        ("turns.difference", "turns.low", "turns.high", "wind.difference", "wind.low", "wind.high"),
        DERIVED,
        "left against right turns, and 10 kt more wind, by all lessons, held back toward no change",
        _FEW,
        sd=("turns.difference_sd",),
        cannot="there are too few lessons both ways, or in light and strong wind",
    ),
    Known(
        ("last_three.verdicts",),
        GIVEN,
        "the verdicts of the last three lessons: the instructor's where one was given, else the debrief's",
        sure="What can't be told is not counted as met",
    ),
    Known(
        (
            "faults.lessons",
            "faults.of",
            "faults.earlier",
            "faults.earlier_of",
            "faults.later",
            "faults.later_of",
        ),
        COUNTED,
        "in how many lessons the debrief found it, of those in which it was looked for",
        "the recording could not show it",
    ),
    Known(
        ("faults.rarer",),
        DERIVED,
        "the probability that it grows rarer, from the shares of both halves",
        sure="Told when it is nineteen in twenty sure",
    ),
)
