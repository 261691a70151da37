"""Options that a maneuver has no use for: refused, so that nobody believes them followed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

from groundref.errors import UsageError

if TYPE_CHECKING:
    from groundref.planning import Wanted

WITHOUT_COURSE: Final = frozenset({"turns-around-a-point"})
WITH_SPACING: Final = frozenset(
    {"rectangular-course", "eights-across-a-road", "eights-around-pylons", "eights-on-pylons"}
)
_LEAVE: Final = "leave it out"


def refuse_unused(kind: str, asked: Wanted) -> None:
    """Refuse what was asked for and nothing would come of.

    Parameters
    ----------
    kind
        Of the maneuver, one that there is.
    asked
        What the options ask for, each in its range.

    Raises
    ------
    UsageError
        For the first such option.
    """
    for option, why, remedy in _unused(kind, asked):
        raise UsageError(why, option, remedy)


def _unused(kind: str, asked: Wanted) -> Iterator[tuple[str, str, str]]:
    """Return option, reason and remedy of each."""
    if asked.course is not None and kind in WITHOUT_COURSE:
        yield "--course-deg", "a turn around a point has no line", _LEAVE
    if asked.spacing is not None and kind not in WITH_SPACING:
        remedy = f"{_LEAVE}, or choose among {', '.join(sorted(WITH_SPACING))}"
        yield "--spacing-ft", "this maneuver has no distance to choose", remedy
    if asked.height is not None and kind == "eights-on-pylons":
        yield (
            "--height-ft",
            "on pylons the height follows from the speed",
            f"{_LEAVE}; a faster airspeed flies higher",
        )
    if asked.radius is not None and kind == "steep-turns":
        yield "--radius-ft", "steep turns hold a bank and no radius", f"{_LEAVE}, or give --max-bank-deg"
