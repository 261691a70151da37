"""Plans: the page, the brief on paper, the JSON, and a plan kept with a lesson."""

from __future__ import annotations

from typing import Annotated, Any, Final

import msgspec
from litestar import MediaType, Request, Response, get, post
from litestar.enums import RequestEncodingType
from litestar.params import Body, FromPath
from litestar.response import Redirect

from groundref import __version__, export
from groundref.errors import NotInRecordError, RecordError, UsageError
from groundref.planning import Plan
from groundref.record import correcting
from groundref.record.asked import Asked
from groundref.reports.brief import render
from groundref.reports.brief.content import PAPERS, People
from groundref.web import reader, typed
from groundref.web.described import refusals
from groundref.web.forms import relied_on, seen_in
from groundref.web.pages import page
from groundref.web.planning.address import address, filled_in, lesson_before, of_form, of_kept, wrong
from groundref.web.planning.described import PlanAsking
from groundref.web.planning.fields import fields, groups
from groundref.web.planning.fleet import Airplanes, fleet
from groundref.web.planning.made import Made, made, plan_of
from groundref.web.served import Here, Served
from groundref.web.unkept import or_shown_again
from groundref.web.work import Parts, Worked, debrief

Form = Annotated[dict[str, str], Body(media_type=RequestEncodingType.URL_ENCODED)]
Asking = Request[Any, Any, Any]
_WITHOUT_SCRIPT: Final = "without_script"
"""Field of the form that only a browser without scripts sends: the button is what it has."""


@get("/plan", include_in_schema=False)
async def plan_page_of(served: Here, request: Asking) -> Response[Any]:
    """Show the form and the plan that it asks for; to a script, which says so, the plan alone."""
    said, otherwise = of_form(request.query_params)
    alone = request.headers.get("groundref-part") == "plan"
    student, instructor = people = _people(request)
    without_script = request.query_params.get(_WITHOUT_SCRIPT, "")
    if otherwise and not alone:
        names = {"student": student, "instructor": instructor, _WITHOUT_SCRIPT: without_script}
        return Redirect(
            f"/plan?{address({**said, **{name: text for name, text in names.items() if text}})}",
            status_code=303,
        )
    size = "narrow" if request.headers.get("groundref-letters") == "narrow" else "wide"
    airplanes = await served.read(fleet)
    plan = await _made(served, said, airplanes, size)
    content: dict[str, Any] = {
        "made": plan,
        "query": address(said),
        "said": said,
        "people": people,
        "papers": PAPERS,
        "filled": {name: (_shown(name, one.text), one.says) for name, one in plan.filled.items()},
        "lesson": request.query_params.get("lesson", "").strip()[:9],
    }
    if alone:
        return page("planned.html.j2", **content)
    every, metric = fields(), reader.metric()
    return page(
        "plan.html.j2",
        **content,
        metric=metric,
        exact=typed.exact(said, metric=metric),
        shown={name: _shown(name, text) for name, text in said.items()},
        was=address(
            {every[name].input(metric=metric): text for name, (text, _) in content["filled"].items()}
        ),
        groups=groups(airplanes, metric=metric),
        map=served.map,
        without_script=_WITHOUT_SCRIPT,
        # With scripts the focus stays where somebody types, until the button is pressed.
        focused=bool(without_script),
    )


def _shown(name: str, text: str) -> str:
    """Return what an address has as the reader's form shows it."""
    return typed.shown(name, text, metric=reader.metric())


@get("/plan.pdf", include_in_schema=False, media_type="application/pdf")
async def plan_pdf(served: Here, request: Asking) -> Response[bytes]:
    """Return the brief, one page to print."""
    paper = request.query_params.get("paper") or "a4"
    if paper not in PAPERS:
        raise UsageError(f"there is no paper {paper[:20]!r}", "paper", "choose a4, letter or a5")
    plan = await plan_asked(served, filled_in(request.query_params))
    student, instructor = _people(request)
    content = await served.call(
        render.page, plan, paper, People(student or None, instructor or None), "pdf", reader.units()
    )
    name = f"brief-{plan.inputs.kind}.pdf"
    return Response(
        content,
        media_type="application/pdf",
        headers={"content-disposition": f'inline; filename="{name}"', "cache-control": "no-store"},
    )


@get(
    "/api/plan",
    media_type=MediaType.JSON,
    operation_class=PlanAsking,
    responses=refusals("There is no such lesson to plan after"),
)
async def plan_json(served: Here, request: Asking) -> Response[bytes]:
    """Return the plan as the command line writes it; the parameters are those of the page's address."""
    plan = await plan_asked(served, filled_in(request.query_params))
    return Response(export.to_json(plan.to_dict()), media_type=MediaType.JSON)


@get("/lessons/{number:int}/plan", include_in_schema=False)
async def plan_of_lesson(served: Here, number: FromPath[int]) -> Response[Any]:
    """Show the plan that is kept with a lesson, or begin one."""
    _, _, kept = await served.brought(number)
    if kept is None:
        return Redirect("/plan", status_code=303)
    return Redirect(f"/plan?{of_kept(kept, await served.read(fleet))}&lesson={number}", status_code=303)


@post("/lessons/plan", include_in_schema=False, status_code=303)
async def keep_plan(served: Here, data: Form, request: Asking) -> Response[Any]:
    """Keep the plan of an address with a lesson; its debrief is set against it anew."""
    text = data.get("lesson", "").strip()
    if not text.isdecimal() or len(text) > 9:
        raise UsageError(f"{text[:20]!r} is no number of a lesson", "lesson", "write one such as 12")
    number = int(text)
    return await or_shown_again(
        served, request, number, "plan", data, lambda: _keep_plan(served, number, data)
    )


async def _keep_plan(served: Served, number: int, data: dict[str, str]) -> Response[Any]:
    document = export.to_json((await plan_asked(served, filled_in(data))).to_dict())
    parts, as_asked, kept, now = await served.lying(number)
    # The page of a plan shows no lesson: what is relied on is what stands there now, and what is there is not
    # replaced unless a form says that it was seen.
    seen = {part: now[part] for part in relied_on("plan")}
    if "seen" in data:
        seen = seen_in(data, *relied_on("plan"))
    elif kept not in (None, document):
        raise RecordError(
            f"lesson {number} has another plan", "record", "see whether this is to take its place"
        )
    worked = await _kept(served, number, document, (parts, as_asked), seen)
    beside = msgspec.json.decode(worked.document)["plan"]
    if beside["maneuver"] is None:
        words = f"The plan is kept with this lesson. {' '.join(beside['says'])}"
        return served.sayings.back(number, "main", words, ("#planned", "Take it off again"))
    return served.sayings.back(
        number, "main", "The plan is kept with this lesson, and the debrief set against it."
    )


@post("/lessons/{number:int}/no-plan", include_in_schema=False, status_code=303)
async def take_off(served: Here, number: FromPath[int], data: Form, request: Asking) -> Response[Any]:
    """Take the plan off a lesson; its debrief is worked out anew without it."""
    return await or_shown_again(
        served, request, number, "no-plan", data, lambda: _take_off(served, number, data)
    )


async def _take_off(served: Served, number: int, data: dict[str, str]) -> Response[Any]:
    parts, as_asked, kept, _ = await served.lying(number)
    if kept is None:
        return served.sayings.back(number, "main", "No plan is kept with this lesson.")
    was = f"/plan?{of_kept(kept, await served.read(fleet))}&lesson={number}"
    await _kept(served, number, None, (parts, as_asked), seen_in(data, *relied_on("no-plan")))
    words = (
        "The plan is taken off this lesson, and the debrief worked out anew without it; the one by the plan "
        "stays among the debriefs that are kept."
    )
    return served.sayings.back(number, "main", words, (was, "The plan that was taken off"))


async def _kept(
    served: Served, number: int, plan: bytes | None, flown: tuple[Parts, Asked], seen: dict[str, str]
) -> Worked:
    """Keep a plan with a lesson, None for none, and the debrief so; return that."""
    worked = await served.workers.run(debrief, *flown, plan, None, reader.units())
    turn = await served.call(
        correcting.keep_plan, served.record, number, plan, worked.document, __version__, seen
    )
    await served.keep(number, turn, worked)
    return worked


def _people(request: Asking) -> tuple[str, str]:
    """Return the names for the brief, empty where none is said."""
    names = (request.query_params.get(name, "").strip()[:80] for name in ("student", "instructor"))
    student, instructor = names
    return student, instructor


async def _before(served: Served, said: dict[str, str]) -> bytes | None:
    """Return the debrief of the lesson that a plan is the next exercise after."""
    number = lesson_before(said)
    return None if number is None else (await served.worked(number)).document


async def plan_asked(served: Served, said: dict[str, str]) -> Plan:
    """Return the plan that an address asks for."""
    return await served.call(plan_of, said, await served.read(fleet), await _before(served, said))


async def _made(served: Served, said: dict[str, str], airplanes: Airplanes, size: str) -> Made:
    try:
        before = await _before(served, said)
    except UsageError as problem:
        refused = problem
    except NotInRecordError as problem:
        # Half a number is typed on the way to another: said at its field, as every other refusal.
        refused = UsageError(problem.what, "--after", "give the number of a kept lesson, or leave it empty")
    else:
        return await served.call(made, said, airplanes, before, size, reader.units())
    field, sentence = wrong(refused, said)
    rest = {name: text for name, text in said.items() if name != field}
    others = (await served.call(made, rest, airplanes, None, size, reader.units())).wrong
    return Made("", sentence, field, others=others)
