"""Tries flown on the ground, kept beside real flights: marked, and no lessons of anybody's progress."""

from __future__ import annotations

import gzip
import json
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from groundref.export import to_table
from groundref.progress import progress
from groundref.record.asked import Asked
from groundref.record.correcting import say_who
from groundref.record.folder.read import brought
from groundref.record.folder.take import take
from groundref.record.folder.write import write_folder
from groundref.record.lessons import add, flown_by, listed
from groundref.record.people import people
from groundref.record.place import Place
from groundref.record.recomputing import recompute
from groundref.record.store import Record, open_record
from groundref.simulation.by_hand import start, step
from groundref.simulation.by_hand_recording import recorded, says_so
from groundref.simulation.write import to_bytes
from groundref.units import degree, foot
from groundref.web.trying.asked import Asked as Trying
from tests.record.invented import flown

WHO = "Jo Brandt"


def a_try() -> bytes:
    """Return the recording of twenty seconds of flying by hand."""
    task = Trying().task
    moments = [start(task)]
    while moments[-1].time < 20.0:
        moments.append(step(moments[-1], -30 * degree, 0.1, task))
    when = datetime(2026, 5, 2, 12, tzinfo=UTC)
    return to_bytes(recorded(moments, task, 800 * foot, when), "any-name.csv")


@pytest.fixture
def both(record: Record) -> Record:
    """A record with a lesson flown in the air and a try, both of one student."""
    add(record, flown())
    add(record, replace(flown(), parts=(("any-name.csv", a_try()),), asked=Asked()))
    return record


def marks(record: Record) -> dict[int, bool]:
    with record.reading() as connection:
        return {row.number: row.on_the_ground for row in listed(connection)}


def test_the_recording_says_so_whatever_its_name_packed_or_not() -> None:
    content = a_try()
    assert says_so(content)
    assert says_so(gzip.compress(content))
    assert not says_so(gzip.compress(content)[:8] + b"damaged beyond reading")
    assert not says_so(gzip.compress(content[2:]))
    assert not any(says_so(other) for _, other in flown().parts)


def test_it_is_marked_and_counts_nowhere(both: Record) -> None:
    assert marks(both) == {1: False, 2: True}
    with both.reading() as connection:
        name, lessons = flown_by(connection, WHO)
        counted = {one.name: (one.as_student, one.as_instructor, one.tries) for one in people(connection)}
    told = progress(name, lessons)
    assert (told.lessons, told.tries) == (1, 1)
    assert told == replace(progress(name, lessons[:1]), tries=1)
    assert counted[WHO] == (1, 0, 1)
    assert counted["Ines Okafor"] == (0, 1, 0)


def test_what_is_put_right_or_worked_out_anew_stays_marked(both: Record) -> None:
    say_who(both, 2, {"student": "Ana Petersen"})
    recompute(both, 2, "9.9")
    assert marks(both) == {1: False, 2: True}


def test_the_mark_goes_out_and_in_again(both: Record, tmp_path: Path) -> None:
    write_folder(both, tmp_path / "out", student=None, tabled=to_table)
    plain = json.loads((tmp_path / "out" / "record.json").read_text("utf-8"))
    assert [one["asked"].get("on_the_ground") for one in plain["lessons"]] == [None, True]
    other = open_record(Place(path=tmp_path / "other.sqlite"), make=True)
    with brought(tmp_path / "out") as found:
        take(other, found)
    assert marks(other) == {1: False, 2: True}
