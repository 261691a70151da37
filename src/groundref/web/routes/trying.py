"""Try it on the ground: the page, the connection that flies, and the debrief of what was flown."""

from __future__ import annotations

from collections.abc import Mapping
from http import HTTPStatus
from typing import Any
from urllib.parse import urlencode

from litestar import Request, Response, WebSocket, get, post, websocket
from litestar.exceptions import NotFoundException
from litestar.params import FromPath
from litestar.response import Redirect

from groundref import __version__
from groundref.aircraft.loading import aircraft_names, load_aircraft
from groundref.errors import GroundrefError, UsageError
from groundref.mechanics.circle import bank_extremes
from groundref.record.lessons import NewLesson, add, digests, holding
from groundref.units import degree, knot
from groundref.web import reader, typed
from groundref.web.pages import page
from groundref.web.served import Here, Served
from groundref.web.trying import session, told
from groundref.web.trying.asked import METRIC, asked, exact, form_of, of_form
from groundref.web.trying.finished import Finished
from groundref.web.trying.flown import Flown
from groundref.web.work import Worked, debrief

_CEILING = 45.0  # degrees of bank not to exceed in this work (AFH, FAA-H-8083-3C, ch. 7)


@get("/try", include_in_schema=False, sync_to_thread=False)
def try_page(request: Request[Any, Any, Any]) -> Response[Any]:
    """Show where a try is flown."""
    said = dict(request.query_params)
    form = of_form(said)
    if form is None and reader.metric() and not {"radius", "unit"} & said.keys():
        said = {**METRIC, **said, "unit": "m"}  # a radius without a unit is in feet, whoever reads it
    try:
        wanted = asked(said if form is None else form)
    except UsageError as problem:
        return _refused(said if form is None else form, problem)
    if form is not None:
        return Redirect(f"/try?{urlencode(form)}", status_code=303)
    task = wanted.task
    steepest = float(bank_extremes(task.true_airspeed, wanted.wind_kt * knot, task.radius)[1]) / degree
    return page(
        "try.html.j2",
        asked=wanted,
        needs=told.needs(wanted),
        airplanes=[load_aircraft(name) for name in aircraft_names()],
        form=form_of(said, metric=reader.metric()),
        exact=exact(said, metric=reader.metric()),
        refused=None,
        radius_m=round(task.radius, 1),
        most=round(wanted.aircraft.max_bank / degree),
        too_steep=round(steepest) if steepest > _CEILING else None,
        radius=told.length(task.radius, wanted.unit),
        roll_rate=round(wanted.aircraft.roll_rate / degree),
        to_deg=round((wanted.from_deg + 180.0) % 360.0, 1),
    )


def _refused(said: Mapping[str, str], problem: UsageError) -> Response[Any]:
    """Return the form as it was filled in, what is wrong beside the field that it concerns."""
    what, remedy = (
        typed.refusal(problem, problem.where) if reader.metric() else (problem.what, problem.remedy)
    )
    return page(
        "try_refused.html.j2",
        status=HTTPStatus.BAD_REQUEST,
        airplanes=[load_aircraft(name) for name in aircraft_names()],
        form=form_of(said, metric=reader.metric()),
        exact=exact(said, metric=reader.metric()),
        refused=(problem.where, f"{what[:1].upper()}{what[1:]}: {remedy}."),
    )


@websocket("/try/fly")
async def fly(socket: WebSocket[Any, Any, Any], served: Here) -> None:
    """Fly a try, step by step."""
    await socket.accept()
    try:
        flown = Flown(asked(socket.query_params))
    except GroundrefError as problem:
        await socket.close(session.UNFLYABLE, str(problem)[:120])
        return
    await session.fly(socket, flown, served.tries, reader.of(socket))


@get("/tried/{name:str}", include_in_schema=False)
async def tried(served: Here, name: FromPath[str]) -> Response[str]:
    """Show the debrief of a try, kept nowhere."""
    flown = _at_hand(served, name)
    worked = await _worked(served, flown)
    return page("tried.html.j2", asked=flown.asked, name=name, content=worked.content)


@post("/tried/{name:str}/keep", include_in_schema=False, status_code=HTTPStatus.SEE_OTHER)
async def keep_try(served: Here, name: FromPath[str]) -> Response[Any]:
    """Keep a try as a lesson."""
    flown = _at_hand(served, name)
    number = await served.read(lambda connection: holding(connection, digests(flown.parts)))
    words = "Kept as this lesson." if number is None else "It was kept before, as this lesson."
    return served.sayings.back(number or await _kept(served, flown), "main", words)


async def _kept(served: Served, flown: Finished) -> int:
    worked = await _worked(served, flown)
    new = NewLesson(flown.parts, flown.debriefing, worked.document, __version__)
    number, _ = await served.call(add, served.record, new)
    await served.keep(number, 1, worked)
    return number


def _at_hand(served: Served, name: str) -> Finished:
    flown = served.tries.at_hand(name)
    if flown is None:
        raise NotFoundException(detail="This try is no longer at hand; fly another, and keep it as a lesson.")
    return flown


async def _worked(served: Served, flown: Finished) -> Worked:
    if flown.worked is None or flown.worked.units != reader.units():
        flown.worked = await served.workers.run(
            debrief, flown.parts, flown.debriefing, None, None, reader.units()
        )
    return flown.worked
