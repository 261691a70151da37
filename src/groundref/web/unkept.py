"""What was typed and could not be kept: shown again in its form, beside what stands there now and why.

So it is when the lesson was changed by somebody else meanwhile, in another tab or on another machine, when it
was signed meanwhile, and when something typed makes no sense.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Iterable, Iterator
from dataclasses import replace
from http import HTTPStatus
from typing import Any, Final

import msgspec
from litestar import Request, Response
from sqlalchemy import Connection

from groundref.errors import ChangedMeanwhileError, GroundrefError
from groundref.progress.flown import ElementFlown
from groundref.record.deciding import latest_verdict
from groundref.record.lessons import LessonShown, shown
from groundref.record.people import people
from groundref.record.sites import sites
from groundref.record.standing import DEBRIEF, REMARKS, SIGNATURE, VERDICTS, WHO, standing
from groundref.reports import verdict_words
from groundref.web.corrections import rows
from groundref.web.forms import CARRIED, WORDS, Forms, Sent, in_words
from groundref.web.outcome import HeldError
from groundref.web.pages import page, sentence_of, status_of, wants_json
from groundref.web.served import Served
from groundref.web.wrong import FieldsError

PARTS: Final = ("who", "remarks", "verdicts", "corrections", "plan", "no-plan", "signature")
Asking = Request[Any, Any, Any]


async def or_shown_again(
    served: Served,
    request: Asking,
    number: int,
    part: str,
    sent: Sent,
    keep: Callable[[], Awaitable[Response[Any]]],
) -> Response[Any]:
    """Keep what was sent; where that is refused, return a page with it.

    Parameters
    ----------
    served
        What the routes work with.
    request
        That it came with.
    number
        Of the lesson.
    part
        Of its page that the form belongs to.
    sent
        The form's fields.
    keep
        Keeps it and gives the answer.
    """
    try:
        return await keep()
    except GroundrefError as problem:
        if wants_json(request):
            raise
        return await shown_again(served, number, part, sent, problem)


async def shown_again(
    served: Served, number: int, part: str, sent: Sent, problem: GroundrefError | None
) -> Response[Any]:
    """Return a page with what was sent and is kept nowhere.

    Parameters
    ----------
    served
        What the routes work with.
    number
        Of the lesson.
    part
        Of its page that the form belongs to.
    sent
        The form's fields.
    problem
        Why it was not kept; None where the signature was just taken back, so that it can be.

    Raises
    ------
    RecordError
        When there is no such lesson, or it is damaged.
    """
    there, now, everybody, everywhere, verdict = await served.read(
        lambda connection: _found(connection, number)
    )
    document = msgspec.json.decode((await served.worked(number)).document)
    form = Forms(there, now).sent(part, sent, document)
    if form is not None and there.row.signed_at and (part != "signature" or sent.get("withdraw")):
        form = replace(form, reopens=True, seen={SIGNATURE: now[SIGNATURE]})
    if form is not None and isinstance(problem, FieldsError):
        form = replace(form, wrong={name: one for name, one in problem.fields.items() if name in form.values})
    if form is not None and isinstance(problem, HeldError):
        form = replace(form, anyway=problem.anyway)
    changed = problem.changed if isinstance(problem, ChangedMeanwhileError) else ()
    return page(
        "unkept.html.j2",
        status=HTTPStatus.OK if problem is None else status_of(problem),
        heading="Open again" if problem is None else "Changed meanwhile" if changed else "This was not kept",
        sentence=_sentence(there, problem, verdict, sent),
        form=form,
        part=part,
        left=in_words(sent) if form is None else form.left,
        changed={one.partition("-")[0] for one in changed},
        lesson=there,
        row=there.row,
        stretches=rows(document, there.asked),
        people=[one.name for one in everybody],
        sites=[one.name for one in everywhere],
        counts=_counts,
        **WORDS,
        again={name: text for name, text in sent.items() if name not in CARRIED},
    )


_Found = tuple[LessonShown, dict[str, str], Any, Any, tuple[str | None, str] | None]


def _found(connection: Connection, number: int) -> _Found:
    there = shown(connection, number)
    return (
        there,
        standing(connection, number),
        people(connection),
        sites(connection),
        latest_verdict(connection, number),
    )


def _sentence(
    there: LessonShown, problem: GroundrefError | None, verdict: tuple[str | None, str] | None, sent: Sent
) -> str:
    number = there.row.number
    if problem is None:
        return f"The signature on lesson {number} was taken back; what you typed is below, and not kept yet."
    if isinstance(problem, FieldsError):
        return f"{problem.counted}; nothing of this was kept yet"
    if not isinstance(problem, ChangedMeanwhileError):
        return f"{sentence_of(problem)}; nothing of this was kept yet"
    if not sent.get("seen"):
        return (
            f"The form does not say which state of lesson {number} it was made of, so nothing was changed; "
            "what stands there now is below"
        )
    happened = list(dict.fromkeys(_happened(there, problem.changed, verdict)))
    told = ", and ".join([", ".join(happened[:-1]), happened[-1]] if happened[1:] else happened)
    return f"Since your page was opened, {told}; what you sent was not kept yet."


def _happened(
    there: LessonShown, changed: tuple[str, ...], verdict: tuple[str | None, str] | None
) -> Iterator[str]:
    """Yield what somebody did to a lesson meanwhile, with who and when where the record knows."""
    row = there.row
    if SIGNATURE in changed:
        yield (
            f"{row.signed_by or 'somebody forgotten'} signed lesson {row.number} on {_moment(row.signed_at)}"
            if row.signed_at
            else f"the signature on lesson {row.number} was taken back"
        )
    if WHO in changed:
        yield "who flew, who taught or where was changed"
    if DEBRIEF in changed:
        yield f"the debrief was worked out anew on {_moment(there.results[-1][2])}"
    if any(part.startswith(VERDICTS) for part in changed):
        last = "" if verdict is None else f", the last by {verdict[0] or 'somebody'} on {_moment(verdict[1])}"
        yield f"own verdicts were changed{last}"
    if REMARKS in changed:
        yield "the remarks were changed"


def _counts(elements: Iterable[ElementFlown]) -> str:
    return verdict_words.counts(
        [verdict_words.mark(each.own or each.verdict, each.basis) for each in elements]
    )


def _moment(text: str) -> str:
    return f"{text[:16].replace('T', ' ')} UTC"
