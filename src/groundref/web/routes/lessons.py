"""Lessons: a recording brought, its debrief shown."""

from __future__ import annotations

from http import HTTPStatus
from pathlib import PurePath
from typing import Annotated, Any, Final

import msgspec
from litestar import MediaType, Request, Response, get, post
from litestar.datastructures import UploadFile
from litestar.enums import RequestEncodingType
from litestar.params import Body, FromPath
from litestar.response import Redirect

from groundref import __version__
from groundref.detection import named
from groundref.errors import ColumnsError, InputError, UsageError
from groundref.record.asked import Asked
from groundref.record.lessons import NewLesson, add, shown
from groundref.record.people import people
from groundref.record.sites import sites
from groundref.record.standing import standing
from groundref.web import brought, reader
from groundref.web.corrections import rows
from groundref.web.described import refusals
from groundref.web.forms import WORDS, Forms
from groundref.web.pages import page, wants_json
from groundref.web.served import Here, Served
from groundref.web.side_by_side import beside
from groundref.web.work import Parts, debrief

_READS: Final = (
    "bring GPX, a CSV log or ADS-B state vectors; a CSV whose columns have other names is brought in with "
    "groundref record add --columns, see docs/recordings.md"
)
Brought = Annotated[dict[str, Any], Body(media_type=RequestEncodingType.MULTI_PART)]


@post("/lessons", include_in_schema=False, status_code=HTTPStatus.SEE_OTHER)
async def bring(served: Here, data: Brought, request: Request[Any, Any, Any]) -> Response[Any]:
    """Take a recording, or several parts of one flight; debrief it and keep it as a lesson."""
    parts = await _parts(data)
    there = await served.read(lambda connection: brought.held(connection, parts))
    if not there:
        number = await _kept(served, parts)
        if number is not None:
            if wants_json(request):
                answer = {"lesson": number, "page": f"/lessons/{number}"}
                return Response(answer, status_code=HTTPStatus.CREATED)
            return Redirect(f"/lessons/{number}", status_code=303)
        there = await served.read(lambda connection: brought.held(connection, parts))
    return _there_already(served, there, len(parts), as_json=wants_json(request))


def _there_already(
    served: Served, there: tuple[brought.Held, ...], number: int, *, as_json: bool
) -> Response[Any]:
    """Say that the record has what was brought, or a part of it, and where."""
    first, words, whole = there[0], brought.said(there, number), len(there) == number
    if as_json:
        status = HTTPStatus.OK if whole else HTTPStatus.CONFLICT
        answer = {"lesson": first.lesson, "page": first.page} if whole else {"error": words, "status": status}
        return Response({**answer, "says": words, "held": brought.plain(there)}, status_code=status)
    if whole:
        return served.sayings.back(first.lesson, "main", words)
    return page("held.html.j2", status=HTTPStatus.CONFLICT, words=words, there=there)


@get("/lessons/{number:int}", include_in_schema=False)
async def lesson(served: Here, number: FromPath[int], request: Request[Any, Any, Any]) -> Response[str]:
    """Show a lesson, and once what was just kept of it."""
    there, now, everybody, everywhere, twice = await served.read(
        lambda connection: (
            here := shown(connection, number),
            standing(connection, number),
            people(connection),
            sites(connection),
            beside(connection, here),
        )
    )
    worked = await served.worked(number)
    document = msgspec.json.decode(worked.document)
    return page(
        "lesson.html.j2",
        lesson=there,
        beside=twice,
        row=there.row,
        content=worked.content,
        people=[one.name for one in everybody],
        sites=[one.name for one in everywhere],
        stretches=rows(document, there.asked),
        forms=Forms(there, now),
        document=document,
        said=served.sayings.once(request.query_params.get("said", ""), number),
        map=served.map,
        planned=document.get("plan"),
        titled_within=named.in_sentence,
        **WORDS,
    )


@get(
    "/api/lessons/{number:int}/debrief",
    media_type=MediaType.JSON,
    responses=refusals("There is no such lesson"),
)
async def debrief_of(served: Here, number: FromPath[int]) -> Response[bytes]:
    """Return the debrief of a lesson, as the command line writes it."""
    return Response((await served.worked(number)).document, media_type=MediaType.JSON)


@get(
    "/api/lessons/{number:int}/replay",
    media_type=MediaType.JSON,
    responses=refusals("There is no such lesson"),
)
async def replay_of(served: Here, number: FromPath[int]) -> Response[bytes]:
    """Return the flight of a lesson sample by sample, in local metres."""
    return Response((await served.worked(number)).replay, media_type=MediaType.JSON)


async def _kept(served: Served, parts: Parts) -> int | None:
    """Debrief a flight and keep it; return the lesson's number, None where somebody else was quicker."""
    asked = Asked()
    try:
        worked = await served.workers.run(debrief, parts, asked, None, None, reader.units())
    except ColumnsError as problem:
        missing = problem.what.partition("; ")[0]  # without its columns, which may be a hundred
        raise InputError(missing, problem.where, _READS) from problem
    new = NewLesson(parts, asked, worked.document, __version__)
    number, is_new = await served.call(add, served.record, new)
    if not is_new:
        return None
    await served.keep(number, 1, worked)
    return number


async def _parts(data: dict[str, Any]) -> Parts:
    """Return the recordings in a form."""
    chosen = data.get("recordings")
    files = chosen if isinstance(chosen, list) else [chosen]
    parts = [
        (PurePath(file.filename.replace("\\", "/")).name or "recording", await file.read())
        for file in files
        if isinstance(file, UploadFile) and file.filename  # a form in which nothing was chosen sends no name
    ]
    if not parts:
        raise UsageError("no recording was brought", remedy="choose a file and try again")
    for name, content in parts:
        if not content:
            raise UsageError(
                "the file is empty", name, "see that the recorder has saved it, and export it again"
            )
    return tuple(parts)
