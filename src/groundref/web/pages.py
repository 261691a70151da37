"""Pages out of templates, and failures as pages."""

from __future__ import annotations

import logging
import re
from functools import cache
from http import HTTPStatus
from typing import Any, Final

from jinja2 import Environment, PackageLoader, StrictUndefined
from litestar import MediaType, Request, Response
from litestar.exceptions import HTTPException
from markupsafe import Markup, escape

from groundref.errors import (
    GroundrefError,
    InputError,
    NoSolutionError,
    NothingToWorkOnError,
    NotInRecordError,
    RecordError,
    SignedError,
    UsageError,
)
from groundref.reports import kept, metric, verdict_html
from groundref.reports.html import together
from groundref.reports.notices import CAUTIONS
from groundref.reports.reading import reading
from groundref.web import called, reader
from groundref.web.assets import address
from groundref.web.described import Refusal

_STATUS: Final[tuple[tuple[type[GroundrefError], HTTPStatus], ...]] = (
    (NotInRecordError, HTTPStatus.NOT_FOUND),
    (RecordError, HTTPStatus.CONFLICT),
    (NothingToWorkOnError, HTTPStatus.UNPROCESSABLE_ENTITY),
    (InputError, HTTPStatus.UNPROCESSABLE_ENTITY),
    (UsageError, HTTPStatus.BAD_REQUEST),
    (NoSolutionError, HTTPStatus.BAD_REQUEST),
)


_log: Final = logging.getLogger("groundref")


@cache
def _environment() -> Environment:
    made = Environment(
        loader=PackageLoader("groundref.web"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    made.filters["of_student"] = called.address
    made.filters["clock"] = kept.clock
    made.filters["together"] = together
    made.filters["corrected_at"] = corrected_at
    made.globals.update(verdict=verdict_html.verdict, meanings=verdict_html.meanings)
    made.globals.update(on_the_ground=kept.ON_THE_GROUND, about_try=kept.ABOUT_TRY)
    return made


_GIVE: Final = re.compile(
    r"give the (?:point|line|pylons|pylon|rectangle|road) for the full figure|(?<=under )Corrections(?=\.)"
)


def corrected_at(text: str, place: str) -> Markup:
    """Return text in which what asks for a place on the ground leads to where it can be said.

    Parameters
    ----------
    text
        HTML, or plain text that is not marked as HTML.
    place
        Address of the corrections.
    """
    return Markup(_GIVE.sub(lambda found: f'<a href="{escape(place)}">{found[0]}</a>', str(escape(text))))


def page(template: str, *, status: int = HTTPStatus.OK, **content: Any) -> Response[str]:
    """Return a page, in the units of who asked for it.

    Parameters
    ----------
    template
        Its file.
    status
        Of the answer.
    content
        What the template writes.
    """
    with reading(reader.units()):
        text = (
            _environment()
            .get_template(template)
            .render(cautions=CAUTIONS, static=address(), read_in=reader.units(), **content)
        )
    if reader.metric():
        text = metric.page(text)
    return Response(
        text, media_type=MediaType.HTML, status_code=status, headers={"cache-control": "no-store"}
    )


def failed(request: Request[Any, Any, Any], problem: Exception) -> Response[Any]:
    """Return a failure that a user can do something about: as JSON where that is wanted, else as a page."""
    status, sentence = _said(problem)
    if wants_json(request):
        return Response(Refusal(sentence, int(status)), status_code=status)
    if isinstance(problem, GroundrefError):
        sentence = sentence_of(problem)
    return page("failed.html.j2", status=status, sentence=sentence)


def status_of(problem: GroundrefError) -> HTTPStatus:
    """Return the status of an answer that says what went wrong."""
    return next(status for kind, status in _STATUS if isinstance(problem, kind))


def sentence_of(problem: GroundrefError) -> str:
    """Return what a page says of what went wrong."""
    # Remedies that are commands: pages have a list of what there is, and a button to take a signature back.
    if isinstance(problem, SignedError):
        return f"{problem.what}; take the signature back first, if this is to be in it"
    return problem.what if isinstance(problem, NotInRecordError) else str(problem)


def _said(problem: Exception) -> tuple[int, str]:
    if isinstance(problem, GroundrefError):
        return status_of(problem), str(problem)
    if isinstance(problem, HTTPException):
        return problem.status_code, problem.detail
    _log.error("a request failed", exc_info=problem)
    return HTTPStatus.INTERNAL_SERVER_ERROR, "This is a defect of groundref, not of your input."


def wants_json(request: Request[Any, Any, Any]) -> bool:
    """Whether an answer is wanted as JSON and not as a page."""
    return request.url.path.startswith("/api/") or "application/json" in request.headers.get("accept", "")
