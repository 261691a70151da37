"""Who reads a report: the units that its numbers are printed in while it is written.

Said once, where a report is begun, so that every number of it, and every scale and tick, is printed from its
full value and rounded once, in the unit that it is read in.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Final

US: Final = "us"
METRIC: Final = "metric"
UNITS: Final = (US, METRIC)
_units: ContextVar[str] = ContextVar("units of the reader", default=US)


@contextmanager
def reading(units: str) -> Iterator[None]:
    """Print in a reader's units what is printed inside.

    Parameters
    ----------
    units
        :data:`US`, feet and knots, or :data:`METRIC`, meters and kilometers per hour.
    """
    before = _units.set(units)
    try:
        yield
    finally:
        _units.reset(before)


def metric() -> bool:
    """Return whether metric units are read."""
    return _units.get() == METRIC
