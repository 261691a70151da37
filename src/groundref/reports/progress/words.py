"""What is said of a student's progress, in the words of an instructor."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from groundref.progress.evidence import day
from groundref.progress.told import (
    Contrast,
    ElementProgress,
    FaultProgress,
    ManeuverProgress,
    Progress,
)
from groundref.reports import verdict_words, verdicts, words

NOT_ENOUGH: Final = "too few lessons"
NO_LIMIT: Final = "no limit"
SEEN: Final = "seen on board"
NOTHING: Final = "–"
_TRENDS: Final = {
    "smaller": "growing smaller",
    "larger": "growing larger",
    "steady": "steady",
    "undetermined": "can't tell yet",
}
_ERRORS: Final = {"rarer": "growing rarer", "more-often": "found more often", "undetermined": ""}
_WAYS: Final = {"left": "left", "right": "right", "both": "both ways"}
MARKS: Final = (
    "Dots: met; open squares: not met; diamonds: can't tell; rings: not judged, as no limit is printed;"
    " underlined: the instructor’s own verdict. Dashed: the limit, or the usual value where none is printed."
)
ABOUT: Final = (
    "A figure is the worst of a flight, of a height band how far from its middle. “Now” is what the last"
    " lessons stand for with their chance taken out. A change is told when it is nineteen in twenty sure; two"
    " lessons are never a trend."
)


def span(progress: Progress) -> str:
    """Return how many lessons there were and from when to when, and how many tries are not among them."""
    many = "1 try" if progress.tries == 1 else f"{progress.tries} tries"
    tries = f"{many} on the ground, not counted" if progress.tries else ""
    if not progress.lessons:
        return f"No lessons yet; {tries}." if tries else "No lessons yet."
    count = words.count(progress.lessons, "lesson")
    first = "" if progress.first == progress.last else f"{day(progress.first)} to "
    said = f"{count}, {first}{day(progress.last)}"
    return f"{said}; {tries}" if tries else said


def flown(one: ManeuverProgress) -> str:
    """Return in how many lessons a maneuver was flown, and how often where that is more."""
    count = words.count(len(one.dates), "lesson")
    return count if one.flown == len(one.dates) else f"{one.flown} times in {count}"


def wind(one: ManeuverProgress) -> str:
    """Return the winds that a maneuver was flown in."""
    if one.wind_least_kt is None or one.wind_most_kt is None:
        return words.CANNOT_TELL
    times, after = words.read_in("kt")
    least, most = (words.number(each * times) for each in (one.wind_least_kt, one.wind_most_kt))
    return f"{most}{after}" if least == most else f"{least} to {most}{after}"


def directions(one: ManeuverProgress) -> str:
    """Return which ways it was turned."""
    return words.listed([_WAYS[each] for each in one.directions])


def measured(one: ElementProgress) -> bool:
    """Return whether an element has any figure."""
    return any(figure.off is not None for figure in one.figures)


def unmeasured(one: ManeuverProgress) -> str:
    """Return in a sentence what has no figure, with its last three lessons; empty for nothing."""
    others = [f"{each.name} ({last_three(each)})" for each in one.elements if not measured(each)]
    return f"Not measured: {'; '.join(others)}." if others else ""


def title(one: ElementProgress) -> str:
    """Return an element's name as it begins a line."""
    return f"{one.name[:1].upper()}{one.name[1:]}"


def asked(one: ElementProgress) -> str:
    """Return what is asked, as ``100 ft`` or ``600 to 1,000 ft``."""
    if one.limit is None:
        return SEEN if one.quantity == "observed" else NO_LIMIT
    upper = words.limit(one.limit, one.unit)
    return upper if one.minimum is None else f"{words.limit(one.minimum, '')} to {upper}"


def asked_metric(one: ElementProgress) -> str:
    """Return what is asked in metric units; empty where it has none."""
    upper = "" if one.limit is None else verdicts.stated(one.limit, one.unit)
    if one.minimum is None or not upper:
        return upper
    return f"{verdicts.stated(one.minimum, one.unit).split(' ')[0]} to {upper}"


def asked_both(one: ElementProgress) -> str:
    """Return what is asked as the standard has it, with the metric value in brackets where there is one."""
    other = asked_metric(one)
    return f"{asked(one)} ({other})" if other else asked(one)


def compared(one: ElementProgress) -> str:
    """Return what the figures of an element are: of a band how far from its middle."""
    if one.minimum is None or one.limit is None:
        return title(one)
    return f"{title(one)} off {words.limit((one.minimum + one.limit) / 2.0, one.unit)}"


def last_three(one: ElementProgress) -> str:
    """Return how the last three lessons came out, as ``2 met, 1 not met``."""
    marks = [verdict_words.mark(verdict, one.basis) for verdict in one.last_three.verdicts]
    said = [f"{marks.count(m)} {word.says}" for m, word in verdict_words.WORDS.items() if m in marks]
    decided = {"met", "not-met"} & set(marks)
    return ", ".join(said) if len(said) > 1 or decided else verdict_words.WORDS[marks[0]].says


def now(one: ElementProgress) -> str:
    """Return what the last lessons stand for."""
    if one.trend is None:
        known = [figure for figure in one.figures if figure.off is not None]
        if not known:
            return NOTHING if one.quantity == "observed" else "not measured"
        return words.size(known[-1].off, known[-1].element.worst_sd, one.unit)
    return words.size(one.trend.now, one.trend.now_sd, one.unit)


def change(one: ElementProgress) -> str:
    """Return the change with each lesson, as a number."""
    if one.trend is None:
        return NOTHING
    return words.size(one.trend.a_lesson, one.trend.a_lesson_sd, one.unit)


def trend(one: ElementProgress) -> str:
    """Return in a word or two where an element is going."""
    if one.trend is not None:
        return _TRENDS[one.trend.says]
    if not measured(one):
        return NOTHING
    return NO_LIMIT if one.asked is None else NOT_ENOUGH


def turns(elements: Sequence[ElementProgress]) -> str:
    """Return left against right turns in all elements, in one sentence."""
    return _sentence(
        "Left against right turns", elements, lambda one: one.turns, ("more to the left", "more to the right")
    )


def winds(elements: Sequence[ElementProgress]) -> str:
    """Return strong against light wind in all elements, in one sentence."""
    return _sentence("In 10 kt more of wind", elements, lambda one: one.wind, ("more", "less"))


def _sentence(
    begin: str,
    elements: Sequence[ElementProgress],
    of: Callable[[ElementProgress], Contrast],
    ways: tuple[str, str],
) -> str:
    figured = [one for one in elements if one.asked is not None and measured(one)]
    reasons = {of(one).why for one in figured}
    if not figured:
        return f"{begin}: can't tell, nothing was measured."
    if len(reasons) == 1 and "" not in reasons:
        reason = reasons.pop()
        return f"{begin}: can't tell. {reason}"
    parts = [
        f"{one.name} {_amount(of(one), one.unit)} {ways[of(one).says == 'smaller']}"
        for one in figured
        if of(one).says in ("larger", "smaller")
    ]
    if all(of(one).says == "undetermined" for one in figured):
        return f"{begin}: can't tell yet."
    for says, word in (("alike", "alike in"), ("undetermined", "can't tell in")):
        names = [one.name for one in figured if of(one).says == says]
        parts += [f"{word} {words.listed(names)}"] if names else []
    return f"{begin}: {'; '.join(parts)}."


def _amount(contrast: Contrast, unit: str) -> str:
    return words.size(abs(contrast.difference or 0.0), contrast.difference_sd, unit)


def error(one: FaultProgress) -> str:
    """Return a common error's name in plain words."""
    return one.fault.replace("-", " ")


def how_often(one: FaultProgress) -> str:
    """Return how often a common error was found, and whether it is growing rarer."""
    said = f"in {one.of and one.lessons} of {words.count(one.of, 'lesson')}, last on {day(one.last)}"
    if not _ERRORS[one.says]:
        return said
    halves = f"{one.earlier} of the earlier {one.earlier_of}, {one.later} of the later {one.later_of}"
    return f"{said}; {_ERRORS[one.says]}: {halves}"
