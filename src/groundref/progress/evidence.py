"""What the lessons show, in plain sentences for whoever decides: evidence, never a permission."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Final

from groundref.progress.told import ElementProgress, Figure

STANDING: Final = (
    "This is what the lessons show, not a permission: the instructor decides when a student is ready."
)
_MONTHS: Final = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
_NUMBERS: Final = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def day(iso: str) -> str:
    """Return a day as it is read, `1 May 2026`."""
    when = date.fromisoformat(iso[:10])
    return f"{when.day} {_MONTHS[when.month - 1]} {when.year}"


def listed(items: Sequence[str]) -> str:
    """Return `a`, `a and b` or `a, b and c`."""
    return " and ".join([", ".join(items[:-1]), items[-1]] if len(items) > 1 else list(items))


def evidence(dates: Sequence[str], elements: Sequence[ElementProgress]) -> tuple[str, ...]:
    """Return the sentences about one kind of maneuver.

    Parameters
    ----------
    dates
        Of the lessons in which it was flown, in order.
    elements
        With their figures.
    """
    judged = [one for one in elements if _is_judged(one)]
    figures = [figure for one in elements for figure in one.figures]
    return (
        *_verdicts(dates, judged),
        *_wind(figures),
        *_sides(figures),
        *_own(figures),
    )


def _is_judged(one: ElementProgress) -> bool:
    """Return whether an element is one of the standard or a handbook's, or has the instructor's verdict."""
    return one.basis != "practice" or any(figure.element.own is not None for figure in one.figures)


def _verdicts(dates: Sequence[str], elements: Sequence[ElementProgress]) -> list[str]:
    flown = f"Flown in {_count(len(dates), 'lesson')}, last on {day(dates[-1])}"
    if len(dates) < 3:
        return [f"{flown}: three are needed to speak of consistency."]
    met = [_name(one) for one in elements if one.last_three.says == "met"]
    missed = [one for one in elements if one.last_three.says == "not-met"]
    other = [one for one in elements if one.last_three.says in ("undetermined", "too-few")]
    seen = [_with_code(one) for one in other if one.quantity == "observed"]
    open_ = [_name(one) for one in other if one.quantity != "observed"]
    said = [f"The last three lessons met {listed(met)}."] if met else []
    if not met:
        said.append("No element was met in all of the last three lessons.")
    said += [_missed(one) for one in missed]
    if open_:
        said.append(f"Can’t be told in all of the last three lessons: {listed(open_)}.")
    if seen:
        said.append(f"Only the instructor sees, and has not judged in all of them: {'; '.join(seen)}.")
    return [*said, f"{flown}."]


def _missed(one: ElementProgress) -> str:
    last = one.last_three
    on = [day(when) for when, said in zip(last.dates, last.verdicts, strict=True) if said == "not-met"]
    name = _name(one)
    return f"{name[:1].upper()}{name[1:]}: not met in {_NUMBERS[len(on)]} of the last three, {listed(on)}."


def _name(one: ElementProgress) -> str:
    return f"{one.name} (a handbook’s advice)" if one.basis == "handbook" else one.name


def _with_code(one: ElementProgress) -> str:
    """Return an element in the words of the standard, with its code; names of our own are no code."""
    return one.name if one.code.islower() else f"{one.name} ({one.code})"


def _count(n: int, what: str) -> str:
    return f"{_NUMBERS[n] if n < len(_NUMBERS) else n} {what}{'' if n == 1 else 's'}"


def _wind(figures: Sequence[Figure]) -> list[str]:
    known = [(each.lesson, wind) for each in figures if (wind := each.maneuver.wind_kt) is not None]
    unknown = {each.lesson for each in figures} - {lesson for lesson, _ in known}
    if not known:
        return ["The wind of these lessons is not known."]
    # Rounded as everywhere else beside it; "in no more than" would ask for rounding up.
    said = [f"The strongest wind was {round(max(wind for _, wind in known))} kt."]
    if unknown:
        said.append(f"The wind of {_count(len(unknown), 'lesson')} is not known.")
    return said


def _sides(figures: Sequence[Figure]) -> list[str]:
    sides = {figure.maneuver.direction for figure in figures}
    return [f"Only turns to the {sides.pop()} were flown."] if len(sides) == 1 and "both" not in sides else []


def _own(figures: Sequence[Figure]) -> list[str]:
    """Return how many verdicts are the instructor's own, and how many of the program's gave way to one."""
    own = [each.element for each in figures if each.element.own is not None]
    other = sum(one.own != one.verdict for one in own if one.quantity != "observed")
    if not own:
        return []
    if other == len(own):
        return [f"In {_count(other, 'verdict')} the instructor’s own stands in place of the program’s."]
    given = _count(len(own), "verdict")
    said = f"{given[:1].upper()}{given[1:]} {'is' if len(own) == 1 else 'are'} the instructor’s own"
    return [
        f"{said}, {_NUMBERS[other] if other < len(_NUMBERS) else other} in place of the program’s."
        if other
        else f"{said}."
    ]
