"""A student's progress on paper, for the folder: set by typst, the same bytes for the same lessons."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any, Final, Literal

from groundref.detection import named
from groundref.progress.evidence import STANDING
from groundref.progress.told import ElementProgress, ManeuverProgress, Progress
from groundref.reports import metric, notices, reading, words
from groundref.reports.brief.letters import legible
from groundref.reports.brief.lines import together
from groundref.reports.brief.render import typeset
from groundref.reports.progress import figure
from groundref.reports.progress import words as said

PAPERS: Final = {"a4": "a4", "letter": "us-letter"}
_BANDS: Final = "Shaded bands and bars are two."


def pdf(
    progress: Progress, paper: str = "a4", form: Literal["pdf", "png"] = "pdf", units: str = reading.US
) -> bytes:
    """Return the pages as a PDF file.

    Parameters
    ----------
    progress
        The student's.
    paper
        `a4` or `letter`.
    form
        `pdf`; `png` only of what fits one page.
    units
        :data:`reading.US`, or :data:`reading.METRIC`.

    Raises
    ------
    UsageError
        When the name has a letter that the page cannot be set in.
    """
    with reading.reading(units):
        told = _content(progress, paper)
    given = json.dumps(told, ensure_ascii=False, sort_keys=True)
    template = files(__package__).joinpath("progress.typ").read_bytes()
    return typeset(template, form, {"data": given})


def _content(progress: Progress, paper: str) -> dict[str, object]:
    """Return all that the template sets, as plain data."""
    texts = {
        "name": legible(words.plain(progress.name), "student"),
        "span": said.span(progress),
        "standing": STANDING,
        "about": " ".join((said.MARKS, said.ABOUT, notices.ABOUT_SD, _BANDS, notices.CAUTIONS[0])),
        "heads": ["element", "asked", "last three", "now", "a lesson", "trend"],
        "none": "" if progress.maneuvers else "No maneuver has been flown in these lessons yet.",
    }
    pictures = [figure.maneuver(one) for one in progress.maneuvers]
    told = [together(_maneuver(one)) for one in progress.maneuvers]
    return {
        "paper": PAPERS[paper],
        "maneuvers": told,
        "pictures": _read(pictures),
        "texts": _read(together(texts)),
    }


def _read(told: Any) -> Any:
    """Return what is said in feet and knots for who reads metric units."""
    return metric.data(told) if reading.metric() else told


def _maneuver(one: ManeuverProgress) -> dict[str, object]:
    rows = [each for each in one.elements if said.measured(each)]
    told: dict[str, object] = _read(
        {
            "title": named.title(one.kind),
            "facts": f"{said.flown(one)} · wind {said.wind(one)} · turns {said.directions(one)}",
            "evidence": list(one.evidence),
            "others": said.unmeasured(one),
            "sentences": [said.turns(one.elements), said.winds(one.elements)],
            "errors": [[said.error(fault), said.how_often(fault)] for fault in one.faults],
        }
    )
    # A limit stays as the standard has it, also for who reads metric units.
    asked = said.asked_both if reading.metric() else said.asked
    return told | {
        "rows": [[_read(said.compared(each)), asked(each), *_read(_figures(each))] for each in rows]
    }


def _figures(one: ElementProgress) -> list[str]:
    return [said.last_three(one), said.now(one), said.change(one), said.trend(one)]
