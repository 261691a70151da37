"""How the figures of a block of a page are known: what the templates write below it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from groundref.reports.known import catalogue, of_standard, printed, printed_plan
from groundref.reports.known.catalogue import Circumstances
from groundref.reports.known.entry import Known, sentences, within
from groundref.reports.known.printed import Keys

_NOTHING: Final[Circumstances] = {}


@dataclass(frozen=True, slots=True)
class Note:
    """How one figure is known, or several of which the same is to be said.

    Attributes
    ----------
    names
        As they stand on the page.
    says
        Some sentences.
    """

    names: tuple[str, ...]
    says: str


@dataclass(frozen=True, slots=True)
class Debriefed:
    """Says how the figures of one maneuver are known.

    Attributes
    ----------
    document, maneuver
        The debrief's JSON, and the maneuver of it.
    """

    document: Mapping[str, Any]
    maneuver: Mapping[str, Any]

    def notes(self, block: str, names: Iterable[str]) -> list[Note]:
        """Return the notes for the names of a block, in their order."""
        so = catalogue.circumstances(self.document, self.maneuver)
        whole = {**self.document, **self.maneuver}
        found = printed.BLOCKS.get(block, {})
        if "entry" in found:
            found = {**found, "entry": printed.ENTRY[so["entry"]]}
        return _notes(catalogue.DEBRIEF, found, names, whole, so)

    def elements(self) -> list[Note]:
        """Return the notes for the elements of the standard, limits first."""
        limits = catalogue.entry(catalogue.DEBRIEF, "elements.limit", _NOTHING)
        first = "" if limits is None else sentences(limits, ["elements.limit"], {"elements": []})
        # What only an instructor on board sees stands in no row.
        judged = [one for one in self.maneuver["elements"] if one["quantity"] in of_standard.QUANTITIES]
        return _together([("Limit", first), *((str(one["what"]), element(one)) for one in judged)])

    def findings(self) -> list[Note]:
        """Return the notes for the sizes of what was found."""
        return _together(
            (
                str(one["fault"]).replace("-", " "),
                sentences(
                    of_standard.FAULTS[one["fault"]], ["findings.size"], {"findings": [one]}, one["size_unit"]
                ),
            )
            for one in self.maneuver["findings"]
            if one["fault"] in of_standard.FAULTS
        )


def of_flight(document: Mapping[str, Any], block: str, names: Iterable[str]) -> list[Note]:
    """Return the notes for a block about the whole flight.

    Parameters
    ----------
    document
        The debrief's JSON.
    block, names
        As in ``Debriefed.notes``.
    """
    first: Mapping[str, Any] = next(iter(document["maneuvers"]), {})
    so = catalogue.circumstances(document, first)
    return _notes(catalogue.DEBRIEF, printed.BLOCKS[block], names, {**first, **document}, so)


def of_plan(document: Mapping[str, Any], block: str, names: Iterable[str]) -> list[Note]:
    """Return the notes for a block of a plan.

    Parameters
    ----------
    document
        The plan's JSON.
    block, names
        As in ``Debriefed.notes``.
    """
    return _notes(catalogue.PLAN, printed_plan.PLAN[block], names, document, _NOTHING)


def of_progress(document: Mapping[str, Any], block: str, names: Iterable[str]) -> list[Note]:
    """Return the notes for a block of a student's progress in one kind of maneuver.

    Parameters
    ----------
    document
        Of the kind, in the JSON.
    block, names
        As in ``Debriefed.notes``.
    """
    return _notes(catalogue.PROGRESS, printed_plan.PROGRESS[block], names, document, _NOTHING)


def trends(document: Mapping[str, Any]) -> list[Note]:
    """Return the notes for what the elements of one kind have come to.

    Parameters
    ----------
    document
        Of the kind, in the JSON.
    """
    every = list(catalogue.PROGRESS)
    now, change = (catalogue.entry(every, key, _NOTHING) for key in ("trend.now", "trend.a_lesson"))
    said = []
    for one in document["elements"]:
        if one["trend"] is not None and now is not None and change is not None:
            parts = (_surely(now, "trend.now", one), _surely(change, "trend.a_lesson", one))
            said.append((str(one["name"]), f"now {parts[0]}, change a lesson {parts[1]}."))
    return _together(said)


def _surely(known: Known, key: str, element: Mapping[str, Any]) -> str:
    return within(known, [key], element, element["unit"]) or "as told"


def element(one: Mapping[str, Any]) -> str:
    """Return how the worst of an element of the standard is known; empty for what no recording can tell.

    Parameters
    ----------
    one
        The element, in the JSON.
    """
    known = of_standard.QUANTITIES.get(one["quantity"])
    if known is None:
        return ""
    return sentences(known, ["elements.worst"], {"elements": [one]}, one["unit"])


def _notes(
    known: Sequence[Known],
    block: Mapping[str, Keys],
    names: Iterable[str],
    document: Mapping[str, Any],
    so: Circumstances,
) -> list[Note]:
    return _together(
        (name, catalogue.says(known, keys, document, so))
        for name in dict.fromkeys(names)
        if (keys := printed.keys(block, name))
    )


def _together(said: Iterable[tuple[str, str]]) -> list[Note]:
    """Return the notes, those that say the same as one, in the order of the first of them."""
    names: dict[str, list[str]] = {}
    for name, says in said:
        if says:
            names.setdefault(says, []).append(name)
    return [Note(tuple(each), says) for says, each in names.items()]
