"""The forms of a lesson: what stands in their fields, what they were made of, and what was typed into them.

Each form carries what it was made of: in `seen` the digests of the parts of the lesson that it relies on
(``record.standing``), in `shown` what its fields said. So what was changed meanwhile is noticed, and what was
typed into it is told from what was only left standing.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import time
from typing import Any, Final

from groundref.detection import named
from groundref.progress.flown import ManeuverFlown
from groundref.record.changes import SAME, seconds_apart
from groundref.record.deciding import VERDICTS, called
from groundref.record.lessons import LessonShown
from groundref.record.standing import DEBRIEF, PARTS, REMARKS, SIGNATURE, WHO, verdicts_on
from groundref.reports import verdict_words
from groundref.reports.verdicts import printed_code
from groundref.standards.loading import KINDS
from groundref.web import altimeter, reader, typed
from groundref.web.corrections import FIELDS, METRIC_FIELDS, OF_STRETCH, PLACES, filled_in, rows, written
from groundref.web.wrong import Wrong

Sent = Mapping[str, str]
CARRIED: Final = frozenset({"seen", "shown", "back", "maneuver", "withdraw", "then", "anyway"})  # not typed
WORDS: Final[Mapping[str, Any]] = {  # that their templates write with
    "titled": named.title,
    "kinds": KINDS,
    "coded": printed_code,
    "recorded": verdict_words.of,
    "verdicts": verdict_words.WORDS,
    "choices": VERDICTS,
    "called": FIELDS,
    "of_stretch": OF_STRETCH,
}
_ROW: Final = tuple(OF_STRETCH)


@dataclass(frozen=True, slots=True)
class Form:
    """A form to be drawn.

    Attributes
    ----------
    number
        Of the lesson.
    part
        Of its page, which is also where the form is sent to.
    draft
        Name under which a browser keeps what is typed into it.
    seen
        Digests of what it was made of.
    server
        What its fields say by the record, and what they are about.
    mine
        What was typed into it and stands nowhere yet.
    left
        What was typed and has no field any more, in words.
    reopens
        Whether it takes the signature back, and brings along what was typed.
    wrong
        What is wrong with what was typed, by name of the field.
    anyway
        What the form says to be kept though nothing can be made of it; empty where there is no such thing.
    """

    number: int
    part: str
    draft: str
    seen: Mapping[str, str]
    server: Mapping[str, str]
    mine: Mapping[str, str] = field(default_factory=dict)
    left: tuple[str, ...] = ()
    reopens: bool = False
    wrong: Mapping[str, Wrong] = field(default_factory=dict)
    anyway: str = ""

    @property
    def values(self) -> dict[str, str]:
        """What stands in the fields."""
        return {**self.server, **self.mine}

    @property
    def token(self) -> str:
        """The digests as the form carries them."""
        return " ".join(f"{part}:{digest}" for part, digest in self.seen.items())

    @property
    def shown(self) -> str:
        """What the fields say by the record, as the form carries it."""
        return json.dumps(self.server, ensure_ascii=False)


def seen_in(sent: Sent, *parts: str) -> dict[str, str]:
    """Return the digests of these parts that a form was made of; empty, as none is, where it does not say.

    Parameters
    ----------
    sent
        The form's fields.
    parts
        That it relies on.
    """
    told = dict(one.split(":", 1) for one in sent.get("seen", "").split() if ":" in one)
    return {part: told.get(part, "") for part in parts}


def relied_on(part: str, maneuver: int = 0) -> tuple[str, ...]:
    """Return the parts of a lesson that a form of its page relies on."""
    return {
        "who": (WHO, SIGNATURE),
        "remarks": (REMARKS, SIGNATURE),
        "verdicts": (verdicts_on(maneuver), DEBRIEF, SIGNATURE),
        "corrections": (DEBRIEF, SIGNATURE),
        "plan": (DEBRIEF, SIGNATURE),
        "no-plan": (DEBRIEF, SIGNATURE),
        "signature": PARTS,
    }[part]


@dataclass(frozen=True, slots=True)
class Forms:
    """The forms of a lesson as it stands.

    Attributes
    ----------
    lesson
        The lesson.
    now
        Digests of its parts at that moment.
    """

    lesson: LessonShown
    now: Mapping[str, str]

    def who(self) -> Form:
        """Return the form of who flew, who taught and where."""
        row = self.lesson.row
        return self._made(
            "who",
            {"student": row.student or "", "instructor": row.instructor or "", "site": row.site or ""},
        )

    def remarks(self) -> Form:
        """Return the form of the remarks."""
        return self._made("remarks", {"remarks": self.lesson.row.remarks})

    def signature(self) -> Form:
        """Return the form to sign, or to take the signature back."""
        return self._made("signature", {"instructor": self.lesson.row.instructor or ""})

    def verdicts(self, flown: ManeuverFlown) -> Form:
        """Return the form of own verdicts on a maneuver."""
        values = {"maneuver": str(flown.number), "kind": flown.kind, "start": flown.start, "instructor": ""}
        for place, one in enumerate(flown.elements, start=1):
            values |= {
                f"what-{place}": called(flown, one),
                f"verdict-{place}": one.own or "",
                f"reason-{place}": one.reason,
            }
        return self._made("verdicts", values, flown.number, f" {flown.kind} {flown.start}")

    def corrections(self, document: Mapping[str, Any]) -> Form:
        """Return the form of corrections; the document is the debrief."""
        asked = self.lesson.asked
        values = {
            "altimeter_hpa": altimeter.shown(asked.altimeter_hpa),
            **dict(filled_in(asked, metric=reader.metric()).values()),
            **{name: written(getattr(asked, name)) for name in PLACES},
            **{f"{name}-new": "" for name in _ROW},
        }
        for one in rows(document, asked):
            said = zip(_ROW, (one.kind, one.start, one.end), strict=True)
            values |= {f"{name}-{one.number}": text for name, text in said}
        return self._made("corrections", values)

    def plan(self, plan: Mapping[str, str]) -> Form:
        """Return the form that keeps a plan with the lesson, its fields those of the plan's address."""
        return self._made("plan", {**plan, "lesson": str(self.lesson.row.number)})

    def no_plan(self) -> Form:
        """Return the form that takes the plan off the lesson."""
        return self._made("no-plan", {})

    def sent(self, part: str, sent: Sent, document: Mapping[str, Any]) -> Form | None:
        """Return a form of this lesson with what was typed into one of an earlier state.

        Parameters
        ----------
        part
            Which.
        sent
            What was sent.
        document
            The debrief as it is now.

        Returns
        -------
        Form
            None where it is about a maneuver that the lesson no longer has.
        """
        before, mine = _typed(sent)
        match part:
            case "verdicts":
                flown = self._same(before, sent)
                return None if flown is None else _on_elements(self.verdicts(flown), before, mine)
            case "corrections":
                return _on_rows(self.corrections(document), before, sent, mine)
            case "no-plan":
                return self.no_plan() if self.lesson.has_plan else None
            case "plan":
                return self.plan({name: text for name, text in sent.items() if name not in CARRIED})
            case _:
                return _upon({"who": self.who, "remarks": self.remarks}.get(part, self.signature)(), mine)

    def _same(self, before: Sent, sent: Sent) -> ManeuverFlown | None:
        """Return the maneuver that a form was about, though another debrief may let it begin otherwise."""
        if "start" not in before:
            return next(
                (one for one in self.lesson.maneuvers if str(one.number) == sent.get("maneuver")), None
            )
        apart = [
            (seconds_apart(one.start, before["start"]), one.number, one)
            for one in self.lesson.maneuvers
            if one.kind == before.get("kind")
        ]
        nearest = min(apart, default=None, key=lambda each: each[:2])
        return nearest[2] if nearest is not None and nearest[0] <= SAME else None

    def _made(self, part: str, values: Mapping[str, str], maneuver: int = 0, which: str = "") -> Form:
        seen = {name: self.now[name] for name in relied_on(part, maneuver)}
        return Form(self.lesson.row.number, part, f"{self.lesson.id} {part}{which}", seen, values)


def in_words(sent: Sent) -> tuple[str, ...]:
    """Return what was typed into a form whose fields are gone."""
    before, mine = _typed(sent)
    return _left_of_elements(before, sent, mine)


def _typed(sent: Sent) -> tuple[dict[str, str], dict[str, str]]:
    """Return what a form said when it was made, and what was typed into it."""
    try:
        said = json.loads(sent.get("shown", "{}"))
    except ValueError:  # nobody's form of ours: all that is in it counts as typed
        said = {}
    before = (
        {name: text for name, text in said.items() if isinstance(text, str)} if isinstance(said, dict) else {}
    )
    lines = {name: text.replace("\r\n", "\n") for name, text in sent.items() if name not in CARRIED}
    return before, {name: text for name, text in lines.items() if text != before.get(name)}


def _upon(form: Form, mine: Sent, left: tuple[str, ...] = ()) -> Form:
    apart = {name: text for name, text in mine.items() if form.server.get(name, text) != text}
    return replace(form, mine=apart, left=left)


def _on_elements(form: Form, before: Sent, mine: Sent) -> Form:
    """Put verdicts that were typed to the elements that they are on, wherever those stand now."""
    place_of = {text: name[5:] for name, text in form.server.items() if name.startswith("what-")}
    moved: dict[str, str] = {}
    gone: dict[str, str] = {}
    for name, text in mine.items():
        what, _, place = name.partition("-")
        now = place_of.get(before.get(f"what-{place}", ""), "" if before else place)
        if not place:
            moved[name] = text
        elif now:
            moved[f"{what}-{now}"] = text
        else:
            gone[name] = text
    return _upon(form, moved, _left_of_elements(before, mine, gone))


def _left_of_elements(before: Sent, sent: Sent, mine: Sent) -> tuple[str, ...]:
    places = dict.fromkeys(name.partition("-")[2] for name in mine if "-" in name)
    return tuple(
        ", ".join(
            text
            for text in (
                before.get(f"what-{place}"),
                sent.get(f"verdict-{place}"),
                sent.get(f"reason-{place}"),
            )
            if text
        )
        for place in places
    )


def _on_rows(form: Form, before: Sent, sent: Sent, mine: Sent) -> Form:
    """Put stretches that were typed to those that they overlap most now, or to one that was not found."""
    fields = {name: text for name, text in _as_read(form, mine).items() if name.partition("-")[0] not in _ROW}
    changed = dict.fromkeys(name.partition("-")[2] for name in mine if name.partition("-")[0] in _ROW)
    left: list[str] = []
    for key in changed:
        row = [sent.get(f"{name}-{key}", "") for name in _ROW]
        place = "new" if key == "new" else _overlapped(before, key, form.server)
        if place is None and "kind-new" not in fields:
            place = "new"
        if place is None or f"kind-{place}" in fields:
            left.append(" ".join(row))
        else:
            fields |= dict(zip((f"{name}-{place}" for name in _ROW), row, strict=True))
    return _upon(form, fields, tuple(left))


def _as_read(form: Form, mine: Sent) -> dict[str, str]:
    """Return what was typed by the names of the form, whose reader may have changed the units meanwhile."""
    texts = dict(mine)
    for metric, name in METRIC_FIELDS.items():
        if metric in form.server and name in texts:
            texts[metric] = typed.shown(name, texts.pop(name))
        elif name in form.server and metric in texts:
            texts[name] = typed.in_address({metric: texts.pop(metric)}, METRIC_FIELDS)[name]
    return texts


def _overlapped(before: Sent, key: str, now: Sent) -> str | None:
    """Return the row of a form that overlaps most with a row of the form before; None where none does."""
    if f"from-{key}" not in before:
        return key if f"from-{key}" in now else None
    first, last = _seconds(before[f"from-{key}"]), _seconds(before.get(f"to-{key}", ""))
    common = {
        name[5:]: min(last, _seconds(now[f"to-{name[5:]}"])) - max(first, _seconds(text))
        for name, text in now.items()
        if name.startswith("from-") and text
    }
    best = max(common, key=lambda place: common[place], default=None)
    return best if best is not None and common[best] > 0 else None


def _seconds(text: str) -> float:
    """Return a time of day, by our own writing of it, in seconds."""
    try:
        clock = time.fromisoformat(text)
    except ValueError:
        return float("nan")
    return clock.hour * 3600.0 + clock.minute * 60.0 + clock.second
