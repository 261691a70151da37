"""Failures that a user can do something about: what is wrong, where, and what to do."""

from __future__ import annotations


class GroundrefError(Exception):
    """A failure with one clear sentence for the user.

    Parameters
    ----------
    what
        What is wrong, as a clause without a closing stop.
    where
        File, line, element or quantity it concerns; empty when there is none.
    remedy
        What the user can do about it; empty when there is nothing.
    """

    def __init__(self, what: str, where: str = "", remedy: str = "") -> None:
        super().__init__(what, where, remedy)
        self.what = what
        self.where = where
        self.remedy = remedy

    def __str__(self) -> str:
        head = f"{self.where}: {self.what}" if self.where else self.what
        return f"{head}; {self.remedy}" if self.remedy else head


class InputError(GroundrefError):
    """An input cannot be read as what it should be."""


class ColumnsError(InputError):
    """A table has no column for what every flight has; which column it is can be told beside it."""


class UsageError(GroundrefError):
    """The request itself makes no sense: options that contradict each other or lie out of range."""


class OutOfRangeError(UsageError):
    """A number lies outside of its limits, in the unit that it is asked for in.

    Parameters
    ----------
    value, low, high
        The number and its limits.
    where
        As of every failure.
    """

    def __init__(self, value: float, low: float, high: float, where: str = "") -> None:
        super().__init__(f"{value:g} is out of range", where, f"give {low:g} to {high:g}")
        self.value, self.low, self.high = value, low, high

    def __reduce__(self) -> tuple[type[OutOfRangeError], tuple[float, float, float, str]]:
        """Return how it is made anew in another process."""
        return type(self), (self.value, self.low, self.high, self.where)


class NothingToWorkOnError(GroundrefError):
    """The input was read, and there is not one usable second of flight in it."""


class OutputError(GroundrefError):
    """A result cannot be written where the user wants it."""


class NoSolutionError(GroundrefError, ValueError):
    """A quantity lies outside what the physics allows, such as wind not less than true airspeed."""


class RecordError(GroundrefError):
    """The training record cannot be opened, read or written as it should be; nothing in it was changed."""


class NotInRecordError(RecordError):
    """What was asked for by its number or name is not in the training record."""


class ChangedMeanwhileError(RecordError):
    """A lesson is no longer what whoever changes it has seen; nothing was written over.

    Parameters
    ----------
    number
        Of the lesson.
    changed
        Its parts that somebody changed meanwhile, by the names of ``record.standing``.
    """

    def __init__(self, number: int, changed: tuple[str, ...]) -> None:
        super().__init__(f"lesson {number} was changed meanwhile", "record", "do it again")
        self.number = number
        self.changed = changed


class SignedError(UsageError):
    """A lesson that is signed is to be changed.

    Parameters
    ----------
    number
        Of the lesson.
    day
        That it was signed on.
    """

    def __init__(self, number: int, day: str) -> None:
        super().__init__(
            f"lesson {number} was signed on {day}",
            "record",
            f"groundref record sign {number} --withdraw takes the signature back first",
        )
        self.number, self.day = number, day


class DamagedError(RecordError):
    """Something in the training record is not what was written there."""
