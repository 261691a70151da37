"""One number of a plan beside that of the flight."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Row:
    """One quantity, planned and flown, SI.

    Attributes
    ----------
    name
        In plain words, such as `steepest bank`.
    quantity
        What kind of number: `speed`, `direction`, `length`, `angle` or `time`.
    planned, flown
        None where there is none.
    sd
        Of the flown value; None where not known.
    """

    name: str
    quantity: str
    planned: float | None
    flown: float | None
    sd: float | None = None
