"""A folder taken into a record that holds something already: recognized, numbered anew, refused, or left."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from groundref.errors import InputError
from groundref.record import schema
from groundref.record.folder.take import Taken
from groundref.record.lessons import add, lesson_row, listed
from groundref.record.place import Place
from groundref.record.sealed import change, put, remove, rows
from groundref.record.store import Record, open_record
from tests.record.invented import another
from tests.record.test_folder_round_trip import exported, imported, whole_of


@pytest.fixture
def there(tmp_path: Path) -> Record:
    """Another record, with two lessons."""
    record = open_record(Place(path=tmp_path / "there.sqlite"), make=True)
    for number in (1, 2):
        add(record, another(number))
    return record


def out(record: Record, tmp_path: Path, name: str = "out", student: str | None = None) -> Path:
    exported(record, tmp_path / name, student)
    return tmp_path / name


def became(taken: Taken) -> list[tuple[int, int, str]]:
    return [(one.in_folder, one.number, one.what) for one in taken.lessons]


def altered(record: Record, number: int, **values: Any) -> None:
    with record.writing() as connection:
        change(connection, schema.lesson, lesson_row(connection, number), **values)


def everything(record: Record) -> dict[str, list[dict[str, Any]]]:
    return {name: sorted(whole_of(record, name), key=str) for name in schema.METADATA.tables}


def test_a_number_that_is_taken_becomes_the_next_free_one(
    record: Record, there: Record, tmp_path: Path
) -> None:
    add(record, another(7, student="Kim Vale"))
    assert became(imported(record, out(there, tmp_path))) == [(1, 3, "new"), (2, 2, "new")]
    with record.reading() as connection:
        assert {row.number: row.student for row in listed(connection)} == {
            1: "Kim Vale",
            2: "Jo Brandt",
            3: "Jo Brandt",
        }


def test_the_same_person_is_one_person(record: Record, there: Record, tmp_path: Path) -> None:
    add(record, another(7, student="JO BRANDT"))
    taken = imported(record, out(there, tmp_path))
    assert taken.people == 0
    with record.reading() as connection:
        assert {row.student for row in listed(connection)} == {"JO BRANDT"}


def test_the_same_flight_in_two_records_is_one_lesson(record: Record, there: Record, tmp_path: Path) -> None:
    add(record, another(8))
    add(record, another(2))
    assert became(imported(record, out(there, tmp_path))) == [(1, 3, "new"), (2, 2, "known")]
    assert len(whole_of(record, "lesson")) == 3


def test_an_older_folder_does_no_harm(record: Record, there: Record, tmp_path: Path) -> None:
    folder = out(there, tmp_path)
    imported(record, folder)
    altered(record, 1, remarks="Much better.", signed_at="2026-05-02T10:00:00.000Z")
    before = everything(record)
    assert became(imported(record, folder)) == [(1, 1, "known"), (2, 2, "known")]
    assert everything(record) == before


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({"remarks": "Keep the nose up."}, "remarks"),
        ({"signed_at": "2026-05-02T10:00:00.000Z", "signed_turn": 1}, "signature"),
        ({"date": "2026-06-01"}, "times"),
        ({"asked": '{"ground_ft": 400}'}, "how it is debriefed"),
    ],
)
def test_a_folder_that_says_something_else_is_refused_or_left(
    record: Record, there: Record, tmp_path: Path, values: dict[str, Any], says: str
) -> None:
    imported(record, out(there, tmp_path, "before"))
    altered(there, 2, **values)
    add(there, another(3))
    before = everything(record)
    with pytest.raises(InputError, match=f"lesson 2 of the folder is lesson 2 here .* its {says}") as problem:
        imported(record, out(there, tmp_path))
    assert "--keep-own" in problem.value.remedy
    assert everything(record) == before
    taken = imported(record, tmp_path / "out", keep_own=True)
    assert became(taken) == [(1, 1, "known"), (2, 2, "kept"), (3, 3, "new")]
    assert len(taken.differing) == 1
    with record.reading() as connection:
        assert lesson_row(connection, 2) == next(row for row in before["lesson"] if row["number"] == 2)


def test_a_verdict_that_the_record_does_not_have_is_not_lost_unsaid(
    record: Record, there: Record, tmp_path: Path
) -> None:
    add(record, another(1))  # the same flight, put into both
    with there.writing() as connection:
        said = {"maneuver_start": "2026-05-01T14:13:12.300Z", "kind": "turns-around-a-point", "code": "S3"}
        said |= {
            "quantity": "altitude",
            "verdict": "met",
            "reason": "a gust",
            "given": "2026-05-02T10:00:00.000Z",
        }
        put(connection, schema.own_verdict, [{**said, "lesson_id": lesson_row(connection, 1)["id"]}])
    with pytest.raises(InputError, match="lesson 1 here and differs in its own verdicts"):
        imported(record, out(there, tmp_path))


def test_a_site_that_is_described_otherwise(record: Record, there: Record, tmp_path: Path) -> None:
    for each, remarks in ((record, "mind the mast"), (there, "")):
        with each.writing() as connection:
            site = {"name": "Barn", "type": "point", "places": "[[40.1, -90.2]]", "remarks": remarks}
            put(connection, schema.site, [site])
    with pytest.raises(InputError, match="the site Barn is described otherwise here; nothing was changed"):
        imported(record, out(there, tmp_path))
    assert imported(record, tmp_path / "out", keep_own=True).sites == 0
    with record.reading() as connection:
        assert [row["remarks"] for row in rows(connection, schema.site)] == ["mind the mast"]


def test_who_was_forgotten_does_not_come_back(record: Record, there: Record, tmp_path: Path) -> None:
    folder = out(there, tmp_path)
    imported(record, folder)
    with record.writing() as connection:
        who = next(row for row in rows(connection, schema.person) if row["name"] == "Jo Brandt")
        for row in rows(connection, schema.lesson):
            change(connection, schema.lesson, row, student_id=None)
        remove(connection, schema.person, schema.person.c.id == who["id"])
    taken = imported(record, folder, keep_own=True)
    assert {one.what for one in taken.lessons} == {"kept"}
    assert [row["name"] for row in whole_of(record, "person")] == ["Ines Okafor"]


def test_ids_of_one_lesson_in_another_are_refused(record: Record, there: Record, tmp_path: Path) -> None:
    imported(record, out(there, tmp_path))
    path = tmp_path / "out" / "record.json"
    lesson = whole_of(record, "lesson")[0]
    recordings = whole_of(record, "recording")
    text = path.read_text("utf-8").replace(lesson["id"], "0" * 32)
    for row in recordings:
        # As if of other flights; the files are the same.
        text = text.replace(f'"brought_sha256": "{row["sha256"]}"', f'"brought_sha256": "{row["id"] * 2}"')
    path.write_text(text, "utf-8")
    before = everything(record)
    with pytest.raises(InputError, match="is another in the record"):
        imported(record, tmp_path / "out")
    assert everything(record) == before


def test_nothing_is_written_when_the_writing_fails(record: Record, there: Record, tmp_path: Path) -> None:
    folder = out(there, tmp_path)
    before = everything(record)

    def stop(done: int, of: int) -> None:
        if done == of:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        imported(record, folder, step=stop)
    assert everything(record) == before


def test_a_student_takes_their_part_along(record: Record, there: Record, tmp_path: Path) -> None:
    add(there, another(3, student="Kim Vale"))
    folder = out(there, tmp_path, student="kim vale")
    words = b"".join(path.read_bytes() for path in folder.rglob("*") if path.is_file())
    assert b"Kim Vale" in words
    assert b"Ines Okafor" in words
    assert b"Jo Brandt" not in words
    assert len(list((folder / "recordings").iterdir())) == 1
    taken = imported(record, folder)
    assert became(taken) == [(3, 3, "new")]
    people = {row["name"]: row["added"] for row in whole_of(there, "person")}
    kept = {row["name"]: row["added"] for row in whole_of(record, "person")}
    assert kept["Kim Vale"] == people["Kim Vale"]
    assert kept["Ines Okafor"] != people["Ines Okafor"]  # of other people the name alone
