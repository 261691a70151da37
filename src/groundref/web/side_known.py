"""How the figures of two maneuvers side by side are known: once where the same is to be said of both."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from groundref.progress.flown import ElementFlown
from groundref.reports.known.blocks import Debriefed, Note, element
from groundref.web.side_by_side import Side, paired

_CONDITIONS: Final = ("flown", "turned", "wind", "true airspeed", "mean radius")


def known(first: Side, second: Side) -> list[Note]:
    """Return the notes for the table of figures.

    Parameters
    ----------
    first, second
        The two.
    """
    return _known(first, second, _CONDITIONS)


def known_of_two(first: Side, second: Side) -> list[Note]:
    """Return the notes for the figures of two debriefs of one flight."""
    return _known(first, second, _CONDITIONS[1:])


def _known(first: Side, second: Side, conditions: Iterable[str]) -> list[Note]:
    notes = []
    for name in conditions:
        said = (_condition(first, name), _condition(second, name))
        notes.append(_note(name, said, (first, second)))
    for what, pair in paired(first, second):
        notes.append(_note(what, (_element(pair[0]), _element(pair[1])), (first, second)))
    return [note for note in notes if note.says]


def _condition(one: Side, name: str) -> str:
    notes = Debriefed(one.document, one.document["maneuvers"][one.flown.number - 1]).notes("compared", [name])
    return notes[0].says if notes else ""


def _element(one: ElementFlown | None) -> str:
    if one is None:
        return ""
    return element({"quantity": one.quantity, "worst": one.worst, "worst_sd": one.worst_sd, "unit": one.unit})


def _note(name: str, said: Iterable[str], sides: tuple[Side, Side]) -> Note:
    texts = [f"{side.title}: {text}" for side, text in zip(sides, said, strict=True) if text]
    alone = {text.partition(": ")[2] for text in texts}
    return Note((name,), alone.pop() if len(alone) == 1 else " ".join(texts))
