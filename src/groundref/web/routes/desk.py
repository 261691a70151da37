"""What the instructor writes on a lesson: who, remarks, own verdicts, corrections, the signature.

What a form was made of is compared with what stands there now, in the transaction that writes.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Annotated, Any, Final

import msgspec
from litestar import Request, Response, post
from litestar.enums import RequestEncodingType
from litestar.params import Body, FromPath

from groundref import __version__
from groundref.errors import ChangedMeanwhileError, UsageError
from groundref.progress.flown import ManeuverFlown
from groundref.record import correcting, deciding
from groundref.record.deciding import called
from groundref.record.lessons import shown
from groundref.record.standing import DEBRIEF, SIGNATURE, standing
from groundref.reports import verdict_words
from groundref.track.counting import counted
from groundref.web import reader
from groundref.web.corrections import as_it_was, corrected
from groundref.web.forms import relied_on, seen_in
from groundref.web.outcome import hold, told
from groundref.web.served import Here, Served
from groundref.web.unkept import PARTS, or_shown_again, shown_again
from groundref.web.work import debrief
from groundref.web.wrong import FieldsError, Wrong

_MANEUVER: Final = re.compile(r"m\d{1,4}")  # of the page
Form = Annotated[dict[str, str], Body(media_type=RequestEncodingType.URL_ENCODED)]
Asking = Request[Any, Any, Any]


@post("/lessons/{number:int}/who", include_in_schema=False, status_code=303)
async def who(served: Here, number: FromPath[int], data: Form, request: Asking) -> Response[Any]:
    """Say who flew and who taught, and where; at another site the debrief is worked out anew."""
    return await or_shown_again(served, request, number, "who", data, lambda: _who(served, number, data))


@post("/lessons/{number:int}/remarks", include_in_schema=False, status_code=303)
async def remarks(served: Here, number: FromPath[int], data: Form, request: Asking) -> Response[Any]:
    """Write the remarks."""
    return await or_shown_again(
        served, request, number, "remarks", data, lambda: _remarks(served, number, data)
    )


@post("/lessons/{number:int}/verdicts", include_in_schema=False, status_code=303)
async def verdicts(served: Here, number: FromPath[int], data: Form, request: Asking) -> Response[Any]:
    """Give own verdicts on the elements of a maneuver, or withdraw them; what is as it was is let be."""
    return await or_shown_again(
        served, request, number, "verdicts", data, lambda: _verdicts(served, number, data)
    )


@post("/lessons/{number:int}/signature", include_in_schema=False, status_code=303)
async def signature(served: Here, number: FromPath[int], data: Form, request: Asking) -> Response[Any]:
    """Sign the lesson, or take the signature back, which may bring along what was typed into a form."""
    then = data.get("then", "")
    part = then if data.get("withdraw") and then in PARTS else "signature"
    return await or_shown_again(
        served, request, number, part, data, lambda: _signature(served, number, data, part)
    )


@post("/lessons/{number:int}/corrections", include_in_schema=False, status_code=303)
async def corrections(served: Here, number: FromPath[int], data: Form, request: Asking) -> Response[Any]:
    """Work the debrief out anew as the instructor says, and keep that."""
    return await or_shown_again(
        served, request, number, "corrections", data, lambda: _corrections(served, number, data)
    )


async def _who(served: Served, number: int, data: Form) -> Response[Any]:
    said = {field: _name(data, field) for field in ("student", "instructor", "site")}
    seen = seen_in(data, *relied_on("who"))
    back = "main" if data.get("back") == "main" else "who"
    named = ", ".join(f"{role} {name}" for role, name in said.items() if name)
    words = f"Kept: {named}." if named else "Kept: nobody is named."
    before, after = await served.read(
        lambda connection: correcting.asked_at(connection, number, said["site"])
    )
    if before == after:
        await served.call(correcting.say_who, served.record, number, said, None, seen)
        return served.sayings.back(number, back, words)
    parts, _, plan, now = await served.lying(number)
    worked = await served.workers.run(debrief, parts, after, plan, None, reader.units())
    anew = correcting.Anew(after, worked.document, __version__)
    done = await served.call(
        correcting.say_who, served.record, number, said, anew, {**seen, DEBRIEF: now[DEBRIEF]}
    )
    if done.debrief is not None:
        await served.keep(number, done.debrief.counts, worked)
    return served.sayings.back(number, back, f"{words} The debrief was worked out anew for the site.")


async def _remarks(served: Served, number: int, data: Form) -> Response[Any]:
    text = data.get("remarks", "").replace("\r\n", "\n")
    await served.call(deciding.remark, served.record, number, text, seen_in(data, *relied_on("remarks")))
    words = "The remarks are kept." if text.strip() else "The remarks are taken out."
    return served.sayings.back(number, "remarks", words)


async def _verdicts(served: Served, number: int, data: Form) -> Response[Any]:
    lesson, now = await served.read(
        lambda connection: (shown(connection, number), standing(connection, number))
    )
    named = data.get("maneuver", "")
    seen = seen_in(data, *relied_on("verdicts", int(named) if named.isdecimal() and len(named) < 9 else 0))
    flown = next((one for one in lesson.maneuvers if str(one.number) == named), None)
    _still(number, seen, now)  # places of elements are those of the debrief that the form was made of
    if flown is None:
        raise UsageError(f"lesson {number} has no maneuver {named!r}", "maneuver", "reload the page")
    changes = {
        place: (called(flown, element), verdict, reason)
        for place, element in enumerate(flown.elements, start=1)
        for verdict, reason in (
            (data.get(f"verdict-{place}", ""), " ".join(data.get(f"reason-{place}", "").split())),
        )
        if (verdict or None, reason if verdict else element.reason) != (element.own, element.reason)
    }
    _explained(flown, changes)
    changed = list(changes.values())
    await served.call(
        deciding.give_verdicts, served.record, number, flown.number, changed, _name(data, "instructor"), seen
    )
    given = sum(bool(verdict) for _, verdict, _ in changed)
    words = [f"{counted(given, 'own verdict')} {'is' if given == 1 else 'are'} kept"] if given else []
    if taken := len(changed) - given:
        words.append(f"{counted(taken, 'own verdict')} {'is' if taken == 1 else 'are'} withdrawn")
    return served.sayings.back(number, "verdicts", f"{', '.join(words) or 'No verdict was changed'}.")


async def _signature(served: Served, number: int, data: Form, part: str) -> Response[Any]:
    if data.get("withdraw"):
        await served.call(deciding.withdraw_signature, served.record, number, seen_in(data, SIGNATURE))
        if part != "signature":
            return await shown_again(served, number, part, data, None)
        return served.sayings.back(
            number, "signature", "The signature is taken back; the lesson can be changed again."
        )
    seen = seen_in(data, *relied_on("signature"))

    def sign() -> str:
        return deciding.sign(served.record, number, _name(data, "instructor"), seen, taught=True)

    return served.sayings.back(number, "signature", f"Signed by {await served.call(sign)}.")


async def _corrections(served: Served, number: int, data: Form) -> Response[Any]:
    seen = seen_in(data, *relied_on("corrections"))
    parts, asked, plan, now = await served.lying(number)
    _still(number, seen, now)  # before it is worked out, and rows of another debrief are taken for those sent
    before = msgspec.json.decode((await served.worked(number)).document)
    form = as_it_was(data, asked)
    after = corrected(form, before, asked, metric=reader.metric())
    named = data.get("back", "")
    back = named if _MANEUVER.fullmatch(named) else "corrections"
    if after == asked:
        return served.sayings.back(number, back, "Nothing was changed, so the debrief stays as it is.")
    worked = await served.workers.run(debrief, parts, after, plan, None, reader.units())
    document = msgspec.json.decode(worked.document)
    hold(form, before, asked, document, metric=reader.metric())
    turn = await served.call(
        correcting.correct, served.record, number, after, worked.document, __version__, seen
    )
    await served.keep(number, turn, worked)
    return served.sayings.back(number, back, told(asked, after, document))


def _explained(flown: ManeuverFlown, changes: Mapping[int, tuple[str, str, str]]) -> None:
    """Refuse all verdicts that contradict the recording without a reason, in the words of the page."""
    wrong = {}
    for place, (_, verdict, reason) in changes.items():
        element = flown.elements[place - 1]
        if verdict in deciding.VERDICTS and deciding.contradicts(element, verdict) and not reason:
            said = verdict_words.WORDS[verdict].says
            recorded = verdict_words.of(element).says
            wrong[f"reason-{place}"] = Wrong(
                element.what, f"Your verdict is “{said}”, the recording's “{recorded}”; say why."
            )
    if wrong:
        raise FieldsError(wrong)


def _still(number: int, seen: dict[str, str], now: dict[str, str]) -> None:
    """Refuse what was made of another state of a lesson."""
    changed = tuple(part for part, digest in seen.items() if now.get(part) != digest)
    if changed:
        raise ChangedMeanwhileError(number, changed)


def _name(data: Form, field: str) -> str | None:
    """Return a name from a form, None where it was left empty."""
    return data.get(field, "").strip() or None
