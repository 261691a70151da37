"""The catalogue: by the figure's key in the JSON how it is known, filled with what a document says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from groundref.reports.known import of_flight, of_kinds, of_plans, of_progress, of_series, of_standard
from groundref.reports.known.entry import Known, sentences, values

DEBRIEF: Final = (
    *of_flight.FLIGHT,
    *of_flight.WIND,
    *of_flight.WHOLE,
    *of_flight.LAPS,
    *of_kinds.LEGS,
    *of_kinds.KINDS,
    *of_kinds.PATTERN,
    *of_kinds.BESIDE_PLAN,
    *of_standard.LIMITS,
    *of_series.SERIES,
)
PLAN: Final = (*of_plans.INPUTS, *of_plans.FLOWN, *of_plans.FIT, *of_plans.SAFETY)
PROGRESS: Final = of_progress.PROGRESS
_GIVEN_WIND: Final = "The wind was given"  # so the estimation's note begins
Circumstances = Mapping[str, str]


def circumstances(document: Mapping[str, Any], maneuver: Mapping[str, Any]) -> Circumstances:
    """Return what was measured, derived or given of a maneuver, as entries are chosen by it.

    Parameters
    ----------
    document
        The debrief's JSON.
    maneuver
        Of it.
    """
    given = any(str(note).startswith(_GIVEN_WIND) for note in document["flight"]["notes"])
    airspeed = _source(maneuver, "airspeed.source")
    return {
        "wind": "given" if given else "derived",
        "tas": airspeed,
        "airspeed": airspeed,
        "bank": _source(maneuver, "bank.source"),
        "place": _source(maneuver, "reference.source", "fitted"),
        "entry": _entered_against(maneuver),
    }


_ENTERED: Final = {
    "steep-turns": "nothing",
    "rectangular-course": "leg",
    "eights-on-pylons": "first turn",
    "s-turns": "wind",
    "eights-along-a-road": "wind",
    "eights-across-a-road": "wind",
}
"""What an entry is told by, besides its track; of the others by the wind and the place turned about."""


def _entered_against(maneuver: Mapping[str, Any]) -> str:
    return _ENTERED.get(str(maneuver.get("kind", "")), "wind and place")


def _source(maneuver: Mapping[str, Any], key: str, otherwise: str = "derived") -> str:
    return next((str(one) for one in values(maneuver, key) if one), otherwise)


def entry(catalogue: Sequence[Known], key: str, so: Circumstances) -> Known | None:
    """Return the first entry for a key that holds as things are; None where there is none.

    Parameters
    ----------
    catalogue
        :data:`DEBRIEF`, :data:`PLAN` or :data:`PROGRESS`.
    key
        Of the figure.
    so
        What is so (see ``circumstances``).
    """
    return next((one for one in catalogue if key in one.keys and _holds(one.when, so)), None)


def _holds(when: str, so: Circumstances) -> bool:
    what, _, value = when.partition("=")
    return not when or so.get(what, value) == value


def says(
    catalogue: Sequence[Known], keys: Sequence[str], document: Mapping[str, Any], so: Circumstances
) -> str:
    """Return how what is printed under one name is known, or an empty text where the catalogue lacks it.

    Parameters
    ----------
    catalogue, so
        As above.
    keys
        Of the figures that are printed together, the main one first.
    document
        That holds them.
    """
    found = entry(catalogue, keys[0], so)
    return "" if found is None else sentences(found, keys, document)
