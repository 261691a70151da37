"""The standard's elements in words: what was asked, what was flown, the verdict and why."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from groundref.progress.flown import OwnVerdict
from groundref.reports import verdict_words, words
from groundref.reports.cells import Cell
from groundref.reports.reading import METRIC, reading
from groundref.units import foot, knot

# Progress and kept lessons are told with these words, and need nothing of what a debrief is made with.
if TYPE_CHECKING:
    from groundref.assessment.assessed import Assessed, ElementResult
    from groundref.debriefing import Debrief
    from groundref.standards.standard import Element

Own = Mapping[tuple[str, str], OwnVerdict]  # of a maneuver's elements, by code and quantity
NONE_OWN: Final[Own] = {}


@dataclass(frozen=True, slots=True)
class OwnSaid:
    """The instructor's own verdict in words.

    Attributes
    ----------
    word
        The verdict.
    by
        Who gave it and when.
    why
        As the instructor wrote it; empty where nothing was written.
    """

    word: verdict_words.VerdictWord
    by: str
    why: str


@dataclass(frozen=True, slots=True)
class Verdict:
    """One element of the standard in words.

    Attributes
    ----------
    code
        As printed in the standard; empty where none is printed.
    recorded
        The recording's verdict.
    own
        The instructor's, which counts before it; None where there is none.
    what, limit, worst, time, why, basis
        What is asked, the limit, what was flown and when, the reason, where the limit is from.
    """

    code: str
    what: str
    recorded: verdict_words.VerdictWord
    own: OwnSaid | None
    limit: Cell
    worst: Cell
    time: str
    why: str
    basis: str

    @property
    def counts(self) -> verdict_words.VerdictWord:
        """The verdict that counts."""
        return self.recorded if self.own is None else self.own.word


def _asked(debrief: Debrief, assessed: Assessed, element: ElementResult) -> Element | None:
    """Return the standard's own entry for a result."""
    task = debrief.standard.task(assessed.maneuver.kind)
    every = task.elements if task else ()
    return next((e for e in every if (e.code, e.what) == (element.code, element.what)), None)


def _observed(debrief: Debrief, assessed: Assessed, element: ElementResult) -> bool:
    asked = _asked(debrief, assessed, element)
    return asked is not None and asked.quantity == "observed"


def observed(debrief: Debrief, assessed: Assessed, own: Own = NONE_OWN) -> list[str]:
    """Return what no recording can tell and only an instructor on board sees, with the codes.

    What the instructor has given a verdict on is left out: it stands among the others.
    """
    return [
        with_code(e.what, printed_code(e.code))
        for e in assessed.elements
        if _observed(debrief, assessed, e) and (e.code, e.quantity) not in own
    ]


_OWN_NAME: Final = re.compile(r"[a-z]+(-[a-z]+)*")  # of an element that no publication gives a code


def printed_code(code: str) -> str:
    """Return an element's code where one is printed; our own short names say nothing to a pilot."""
    return "" if _OWN_NAME.fullmatch(code) else code


def with_code(what: str, code: str) -> str:
    """Return what is asked with its code behind it, if it has one."""
    return f"{what} ({code})" if code else what


def verdicts(debrief: Debrief, assessed: Assessed, own: Own = NONE_OWN) -> list[Verdict]:
    """Return the elements in the standard's order, with the instructor's own verdicts.

    Those that only an instructor can see are left out until one was given on them.
    """
    return [
        _verdict(debrief, assessed, e, own.get((e.code, e.quantity)))
        for e in assessed.elements
        if (e.code, e.quantity) in own or not _observed(debrief, assessed, e)
    ]


def counts(debrief: Debrief, assessed: Assessed, own: Own = NONE_OWN) -> str:
    """Return how many elements were met, not met and open, as ``3 met, 1 not met``."""
    return verdict_words.counts([verdict.counts.mark for verdict in verdicts(debrief, assessed, own)])


def _own(given: OwnVerdict | None) -> OwnSaid | None:
    if given is None:
        return None
    return OwnSaid(
        verdict_words.WORDS[given.verdict], verdict_words.by_whom(given), words.plain(given.reason)
    )


def _verdict(debrief: Debrief, assessed: Assessed, element: ElementResult, own: OwnVerdict | None) -> Verdict:
    e, epoch = element, debrief.track.recording.epoch
    return Verdict(
        code=printed_code(e.code),
        what=e.what,
        recorded=verdict_words.of(e),
        own=_own(own),
        limit=_limit(debrief, assessed, e),
        worst=sized(e.worst, e.worst_sd, e.unit, judged=True)
        if e.worst is not None
        else Cell("not measured"),
        time=f"{words.moment(epoch, e.time)} UTC" if e.time is not None and words.known(e.time) else "",
        why=reason(e, _asked(debrief, assessed, e)) + _unrecorded(debrief, assessed, e),
        basis=_basis(debrief, assessed, e),
    )


def _unrecorded(debrief: Debrief, assessed: Assessed, element: ElementResult) -> str:
    """Return why an airspeed stays open that is known well as a mean: it was not recorded."""
    asked, held = _asked(debrief, assessed, element), assessed.airspeed
    if asked is None or asked.quantity != "airspeed" or element.verdict != "undetermined":
        return ""
    if held is None or held.source != "derived" or "Airspeed was not recorded" in element.why:
        return ""
    return " Airspeed was not recorded: its changes are worked out from the ground speed."


# What stands in a column of its own beside the reason.
_REPEATED: Final = re.compile(
    r"^(No number is printed; )?flown [\d,.]+[^()]*\(± [^()]*\), (and )?", re.IGNORECASE
)


def reason(element: ElementResult, asked: Element | None) -> str:
    """Return why the verdict is so, without what stands beside it: the value flown and the code as source."""
    said = _REPEATED.sub("", element.why)
    if asked is not None and asked.source:
        where = "" if printed_code(element.code) else f" ({asked.source.split(';')[0]})"
        said = said.replace(f" ({asked.source})", where)
    return said[:1].upper() + said[1:]


def _basis(debrief: Debrief, assessed: Assessed, element: ElementResult) -> str:
    """Return where a limit is from: the standard itself, a handbook's advice or common practice."""
    if element.limit is None:
        return "no number is printed"
    if advice(debrief, assessed, element):
        return "handbook's advice"
    return "as printed" if element.published else "common practice"


def advice(debrief: Debrief, assessed: Assessed, element: ElementResult) -> bool:
    """Return whether a limit is a handbook's advice and no limit of the standard."""
    if element.basis != "standard":
        return element.basis == "handbook"
    asked = _asked(debrief, assessed, element)
    return element.published and asked is not None and "advice" in asked.source


_SI: Final = {"ft": foot, "kt": knot}


def sized(value: float | None, sd: float | None, unit: str, *, judged: bool = False) -> Cell:
    """Return a value in a contract unit with the metric one beside it, rounded as in reasons if judged."""
    said = words.size(value, sd, unit, whole=judged)
    if unit not in _SI or value is None or not words.known(value):
        return Cell(said)
    beside = words.length_beside if unit == "ft" else words.speed_beside
    return Cell(said, beside(value * _SI[unit]))


def stated(value: float, unit: str) -> str:
    """Return a limit in metric units, which stands beside that of the standard; empty where it has none."""
    with reading(METRIC):
        return words.size(value, None, unit) if unit in _SI else ""


def _limit(debrief: Debrief, assessed: Assessed, element: ElementResult) -> Cell:
    if element.limit is None:
        return Cell("no limit")
    asked = _asked(debrief, assessed, element)
    upper = Cell(words.limit(element.limit, element.unit), stated(element.limit, element.unit))
    if asked is None or asked.minimum is None:
        return upper
    lower = stated(asked.minimum, element.unit).split(" ")[0]
    metric = f"{lower} to {upper.metric}" if upper.metric else ""
    return Cell(f"{words.limit(asked.minimum, '')} to {upper.main}", metric)


def bank_limit(debrief: Debrief, assessed: Assessed) -> str:
    """Return the limit of bank with where it is from, as ``45°, handbook's advice``."""
    task = debrief.standard.task(assessed.maneuver.kind)
    asked = next((e for e in (task.elements if task else ()) if e.quantity == "bank" and e.limit), None)
    limit = words.degrees(assessed.bank_limit)
    if asked is None:
        return f"{limit}, {assessed.bank_limit_source}"
    where = next(
        (
            _basis(debrief, assessed, e)
            for e in assessed.elements
            if (e.code, e.what) == (asked.code, asked.what)
        ),
        "",
    )
    return ", ".join(part for part in (limit, where, asked.source.split(";")[0]) if part)
