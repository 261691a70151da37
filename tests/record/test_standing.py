"""On each engine: what was changed meanwhile is refused, part by part, also where two write at one moment."""

from __future__ import annotations

import threading
from collections.abc import Callable
from functools import partial

import pytest

from groundref.errors import ChangedMeanwhileError
from groundref.record import standing
from groundref.record.asked import Asked
from groundref.record.correcting import correct, keep_plan, say_who
from groundref.record.deciding import give_verdict, give_verdicts, remark, sign, withdraw_signature
from groundref.record.lessons import add, shown
from groundref.record.store import Record
from tests.record.invented import flown

ALTITUDE = "PA.V.B.S7:altitude"


@pytest.fixture
def lesson(record: Record) -> Record:
    """A record with a lesson."""
    add(record, flown())
    return record


def now(record: Record) -> dict[str, str]:
    with record.reading() as connection:
        return standing.standing(connection, 1)


def differs(record: Record, before: dict[str, str]) -> set[str]:
    return {part for part, digest in now(record).items() if before[part] != digest}


def test_each_part_changes_with_what_it_is_about_and_no_other(lesson: Record) -> None:
    document = flown().document
    done: list[tuple[Callable[[], object], set[str]]] = [
        (lambda: remark(lesson, 1, "Look out."), {"remarks"}),
        (lambda: say_who(lesson, 1, {"student": "Ana Feld"}), {"who"}),
        (lambda: give_verdict(lesson, 1, ALTITUDE, "met"), {"verdicts", "verdicts-1"}),
        (lambda: correct(lesson, 1, Asked(ground_ft=500.0), document, "0.1.0"), {"debrief"}),
        (lambda: keep_plan(lesson, 1, b"{}", document, "0.1.0"), {"debrief"}),
        (lambda: sign(lesson, 1), {"signature"}),
        (lambda: withdraw_signature(lesson, 1), {"signature"}),
    ]
    for change, parts in done:
        before = now(lesson)
        change()
        assert differs(lesson, before) == parts
    again = now(lesson)
    give_verdict(lesson, 1, ALTITUDE, "met")
    remark(lesson, 1, "Look out.")
    assert now(lesson) == again  # said once more, it is the same


@pytest.mark.parametrize("part", standing.PARTS)
def test_no_writer_writes_over_what_it_has_not_seen(lesson: Record, part: str) -> None:
    old = {part: "what nobody ever saw"}
    document = flown().document
    before = now(lesson)
    for write in (
        lambda: remark(lesson, 1, "mine", old),
        lambda: give_verdicts(lesson, 1, 1, [(ALTITUDE, "met", "")], "Ines Okafor", old),
        lambda: sign(lesson, 1, "Ines Okafor", old),
        lambda: withdraw_signature(lesson, 1, old),
        lambda: say_who(lesson, 1, {"student": "Ana Feld"}, None, old),
        lambda: correct(lesson, 1, Asked(ground_ft=500.0), document, "0.1.0", old),
        lambda: keep_plan(lesson, 1, b"{}", document, "0.1.0", old),
    ):
        with pytest.raises(ChangedMeanwhileError) as refused:
            write()
        assert refused.value.changed == (part,)
    assert now(lesson) == before


def test_of_many_writers_at_one_moment_one_writes_and_the_others_are_told(lesson: Record) -> None:
    for turn in range(3):
        seen = {standing.REMARKS: now(lesson)[standing.REMARKS]}
        writers = [partial(remark, lesson, 1, f"{turn} by {n}", seen) for n in range(4)]
        outcome = at_once(writers)
        kept = [n for n, problem in enumerate(outcome) if problem is None]
        assert len(kept) == 1
        assert {type(problem) for problem in outcome} == {type(None), ChangedMeanwhileError}
        with lesson.reading() as connection:
            assert shown(connection, 1).row.remarks == f"{turn} by {kept[0]}"


def test_nobody_signs_what_is_being_changed_at_that_moment(lesson: Record) -> None:
    document = flown().document
    for turn in range(4):
        seen = {part: now(lesson)[part] for part in standing.PARTS}
        asked = Asked(ground_ft=100.0 * turn + 1)
        outcome = at_once(
            [
                partial(sign, lesson, 1, "Ines Okafor", seen),
                partial(correct, lesson, 1, asked, document, "0.1.0", seen),
            ]
        )
        assert sum(problem is None for problem in outcome) == 1
        with lesson.reading() as connection:
            there = shown(connection, 1)
        if outcome[0] is None:
            assert there.signed_turn == there.results[-1][0]
            withdraw_signature(lesson, 1)
        else:
            assert there.row.signed_at is None


def at_once(writers: list[Callable[[], object]]) -> list[Exception | None]:
    """Start all at one moment; what each was refused with."""
    start = threading.Barrier(len(writers))
    outcome: list[Exception | None] = [None] * len(writers)

    def run(place: int) -> None:
        start.wait()
        try:
            writers[place]()
        except ChangedMeanwhileError as problem:
            outcome[place] = problem

    threads = [threading.Thread(target=run, args=(place,)) for place in range(len(writers))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return outcome
