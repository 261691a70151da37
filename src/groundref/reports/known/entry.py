"""One entry of the catalogue, and the sentences that it makes of a document."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from groundref.reports import words
from groundref.units import foot, knot

MEASURED: Final = "Measured"
DERIVED: Final = "Derived"
GIVEN: Final = "Given by you"
CHOSEN: Final = "Chosen"  # by the program where nothing was said, and printed as an assumption
COUNTED: Final = "Counted"
_95: Final = 1.959964  # standard deviations to either side that hold 95% of a normal distribution
_FROM_DOCUMENT: Final = re.compile(r"\{([a-z_.]+)\}")
# What ends a name or stands beside a value: how many of it are printed, what after them, decimals.
_UNITS: Final = {
    "deg": (1.0, "°", 1),
    "s": (1.0, " s", 1),
    "g": (1.0, " g", 2),
    "fraction": (100.0, "%", 0),
}
# Lengths and speeds are printed in the reader's units, whatever they are kept in: their sizes [m], [m s⁻¹].
_LENGTHS: Final = {"ft": foot, "m": 1.0}
_SPEEDS: Final = {"kt": knot}


@dataclass(frozen=True, slots=True)
class Known:
    """How some figures are known.

    Attributes
    ----------
    keys
        Paths in the JSON, without the positions in lists, those of a maneuver without `maneuvers`.
    how
        :data:`MEASURED`, :data:`DERIVED`, :data:`GIVEN`, :data:`CHOSEN` or :data:`COUNTED`.
    says
        Of what, or by which formula.
    wrong
        What could make it wrong; empty for nothing that is worth a word.
    when
        Holds only where this is so, such as `bank=derived`; empty for always (see ``circumstances``).
    sd
        Paths of the standard deviations where they are not named after the figure.
    sure
        How surely, where no standard deviation is worked out.
    cannot
        Why there is none, where it is null.
    """

    keys: tuple[str, ...]
    how: str
    says: str
    wrong: str = ""
    when: str = ""
    sd: tuple[str, ...] = ()
    sure: str = ""
    cannot: str = "the recording does not hold enough to tell it"


def sentences(known: Known, keys: Sequence[str], document: Mapping[str, Any], unit: str = "") -> str:
    """Return how a figure is known, in a few plain sentences with the values of a document.

    Parameters
    ----------
    known
        The entry.
    keys
        Those of its keys that are printed together, the first of them the figure itself.
    document
        Of the maneuver, the flight, the plan or the element.
    unit
        Of what the JSON prints beside its unit; empty where the unit is in the name.
    """
    there = [value for key in keys for value in values(document, key)]
    if there and all(value is None for value in there):
        return f"Can't tell, because {known.cannot}."
    parts = [f"{known.how}: {_filled(known.says, document)}."]
    surely = within(known, keys, document, unit) or known.sure
    if surely:
        parts.append(surely if surely.endswith(".") else f"{surely}.")
    if known.wrong:
        parts.append(f"Wrong if {known.wrong}.")
    return " ".join(parts)


def within(known: Known, keys: Sequence[str], document: Mapping[str, Any], unit: str) -> str:
    """Return the 95% uncertainty, such as ``95% within ±18 ft``; empty where none is worked out."""
    paths = known.sd or tuple(sd_key(key) for key in keys)
    said = [_plus_minus(path, _numbers(values(document, path)), unit) for path in dict.fromkeys(paths)]
    known_to = [each for each in said if each]
    return f"95% within {words.listed(known_to)}" if known_to else ""


def _plus_minus(path: str, sds: Sequence[float], unit: str) -> str:
    positive = [sd for sd in sds if sd > 0.0]
    if not positive:
        return ""
    times, after, digits = _printed(unit or _unit_of(path))
    # At least one of the last decimal: nothing is known to ±0.
    low, high = (
        words.number(max(_95 * sd * times, 10.0**-digits), digits) for sd in (min(positive), max(positive))
    )
    toward = next((f" toward {way}" for way in ("north", "east") if f".{way}_" in path), "")
    return f"±{low}{after}{toward}" if low == high else f"±{low} to ±{high}{after}{toward}"


def _printed(unit: str) -> tuple[float, str, int]:
    """Return what a value in a unit is multiplied by to be read, what is printed after it, and decimals."""
    if unit in _LENGTHS:
        size, name = words.length_units()[0]
        return _LENGTHS[unit] / size, f" {name}", 0
    if unit in _SPEEDS:
        size, name = words.speed_units()[0]
        return _SPEEDS[unit] / size, f" {name}", 1
    return _UNITS.get(unit, (1.0, "", 2))


def _unit_of(path: str) -> str:
    """Return the unit that a name ends in; empty for none."""
    name = path.rpartition(".")[2].removesuffix("_per_lap")
    end = name.rpartition("_")[2]
    return end if end in _UNITS or end in _LENGTHS or end in _SPEEDS else ""


def sd_key(key: str) -> str:
    """Return where the standard deviation of a figure stands: `radius_sd_ft` of `radius_ft`."""
    unit = _unit_of(key)
    return f"{key.removesuffix(f'_{unit}')}_sd_{unit}" if unit else f"{key}_sd"


def values(document: Mapping[str, Any], key: str) -> list[Any]:
    """Return all that stands under a path, through lists on the way; nothing where there is no such key."""
    return list(_under(document, key.split(".")))


def _under(here: Any, path: Sequence[str]) -> Iterator[Any]:
    if isinstance(here, Sequence) and not isinstance(here, str):
        for each in here:
            yield from _under(each, path)
    elif not path:
        yield here
    elif isinstance(here, Mapping) and path[0] in here:
        yield from _under(here[path[0]], path[1:])


def _numbers(found: Sequence[Any]) -> list[float]:
    return [float(value) for value in found if isinstance(value, int | float) and not isinstance(value, bool)]


def _filled(says: str, document: Mapping[str, Any]) -> str:
    """Return a sentence with what stands in braces taken from the document."""

    def value(found: re.Match[str]) -> str:
        first = next((each for each in values(document, found[1]) if each is not None), None)
        return words.CANNOT_TELL if first is None else words.plain(str(first))

    return _FROM_DOCUMENT.sub(value, says)
