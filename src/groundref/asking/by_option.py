"""What a plan or a simulated lesson refuses, told by the option that asked for it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from groundref.errors import NoSolutionError, OutOfRangeError, UsageError

_OPTIONS: Final = {
    "fault": "--fault",
    "laps": "--laps",
    "radius": "--radius-ft",
    "height": "--height-ft",
    "wind": "--wind",
    "spacing": "--spacing-ft",
    "direction": "--direction",
    "recorder": "--recorder",
    "bank limit": "--max-bank-deg",
    "airspeed": "--ias-kt",
    "mass": "--mass-kg",
    "landing place": "--landing",
    "place that wants quiet": "--noise-place",
    "surroundings": "--surroundings",
    "obstacle": "--obstacle-ft",
    "rules on the least height": "--rules",
}


@contextmanager
def by_option(wind: str = "--wind") -> Iterator[None]:
    """Let what is refused inside name the option that it was asked for with.

    Parameters
    ----------
    wind
        The option that gave the wind.
    """
    options = _OPTIONS | {"wind": wind}
    try:
        yield
    except (UsageError, NoSolutionError) as problem:
        part, colon, quantity = problem.where.rpartition(": ")
        name, space, rest = (quantity, "", "") if quantity in options else quantity.partition(" ")
        where = f"{part}{colon}{options.get(name, name)}{space}{rest}"
        if isinstance(problem, OutOfRangeError):
            raise OutOfRangeError(problem.value, problem.low, problem.high, where) from problem
        kind = NoSolutionError if isinstance(problem, NoSolutionError) else UsageError
        raise kind(problem.what, where, problem.remedy) from problem
