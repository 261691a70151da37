"""Two maneuvers of one kind side by side: key figures, findings and pictures."""

from __future__ import annotations

import msgspec
from litestar import Response, get
from litestar.params import FromQuery

from groundref.detection import named
from groundref.record.lessons import shown
from groundref.reports import html
from groundref.reports.reading import reading
from groundref.web import reader
from groundref.web.pages import page
from groundref.web.served import Here, Served
from groundref.web.side_by_side import (
    Side,
    conditions,
    elements,
    meant,
    offered,
    others,
    same_kind,
    side,
    which,
)
from groundref.web.side_known import known
from groundref.web.work import pictured


@get("/compare", include_in_schema=False)
async def compare(served: Here, a: FromQuery[str], b: FromQuery[str | None] = None) -> Response[str]:
    """Show two maneuvers side by side, or what one can be set beside."""
    first = await _side(served, *which(a, "a"))
    lessons = await served.read(lambda connection: offered(connection, first.lesson))
    with reading(reader.units()):
        choice = others(lessons, first.lesson.row.number, first.flown)
    second = await _side(served, *which(b, "b")) if b else None
    if second is not None:
        same_kind(first, second)
    asked = elements(first, second) if second else []
    return page(
        "compare.html.j2",
        kind=named.title(first.flown.kind),
        marks=html.marks(),
        map=served.map,
        a=a,
        b=b,
        first=first,
        second=second,
        choice=choice,
        conditions=conditions(first, second) if second else [],
        elements=asked,
        meant=meant(asked),
        known=html.known("compared", known(first, second), "figures") if second else "",
        pictures=await _pictures(served, first, second) if second else (),
    )


async def _side(served: Served, lesson: int, number: int) -> Side:
    there = await served.read(lambda connection: shown(connection, lesson))
    return side(there, number, msgspec.json.decode((await served.worked(lesson)).document))


async def _pictures(served: Served, first: Side, second: Side) -> tuple[str, str]:
    brought = [(*await served.brought(one.lesson.row.number), one.flown.number) for one in (first, second)]
    return await served.workers.run(pictured, *brought, reader.units())
