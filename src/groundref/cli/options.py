"""Options as the command line takes them, moments of a recording, and the names of recordings."""

from __future__ import annotations

import re
from datetime import UTC, datetime, time, timedelta
from typing import TYPE_CHECKING, Final

from cyclopts import Parameter

from groundref.errors import UsageError

if TYPE_CHECKING:
    from groundref.track.recording import Recording

_CLOCK: Final = re.compile(r"(\d{1,2}):(\d{2})(?::(\d{2})(?:\.\d+)?)?Z?", re.IGNORECASE)


def taking(shape: str, name: str | list[str] | None = None) -> Parameter:
    """Return what the command line needs to know of an option that takes a value.

    Parameters
    ----------
    shape
        The value as the help shows it.
    name
        Name of the option where it is not that of the parameter.
    """
    # A value may start with a hyphen: `-` is standard output, and south and west are negative.
    return Parameter(name=name, metavar=shape, allow_leading_hyphen=True, negative=())


def moment(text: str, recording: Recording, option: str) -> datetime:
    """Return a moment from an ISO time, or from a clock time UTC on the day of the flight.

    A clock time before the start of a flight that went past midnight is one of the next day.
    """
    clock = _CLOCK.fullmatch(text.strip())
    try:
        if clock is None:
            stated = datetime.fromisoformat(text.strip())
            return stated.replace(tzinfo=UTC) if stated.tzinfo is None else stated.astimezone(UTC)
        of_day = time(int(clock[1]), int(clock[2]), int(clock[3] or 0), tzinfo=UTC)
    except ValueError as problem:
        raise UsageError(
            f"{text!r} is not a time", option, "write 14:05, 14:05:30 or 2026-05-01T14:05:30Z, in UTC"
        ) from problem
    start, end = span(recording)
    same_day = datetime.combine(start.date(), of_day)
    next_day = same_day + timedelta(days=1)
    return next_day if same_day < start and next_day <= end else same_day


def span(recording: Recording) -> tuple[datetime, datetime]:
    """Return the first and the last moment of a recording; its epoch twice when it is empty."""
    if not len(recording):
        return recording.epoch, recording.epoch
    return (
        recording.epoch + timedelta(seconds=float(recording.time.min())),
        recording.epoch + timedelta(seconds=float(recording.time.max())),
    )


def check_names(names: list[str]) -> None:
    """Refuse a misspelt option, which stands among the names of recordings as `-` may."""
    for name in names:
        if name.startswith("-") and name != "-":
            raise UsageError(
                f"there is no option {name.partition('=')[0]}",
                remedy="groundref COMMAND --help lists the options",
            )
    if names.count("-") > 1 or (len(names) > 1 and "-" in names):
        raise UsageError("standard input is one recording", "-", "name files, or - alone")


def units(said: str | None, uses: bool) -> str:
    """Return the units of a page or a sheet, feet and knots unless said.

    Parameters
    ----------
    said
        Of `--units`.
    uses
        Whether anything is written that they are for.

    Raises
    ------
    UsageError
        When there are no such units, or nothing to write in them.
    """
    from groundref.reports.reading import UNITS, US

    if said is None:
        return US
    if said not in UNITS:
        raise UsageError(f"there are no units {said!r}", "--units", f"choose {' or '.join(UNITS)}")
    if not uses:
        raise UsageError(
            "only pages and sheets have use for it", "--units", "ask for one of them too, or leave it out"
        )
    return said
