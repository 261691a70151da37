"""What the instructor writes on a lesson: who, remarks, own verdicts, corrections, the signature."""

from __future__ import annotations

from typing import Annotated, Any

import msgspec
from litestar import Response, post
from litestar.enums import RequestEncodingType
from litestar.params import Body, FromPath
from litestar.response import Redirect

from groundref import __version__
from groundref.record import correcting, deciding
from groundref.web.corrections import corrected
from groundref.web.served import Here
from groundref.web.work import debrief

Form = Annotated[dict[str, str], Body(media_type=RequestEncodingType.URL_ENCODED)]


@post("/lessons/{number:int}/who", include_in_schema=False, status_code=303)
async def who(served: Here, number: FromPath[int], data: Form) -> Response[Any]:
    """Say who flew and who taught, and where."""
    student, instructor, site = (_name(data, field) for field in ("student", "instructor", "site"))
    await served.call(correcting.say_who, served.record, number, student, instructor, site)
    return _back(number, "who")


@post("/lessons/{number:int}/remarks", include_in_schema=False, status_code=303)
async def remarks(served: Here, number: FromPath[int], data: Form) -> Response[Any]:
    """Write the remarks."""
    text = data.get("remarks", "").replace("\r\n", "\n")
    await served.call(deciding.remark, served.record, number, text)
    return _back(number, "remarks")


@post("/lessons/{number:int}/verdicts", include_in_schema=False, status_code=303)
async def verdict(served: Here, number: FromPath[int], data: Form) -> Response[Any]:
    """Give an own verdict on an element, or withdraw it."""
    element, maneuver = data.get("element", ""), int(data.get("maneuver", "0") or 0)

    def written() -> None:
        if data.get("verdict", "") == "":
            deciding.withdraw_verdict(served.record, number, element, maneuver=maneuver)
            return
        deciding.give_verdict(
            served.record,
            number,
            element,
            data["verdict"],
            reason=data.get("reason", ""),
            instructor=_name(data, "instructor"),
            maneuver=maneuver,
        )

    await served.call(written)
    return _back(number, "verdicts")


@post("/lessons/{number:int}/signature", include_in_schema=False, status_code=303)
async def signature(served: Here, number: FromPath[int], data: Form) -> Response[Any]:
    """Sign the lesson, or take the signature back."""
    if data.get("withdraw"):
        await served.call(deciding.withdraw_signature, served.record, number)
    else:
        await served.call(deciding.sign, served.record, number, _name(data, "instructor"))
    return _back(number, "signature")


@post("/lessons/{number:int}/corrections", include_in_schema=False, status_code=303)
async def corrections(served: Here, number: FromPath[int], data: Form) -> Response[Any]:
    """Work the debrief out anew as the instructor says, and keep that."""
    parts, asked, plan = await served.brought(number)
    before = msgspec.json.decode((await served.worked(number)).document)
    after = corrected(data, before, asked)
    if after != asked:
        worked = await served.workers.run(debrief, parts, after, plan)
        await served.call(correcting.correct, served.record, number, after, worked.document, __version__)
        await served.keep(number, worked)
    return _back(number, "main")


def _name(data: dict[str, str], field: str) -> str | None:
    """Return a name from a form, None where it was left empty."""
    return data.get(field, "").strip() or None


def _back(number: int, part: str) -> Response[Any]:
    return Redirect(f"/lessons/{number}#{part}", status_code=303)
