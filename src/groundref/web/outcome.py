"""What corrections come to: what was kept, in words, and stretches held as nothing could be made of them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from groundref.detection import named
from groundref.record.asked import Asked, Stretch
from groundref.reports.notices import UNDO
from groundref.track.time_of_day import time_of_day
from groundref.web.corrections import Form, bounds, labels, rows, stretch_said
from groundref.web.wrong import FieldsError, Gathered, Wrong

ANYWAY: Final = "anyway"
"""Field of the form by which stretches are kept that nothing could be made of: what was said of them."""
_EITHER: Final = "Choose another, or keep it all the same: the debrief then has no maneuver there."


class HeldError(FieldsError):
    """What was said of some stretches leaves them without a maneuver, and they were not kept so yet.

    Parameters
    ----------
    fields
        As of ``FieldsError``.
    anyway
        What the form has to say in ``ANYWAY`` so that they are.
    """

    def __init__(self, fields: Mapping[str, Wrong], anyway: str) -> None:
        super().__init__(fields)
        self.anyway = anyway

    @property
    def counted(self) -> str:
        """How many there are, in words."""
        number = len(self.fields)
        return f"{'one stretch' if number == 1 else f'{number} stretches'} would be left without a maneuver"


def hold(
    form: Form, before: Mapping[str, Any], asked: Asked, document: Mapping[str, Any], *, metric: bool
) -> None:
    """Refuse stretches that the form says something new of which nothing could be made of, unless it insists.

    Parameters
    ----------
    form
        As ``corrected`` took it.
    before, asked
        The debrief that the form was made from, and how that was asked for.
    document
        The debrief as the form asks for it.
    metric
        As of ``corrected``.

    Raises
    ------
    HeldError
        Naming all of them.
    """
    stretches = rows(before, asked)
    wrong = Gathered(labels(stretches), metric)
    fields, spoken = {}, []
    for row in (*stretches, None):
        key = "new" if row is None else str(row.number)
        for one in stretch_said(form, key, row, bounds(before), wrong):
            note = "" if one in asked.said else _not_made(one, document)
            if note:
                why = note.partition("; ")[2]
                says = f"{why[:1].upper()}{why[1:]} {_EITHER}"
                fields[f"kind-{key}"] = Wrong(wrong.labels[f"kind-{key}"], says)
                spoken.append(_spoken(one))
    anyway = "; ".join(spoken)
    if fields and form.get(ANYWAY) != anyway:
        raise HeldError(fields, anyway)


def _not_made(one: Stretch, document: Mapping[str, Any]) -> str:
    """Return why no such maneuver could be made of a stretch, in a debrief's words; empty where one was."""
    return next((note for note in document["flight"]["notes"] if f"{_spoken(one)}; " in note), "")


_NAMES: Final = {
    "ground_ft": "the ground",
    "altimeter_hpa": "the altimeter setting",
    "wind_kt": "the wind",
    "point": "the point",
    "line": "the line",
    "corners": "the corners",
    "pylons": "the pylons",
}


def told(before: Asked, after: Asked, document: Mapping[str, Any]) -> str:
    """Return in a sentence or two what was corrected between two ways to ask for a debrief.

    Parameters
    ----------
    before, after
        How the debrief was asked for, and how it is now.
    document
        The debrief that is asked for so now.
    """
    given = [
        f"{words}{' as the recording shows it' if getattr(after, name) is None else ''}"
        for name, words in _NAMES.items()
        if getattr(after, name) != getattr(before, name)
        or (name == "wind_kt" and after.wind_from_deg != before.wind_from_deg)
    ]
    given += [_spoken(one) for one in after.said if one not in before.said]
    again = [
        one
        for one in before.said
        if one not in after.said and not any(_overlapping(one, other) for other in after.said)
    ]
    given += [
        f"{time_of_day(one.start)} to {time_of_day(one.end)} UTC is as the recording was taken"
        for one in again
    ]
    without = [note for one in after.said if (note := _not_made(one, document))]
    but = "".join(f" {note} {UNDO}" for note in without)
    return f"Kept: {'; '.join(given)}. The debrief was worked out anew.{but}"


def _spoken(one: Stretch) -> str:
    what = "not a maneuver" if one.kind is None else named.in_sentence(one.kind)
    return f"{time_of_day(one.start)} to {time_of_day(one.end)} UTC is {what}"


def _overlapping(one: Stretch, other: Stretch) -> bool:
    return min(one.end, other.end) > max(one.start, other.start)
