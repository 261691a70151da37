"""What is told of a student's progress: figures, trends, differences, evidence; plain frozen data.

Figures of an element are in its own unit, which stands beside them; conditions have theirs in the name.
"""

from __future__ import annotations

from dataclasses import dataclass

from groundref.progress.flown import ElementFlown, ManeuverFlown


@dataclass(frozen=True, slots=True)
class Figure:
    """An element as it was flown once.

    Attributes
    ----------
    at
        Number of the lesson among those in which this kind of maneuver was flown, from 1.
    lesson, date
        Number of the lesson in the record, and its day.
    maneuver
        In which it was flown, with the conditions: wind, radius, direction.
    element
        What was asked and flown, and the verdicts.
    off
        The worst flown as it is compared from lesson to lesson: itself; of a band how far from its middle;
        None when not measured [the element's unit]
    """

    at: int
    lesson: int
    date: str
    maneuver: ManeuverFlown
    element: ElementFlown
    off: float | None


@dataclass(frozen=True, slots=True)
class Trend:
    """How an element changes from lesson to lesson, never more surely than the lessons can say.

    Attributes
    ----------
    lessons
        How many have a figure.
    a_lesson, a_lesson_sd
        Change with each lesson in which the maneuver is flown, smaller negative [unit]
    low, high
        Its 95 % interval [unit]
    smaller
        Probability that the figure is growing smaller.
    says
        `smaller`, `larger`, `steady` or `undetermined`.
    now, now_sd
        What the last of the lessons stands for, its chance taken out [unit]
    scatter
        How far single lessons lie about the trend beyond what is measured; a heavy-tailed scale [unit]
    at, line, line_sd
        The trend at each lesson that has a figure, by its number among those of the kind [unit]
    """

    lessons: int
    a_lesson: float
    a_lesson_sd: float
    low: float
    high: float
    smaller: float
    says: str
    now: float
    now_sd: float
    scatter: float
    at: tuple[int, ...]
    line: tuple[float, ...]
    line_sd: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Contrast:
    """A difference between two ways in which an element was flown, beside the trend.

    Attributes
    ----------
    of
        `turns`: left less right; `wind`: in 10 kt more of wind.
    difference, difference_sd
        In the figure, larger positive; None where there is nothing to tell it from [unit]
    low, high
        Its 95 % interval [unit]
    says
        `larger`, `smaller`, `alike` or `undetermined`, of left turns, or of stronger wind.
    why
        Why it cannot be told; empty when it can.
    """

    of: str
    difference: float | None
    difference_sd: float | None
    low: float | None
    high: float | None
    says: str
    why: str


@dataclass(frozen=True, slots=True)
class Consistency:
    """The verdicts of the last three lessons, the instructor's own before the program's.

    Attributes
    ----------
    dates, verdicts
        Of these lessons, the oldest first; a lesson has one verdict, the worst of its maneuvers.
    says
        `met`, `not-met`, `undetermined`, or `too-few` where there are not three.
    """

    dates: tuple[str, ...]
    verdicts: tuple[str, ...]
    says: str


@dataclass(frozen=True, slots=True)
class ElementProgress:
    """One element of the standard over the lessons.

    Attributes
    ----------
    name
        In a word or two, `altitude`.
    code, what, quantity, unit, basis, limit, minimum, target
        As in the latest lesson.
    asked
        What ``off`` should stay below: the limit, of a band half its width, None for no limit [unit]
    figures
        In the order flown.
    trend
        None where fewer than two lessons have a figure, or there is no limit.
    turns, wind
        Left turns against right ones, strong wind against light.
    last_three
        Whether it holds.
    """

    name: str
    code: str
    what: str
    quantity: str
    unit: str
    basis: str
    limit: float | None
    minimum: float | None
    target: float | None
    asked: float | None
    figures: tuple[Figure, ...]
    trend: Trend | None
    turns: Contrast
    wind: Contrast
    last_three: Consistency


@dataclass(frozen=True, slots=True)
class FaultProgress:
    """A common error over the lessons.

    Attributes
    ----------
    fault
        Its name.
    lessons, of
        In how many of how many lessons it was found.
    earlier, earlier_of, later, later_of
        The same in the earlier and the later half of them.
    rarer
        Probability that it has become rarer; None where there are no two halves.
    says
        `rarer`, `more-often` or `undetermined`.
    last
        The last day on which it was found.
    """

    fault: str
    lessons: int
    of: int
    earlier: int
    earlier_of: int
    later: int
    later_of: int
    rarer: float | None
    says: str
    last: str


@dataclass(frozen=True, slots=True)
class ManeuverProgress:
    """A kind of maneuver over the lessons.

    Attributes
    ----------
    kind
        Such as `turns-around-a-point`.
    dates
        Of the lessons in which it was flown, in order.
    flown
        How many times in all.
    standard
        That the latest was judged by.
    directions
        Which were flown, of `left`, `right` and `both`.
    wind_least_kt, wind_most_kt
        Wind that it was flown in; None when never known.
    elements
        In the order of the standard.
    faults
        The most frequent first.
    evidence
        What the lessons show, one plain sentence each; never a permission.
    """

    kind: str
    dates: tuple[str, ...]
    flown: int
    standard: str
    directions: tuple[str, ...]
    wind_least_kt: float | None
    wind_most_kt: float | None
    elements: tuple[ElementProgress, ...]
    faults: tuple[FaultProgress, ...]
    evidence: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Progress:
    """How a student's flying changes.

    Attributes
    ----------
    name
        The student's, as given.
    lessons
        How many.
    first, last
        Days of the first and the last of them; empty when there are none.
    maneuvers
        Those flown, the most often flown first.
    tries
        Flown on the ground, and counted in nothing else.
    """

    name: str
    lessons: int
    first: str
    last: str
    maneuvers: tuple[ManeuverProgress, ...]
    tries: int = 0
