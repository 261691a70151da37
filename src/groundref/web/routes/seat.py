"""From the pilot's seat: the page of a lesson."""

from __future__ import annotations

import json

from litestar import Response, get
from litestar.params import FromPath, FromQuery

from groundref.detection import named
from groundref.web import seat_side
from groundref.web.pages import page
from groundref.web.served import Here


@get("/lessons/{number:int}/seat", include_in_schema=False)
async def seat_of(served: Here, number: FromPath[int], at: FromQuery[float | None] = None) -> Response[str]:
    """Show what was seen from the seat at a moment of a lesson's flight."""
    document = json.loads((await served.worked(number)).replay)
    maneuvers = [{**one, "title": named.title(one["kind"])} for one in document["maneuvers"]]
    if at is None:
        at = maneuvers[0]["start_s"] if maneuvers else 0.0
    row = seat_side.row_at(document, at)
    seat = document["seat"]
    return page(
        "seat.html.j2",
        number=number,
        at=document["seconds"][row],
        ends=document["seconds"][-1],
        maneuvers=maneuvers,
        airplane=seat["airplane"],
        why=seat["why"],
        says=seat_side.says(document, row),
        drawn="" if seat["why"] else seat_side.draw(document, row),
    )
