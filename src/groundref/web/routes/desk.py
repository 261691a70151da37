"""What the instructor writes on a lesson: who, remarks, own verdicts, corrections, the signature."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Annotated, Any, Final

import msgspec
from litestar import Response, post
from litestar.enums import RequestEncodingType
from litestar.params import Body, FromPath
from litestar.response import Redirect

from groundref import __version__
from groundref.errors import UsageError
from groundref.progress.flown import ManeuverFlown
from groundref.record import correcting, deciding
from groundref.record.deciding import called
from groundref.record.lessons import shown
from groundref.reports import verdict_words
from groundref.web import reader, typed
from groundref.web.corrections import METRIC_FIELDS, corrected
from groundref.web.served import Here, Served
from groundref.web.work import debrief

_MANEUVER: Final = re.compile(r"m\d{1,4}")  # of the page
Form = Annotated[dict[str, str], Body(media_type=RequestEncodingType.URL_ENCODED)]


@post("/lessons/{number:int}/who", include_in_schema=False, status_code=303)
async def who(served: Here, number: FromPath[int], data: Form) -> Response[Any]:
    """Say who flew and who taught, and where; at another site the debrief is worked out anew."""
    said = {field: _name(data, field) for field in ("student", "instructor", "site")}
    back = "main" if data.get("back") == "main" else "who"
    before, after = await served.read(
        lambda connection: correcting.asked_at(connection, number, said["site"])
    )
    if before == after:
        await served.call(correcting.say_who, served.record, number, said)
        return _back(number, back)
    parts, _, plan = await served.brought(number)
    worked = await served.workers.run(debrief, parts, after, plan)
    anew = correcting.Anew(after, worked.document, __version__)
    await served.call(correcting.say_who, served.record, number, said, anew)
    await served.keep(number, worked)
    return _back(number, back)


@post("/lessons/{number:int}/remarks", include_in_schema=False, status_code=303)
async def remarks(served: Here, number: FromPath[int], data: Form) -> Response[Any]:
    """Write the remarks."""
    text = data.get("remarks", "").replace("\r\n", "\n")
    await served.call(deciding.remark, served.record, number, text)
    return _back(number, "remarks")


@post("/lessons/{number:int}/verdicts", include_in_schema=False, status_code=303)
async def verdicts(served: Here, number: FromPath[int], data: Form) -> Response[Any]:
    """Give own verdicts on the elements of a maneuver, or withdraw them; what is as it was is let be."""
    lesson = await served.read(lambda connection: shown(connection, number))
    named = data.get("maneuver", "")
    flown = next((one for one in lesson.maneuvers if str(one.number) == named), None)
    if flown is None:
        raise UsageError(f"lesson {number} has no maneuver {named!r}", "maneuver", "reload the page")
    changed = [
        (called(flown, element), verdict, reason)
        for place, element in enumerate(flown.elements, start=1)
        for verdict, reason in ((data.get(f"verdict-{place}", ""), data.get(f"reason-{place}", "").strip()),)
        if (verdict or None, reason if verdict else element.reason) != (element.own, element.reason)
    ]
    _explained(flown, changed)
    instructor = await _instructing(served, number, data)
    await served.call(deciding.give_verdicts, served.record, number, flown.number, changed, instructor)
    return _back(number, "verdicts")


@post("/lessons/{number:int}/signature", include_in_schema=False, status_code=303)
async def signature(served: Here, number: FromPath[int], data: Form) -> Response[Any]:
    """Sign the lesson, or take the signature back."""
    if data.get("withdraw"):
        await served.call(deciding.withdraw_signature, served.record, number)
    else:
        await served.call(deciding.sign, served.record, number, await _instructing(served, number, data))
    return _back(number, "signature")


@post("/lessons/{number:int}/corrections", include_in_schema=False, status_code=303)
async def corrections(served: Here, number: FromPath[int], data: Form) -> Response[Any]:
    """Work the debrief out anew as the instructor says, and keep that."""
    parts, asked, plan = await served.brought(number)
    before = msgspec.json.decode((await served.worked(number)).document)
    with typed.metric_refusals(reader.metric()):
        after = corrected(typed.in_address(data, METRIC_FIELDS), before, asked)
    if after != asked:
        worked = await served.workers.run(debrief, parts, after, plan)
        await served.call(correcting.correct, served.record, number, after, worked.document, __version__)
        await served.keep(number, worked)
    named = data.get("back", "")
    return _back(number, named if _MANEUVER.fullmatch(named) else "main")


def _explained(flown: ManeuverFlown, changed: Sequence[tuple[str, str, str]]) -> None:
    """Refuse a verdict that contradicts the recording without a reason, in the words of the page."""
    elements = {called(flown, element): element for element in flown.elements}
    for name, verdict, reason in changed:
        element = elements[name]
        if verdict in deciding.VERDICTS and deciding.contradicts(element, verdict) and not reason:
            said = verdict_words.WORDS[verdict].says
            raise UsageError(
                f"your verdict is “{said}”, the recording's “{verdict_words.of(element).says}”",
                element.what,
                "go back and say why; what you chose and typed is still there",
            )


async def _instructing(served: Served, number: int, data: dict[str, str]) -> str | None:
    """Return who decides; where a lesson has no instructor yet, that is who taught it, new name or not."""
    instructor = _name(data, "instructor")
    row = (await served.read(lambda connection: shown(connection, number))).row
    if instructor and row.instructor is None and row.signed_at is None:
        said = {"student": row.student, "instructor": instructor, "site": row.site}
        await served.call(correcting.say_who, served.record, number, said)
    return instructor


def _name(data: dict[str, str], field: str) -> str | None:
    """Return a name from a form, None where it was left empty."""
    return data.get(field, "").strip() or None


def _back(number: int, part: str) -> Response[Any]:
    return Redirect(f"/lessons/{number}#{part}", status_code=303)
