"""The parts of a simulated lesson as named on the command line, and the errors to commit in each."""

from __future__ import annotations

from typing import Final

from groundref.asking.unused import WITH_SPACING, WITHOUT_COURSE
from groundref.asking.words import within
from groundref.errors import UsageError
from groundref.units import foot

JOINED: Final = "+"
MOST: Final = 12


def kinds(maneuver: str, course_deg: float | None = None, spacing_ft: float | None = None) -> list[str]:
    """Return the maneuvers of a lesson, joined with `+`, in the order flown.

    Parameters
    ----------
    maneuver
        Such as `s-turns+steep-turns`.
    course_deg, spacing_ft
        What must mean something in at least one of them.

    Raises
    ------
    UsageError
        When one cannot be simulated, or an option is out of range or means nothing in any of them.
    """
    from groundref.simulation.shapes import known_kind

    named = [known_kind(name.strip()) for name in maneuver.split(JOINED)]
    if len(named) > MOST:
        raise UsageError(
            f"{len(named)} maneuvers are more than a lesson holds", "maneuver", f"name {MOST} or fewer"
        )
    if course_deg is not None:
        within(course_deg, 0, 360, "--course-deg")
        if WITHOUT_COURSE.issuperset(named):
            raise UsageError("a turn around a point has no line", "--course-deg", "leave it out")
    if spacing_ft is not None:
        within(spacing_ft, 500, 50_000, "--spacing-ft")
        if WITH_SPACING.isdisjoint(named):
            raise UsageError(
                "this maneuver has no distance to choose",
                "--spacing-ft",
                "leave it out, or choose among " + ", ".join(sorted(WITH_SPACING)),
            )
    return named


def spacing(kind: str, spacing_ft: float | None) -> float | None:
    """Return the distance that was asked for where the maneuver has one to choose [m]."""
    return spacing_ft * foot if spacing_ft is not None and kind in WITH_SPACING else None


def faults(named: list[str], kinds: list[str]) -> list[dict[str, float | None]]:
    """Return the size of each fault by name for each part; None where no size is given.

    Parameters
    ----------
    named
        `NAME`, `NAME=SIZE`, or either behind `MANEUVER:`; without it the fault is committed in each part that
        it applies to.
    kinds
        The parts.

    Raises
    ------
    UsageError
        When a size is not a number or a maneuver is not flown.
    """
    from groundref.simulation.shapes import APPLYING

    sizes: list[dict[str, float | None]] = [{} for _ in kinds]
    for text in named:
        whose, _, fault = text.rpartition(":")
        name, size = _sized(fault)
        if whose and whose not in kinds:
            raise UsageError(
                f"{whose!r} is not flown in this lesson", f"--fault {text}", "name one of " + ", ".join(kinds)
            )
        chosen = [not whose or kind == whose for kind in kinds]
        applying = [take and name in APPLYING[kind] for take, kind in zip(chosen, kinds, strict=True)]
        # One that applies nowhere is kept, so that whoever flies it says what does apply.
        for take, part in zip(applying if any(applying) else chosen, sizes, strict=True):
            if take:
                part[name] = size
    return sizes


def _sized(fault: str) -> tuple[str, float | None]:
    name, equals, size = fault.partition("=")
    try:
        return name, float(size) if equals else None
    except ValueError as problem:
        raise UsageError(
            f"{size!r} is not a size", f"--fault {name}", "write NAME or NAME=NUMBER"
        ) from problem
