"""``groundref record recompute``: lessons debriefed anew with this version, and what changed."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Annotated, Any, Final

from cyclopts import Parameter

from groundref.cli.exits import say
from groundref.cli.interrupting import between_steps
from groundref.cli.record.common import JsonOption, RecordOption, opened, write_json
from groundref.errors import GroundrefError, RecordError, UsageError

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from groundref.record.changes import Change
    from groundref.record.recomputing import Recomputed

_FIGURES: Final = {"worst": "worst", "worst_sd": "its standard deviation", "limit": "limit"}


def recompute(
    lessons: Annotated[list[int] | None, Parameter(show_default=False)] = None,
    /,
    *,
    all_: Annotated[bool, Parameter(name="--all", negative=(), show_default=False)] = False,
    json: JsonOption = None,
    record: RecordOption = None,
) -> None:
    """Debrief lessons anew from their kept recordings, with this version.

    The old result stays beside the new one, and what changed is said. Nothing is written where nothing
    changed. The signed result of a signed lesson goes on to count.

    Parameters
    ----------
    lessons
        Their numbers.
    all_
        All lessons.
    json
        Write what changed as JSON to this file; - is standard output, and then nothing else goes there.
    record
        The record: a file, or postgresql://user@host/database of a school's.
    """
    if bool(lessons) == all_:
        raise UsageError(
            "these are two requests" if all_ else "no lesson is named",
            "record recompute",
            "give numbers of lessons, or --all",
        )
    from groundref import __version__
    from groundref.record.recomputing import numbers
    from groundref.record.recomputing import recompute as work_anew

    store = opened(record)
    with store.reading() as connection:
        wanted = numbers(connection) if all_ else list(dict.fromkeys(lessons or ()))
    done: list[Recomputed] = []
    failed: list[dict[str, Any]] = []
    with between_steps() as look:
        try:
            for number in wanted:
                look()
                try:
                    one = work_anew(store, number, __version__)
                except GroundrefError as problem:
                    if len(wanted) == 1:
                        raise
                    say(f"lesson {number}: {problem}")
                    failed.append({"lesson": number, "why": str(problem)})
                    continue
                done.append(one)
                if json != "-":
                    show_changes(one)
        except KeyboardInterrupt:
            say(f"stopped after {len(done)} of {len(wanted)} lessons; run it again for the rest")
            raise
        if json is not None:
            document = {"lessons": [one.to_dict() for one in done], "failed": failed}
            write_json("record-recompute", document, json)
        if json != "-" and len(wanted) != 1:
            written = sum(one.after is not None for one in done)
            print(f"{written} written anew, {len(done) - written} as kept, {len(failed)} failed.")
    if failed:
        raise RecordError(
            f"{len(failed)} of {len(wanted)} lessons could not be worked out anew",
            "record",
            "their results stay as they are",
        )


def show_changes(one: Recomputed) -> None:
    """Print what became of a lesson that was worked out anew, and what changed."""
    from rich.padding import Padding
    from rich.text import Text

    from groundref.cli.screen import console
    from groundref.track.time_of_day import time_of_day

    out = console()
    out.print(Text(" ".join(_head(one))))
    for line in _lines(one.changes):
        out.print(Padding(Text(line), (0, 0, 0, 2)))
    for start, code, _ in one.own_left:
        at = time_of_day(datetime.fromisoformat(start))
        left = f"The instructor's verdict on {code} at {at} UTC has no maneuver there any more."
        out.print(Padding(Text(left), (0, 0, 0, 2)))


def _head(one: Recomputed) -> Iterator[str]:
    if one.after is None:
        same = "what is kept beside the signed debrief" if one.changes else "just what is kept"
        yield f"Lesson {one.number}: version {one.version} says {same}; nothing was written."
    else:
        yield (
            f"Lesson {one.number}: debrief {one.after} by version {one.version} stands beside debrief "
            f"{one.before} by version {one.before_version}."
        )
        if not one.changes:
            yield "Verdicts, findings and figures are the same."
    if one.signed and (one.after is not None or one.changes):
        yield f"It is signed: debrief {one.counts} goes on to count."


def _lines(changes: Sequence[Change]) -> Iterator[str]:
    """Yield a line for each maneuver, verdict and finding that changed, and one for the figures."""
    from groundref.detection import named
    from groundref.reports.verdict_words import WORDS

    for one in changes:
        where = f"{one.maneuver}. {named.title(one.kind)}"
        if one.about == "maneuver":
            yield f"{where}: {'no longer found' if one.after is None else 'found'}"
        elif one.about == "verdict":
            before, after = (
                WORDS[str(each)].says if each else "not asked" for each in (one.before, one.after)
            )
            yield f"{where}, {_called(one)}: {before}, now {after}"
        elif one.about == "finding":
            yield f"{where}, {one.what}: {'no longer found' if one.after is None else 'found'}"
    figures = [one for one in changes if one.about == "figure"]
    for one in figures[:3]:
        yield f"{one.maneuver}. {named.title(one.kind)}, {_called(one)}: {one.before}, now {one.after}"
    if len(figures) > 3:
        yield f"and {len(figures) - 3} more figures"


def _called(one: Change) -> str:
    """Return an element in the words of the standard with its code, anything else by its name."""
    from groundref.reports.verdicts import printed_code, with_code

    if not one.words:
        return one.what.replace("-", " ").replace("_", " ")
    code, _, figure = one.what.rpartition(" ")
    if figure not in _FIGURES:
        return with_code(one.words, printed_code(one.what))
    return f"{with_code(one.words, printed_code(code))}, {_FIGURES[figure]}"
