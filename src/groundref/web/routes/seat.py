"""From the pilot's seat: the page of a lesson, and that of a plan."""

from __future__ import annotations

import json
from typing import Any

from litestar import Request, Response, get
from litestar.params import FromPath, FromQuery
from litestar.response import Redirect

from groundref.detection import named
from groundref.errors import InputError, NoSolutionError, UsageError
from groundref.reports import plan_page
from groundref.web import seat_side
from groundref.web.described import refusals
from groundref.web.pages import page
from groundref.web.planning.address import address, filled_in
from groundref.web.planning.described import PlanAsking
from groundref.web.routes.plan import plan_asked
from groundref.web.seat_plan import planned_seat
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
        flight=f"/api/lessons/{number}/replay",
        said={},
        at=document["seconds"][row],
        ends=document["seconds"][-1],
        maneuvers=maneuvers,
        airplane=seat["airplane"],
        why=seat["why"],
        says=seat_side.says(document, row),
        drawn="" if seat["why"] else seat_side.draw(document, row),
    )


@get("/plan/seat", include_in_schema=False)
async def seat_of_plan(
    served: Here, request: Request[Any, Any, Any], at: FromQuery[float | None] = None
) -> Response[Any]:
    """Show what is to be seen from the seat along a plan; where there is none, its page says why."""
    said = filled_in(request.query_params)
    query = address(said)
    try:
        plan = await plan_asked(served, said)
    except (InputError, NoSolutionError, UsageError):
        return Redirect(f"/plan?{query}", status_code=303)
    document = planned_seat(plan)
    row, seconds = seat_side.row_at(document, at or 0.0), document["seconds"]
    names = zip(seconds, document["positions"], plan.schedule.marked.tolist(), strict=True)
    return page(
        "plan_seat.html.j2",
        title=named.title(plan.inputs.kind),
        query=query,
        said=said,
        flight=f"/api/plan/seat?{query}",
        at=seconds[row],
        ends=seconds[-1],
        marked=[{"at": second, "name": name} for second, name, is_marked in names if is_marked],
        verdict=plan_page.verdict(plan),
        airplane=document["seat"]["airplane"],
        says=seat_side.says(document, row),
        drawn=seat_side.draw(document, row),
    )


@get(
    "/api/plan/seat", operation_class=PlanAsking, responses=refusals("There is no such lesson to plan after")
)
async def seat_json_of_plan(served: Here, request: Request[Any, Any, Any]) -> dict[str, Any]:
    """Return a plan's positions and what is seen from each; the parameters are those of `/api/plan`."""
    return planned_seat(await plan_asked(served, filled_in(request.query_params)))
