"""Debriefs that are kept of a lesson beside the one that counts, to be read."""

from __future__ import annotations

from typing import Any

from litestar import MediaType, Response, get
from litestar.params import FromPath
from litestar.response import Redirect

from groundref.record.earlier import kept_debrief
from groundref.reports import html
from groundref.reports.reading import reading
from groundref.web import reader
from groundref.web.described import refusals
from groundref.web.kept_debriefs import otherwise, told
from groundref.web.pages import page
from groundref.web.served import Here
from groundref.web.side_by_side import meant


@get("/lessons/{number:int}/debriefs/{turn:int}", include_in_schema=False)
async def debrief_kept(served: Here, number: FromPath[int], turn: FromPath[int]) -> Response[Any]:
    """Show a debrief of a lesson as it was kept, beside the one that counts, whose page is the lesson's."""
    one = await served.read(lambda connection: kept_debrief(connection, number, turn))
    if one.turn == one.counts:
        return Redirect(f"/lessons/{number}", status_code=303)
    with reading(reader.units()):
        maneuvers = told(one)
    then, _ = one.plain
    return page(
        "debrief_kept.html.j2",
        one=one,
        row=one.lesson.row,
        maneuvers=maneuvers,
        marks=html.marks(),
        meant=meant([row for each in maneuvers for row in each.rows]),
        otherwise=otherwise(one),
        planned=then.get("plan"),
    )


@get(
    "/api/lessons/{number:int}/debriefs/{turn:int}",
    media_type=MediaType.JSON,
    responses=refusals("There is no such lesson, or no such debrief of it"),
)
async def debrief_kept_json(served: Here, number: FromPath[int], turn: FromPath[int]) -> Response[bytes]:
    """Return a debrief of a lesson as it was kept."""
    one = await served.read(lambda connection: kept_debrief(connection, number, turn))
    return Response(one.document, media_type=MediaType.JSON)
