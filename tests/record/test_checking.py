"""What `check` finds when something was changed behind the record's back, on each engine, and mends."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import text

from groundref.cli.main import main
from groundref.errors import DamagedError
from groundref.record import schema
from groundref.record.checking import Checked, check
from groundref.record.place import Place
from groundref.record.sealed import pack, put_content
from groundref.record.soundness.mending import mend
from groundref.record.store import Record, open_record
from tests.record.small import answers, filled


def behind_its_back(record: Record, *statements: str) -> Checked:
    """Change something in a way that no command does, and check."""
    with record.writing() as connection:
        for statement in statements:
            connection.execute(text(statement))
    return check(record)


def test_a_record_as_it_was_written_is_sound(place: Place) -> None:
    found = check(filled(place, 3))
    assert found.troubles == ()
    assert found.sound
    assert (found.lessons, found.contents) == (3, 6)


@pytest.mark.parametrize(
    ("statement", "kind", "lessons"),
    [
        ("UPDATE lesson SET remarks = 'Flew badly.' WHERE number = 2", "row", (2,)),
        (
            "UPDATE result SET version = '9' WHERE lesson_id IN (SELECT id FROM lesson WHERE number = 2)",
            "row",
            (2,),
        ),
        ("DELETE FROM own_verdict", "tally", (1,)),
        ("UPDATE person SET name = 'Somebody Else' WHERE name = 'Jo Brandt'", "row", ()),
    ],
)
def test_what_was_changed_is_named_with_its_lesson(
    place: Place, statement: str, kind: str, lessons: tuple[int, ...]
) -> None:
    found = behind_its_back(filled(place, 3), statement)
    assert not found.sound
    assert kind in {trouble.kind for trouble in found.troubles}
    assert found.affected == lessons
    assert all("restore BACKUP" in one.remedy for one in found.troubles if not one.mendable)


def test_content_that_was_changed_is_named_with_its_lesson(place: Place) -> None:
    record = filled(place, 2)
    found = behind_its_back(
        record,
        "UPDATE content SET size = size + 1 WHERE id IN (SELECT sha256 FROM recording JOIN part ON "
        "recording_id = recording.id JOIN lesson ON lesson_id = lesson.id WHERE number = 2)",
    )
    (trouble,) = found.troubles
    assert (trouble.kind, trouble.lessons, trouble.mendable) == ("content", (2,), False)


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE maneuver SET wind_kt = wind_kt + 1",
        "UPDATE maneuver SET elements = '[]'",
        "DELETE FROM maneuver WHERE number = 1",
        "UPDATE tally SET number = number + 1 WHERE counted = 'result.lesson_id'",
        "DELETE FROM tally WHERE counted = 'part.lesson_id'",
    ],
)
def test_what_stands_in_a_sound_debrief_is_mended(place: Place, statement: str) -> None:
    record = filled(place, 3)
    before = answers(place)
    found = behind_its_back(record, statement)
    assert not found.sound
    with pytest.raises(DamagedError):
        answers(place)
    mend(record, found.troubles)
    assert check(record).troubles == ()
    assert answers(place) == before


def test_figures_are_not_mended_from_a_damaged_debrief(place: Place) -> None:
    record = filled(place, 2)
    found = behind_its_back(
        record,
        "UPDATE maneuver SET wind_kt = wind_kt + 1",
        "UPDATE content SET size = size + 1 WHERE id IN (SELECT document_id FROM result JOIN lesson ON "
        "lesson_id = lesson.id WHERE number = 2)",
    )
    mend(record, found.troubles)
    assert check(record).affected == (2,)


def test_content_that_nothing_refers_to_is_dropped(place: Place) -> None:
    record = filled(place, 1)
    with record.writing() as connection:
        put_content(connection, pack(b"left over"))
    found = check(record)
    assert [trouble.kind for trouble in found.troubles] == ["unused"]
    mend(record, found.troubles)
    assert check(record).troubles == ()


def test_references_are_followed_where_the_database_does_not(file_place: Place) -> None:
    filled(file_place, 2)
    assert file_place.path is not None
    with closing(sqlite3.connect(file_place.path)) as connection, connection:
        connection.execute("DELETE FROM content WHERE id IN (SELECT document_id FROM result)")
        connection.execute("DELETE FROM site")
    found = check(open_record(file_place))
    assert {"reference", "tally"} <= {trouble.kind for trouble in found.troubles}
    assert found.affected == (1, 2)


def test_an_index_that_lies_is_made_anew(file_place: Place) -> None:
    record = filled(file_place, 3)
    before = answers(file_place)
    assert file_place.path is not None
    with closing(sqlite3.connect(file_place.path)) as connection, connection:
        # The index forgets the results of two lessons: its rows are taken out, the table's stay.
        connection.execute("PRAGMA writable_schema = ON")
        (sql,) = connection.execute(
            "SELECT sql FROM sqlite_schema WHERE name = 'ix_result_lesson_id'"
        ).fetchone()
        partial = sql + " WHERE turn > 1"
        connection.execute("DROP INDEX ix_result_lesson_id")
        connection.execute(partial)
        connection.execute("UPDATE sqlite_schema SET sql = ? WHERE name = 'ix_result_lesson_id'", (sql,))
    found = check(record)
    assert any("missing from index" in trouble.what for trouble in found.troubles)
    with pytest.raises(DamagedError, match="rows that belong together"):
        answers(file_place)
    mend(record, found.troubles)
    assert check(record).troubles == ()
    assert answers(file_place) == before


def test_files_that_others_may_read_are_told_and_closed(file_place: Place) -> None:
    record = filled(file_place, 1)
    assert file_place.path is not None
    file_place.path.chmod(0o644)
    found = check(record)
    assert found.sound
    assert [trouble.kind for trouble in found.troubles] == ["files"]
    mend(record, found.troubles)
    assert file_place.path.stat().st_mode & 0o777 == 0o600


def test_a_shape_that_differs_is_told(place: Place) -> None:
    found = behind_its_back(filled(place, 1), "DROP INDEX ix_lesson_date")
    assert [trouble.kind for trouble in found.troubles] == ["shape"]


def test_the_command_says_it_in_words_and_in_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    record = filled(Place(path=tmp_path / "record.sqlite"), 3)
    where = ["--record", str(tmp_path / "record.sqlite")]
    assert main(["record", "check", *where]) == 0
    assert "The record is sound: 3 lessons" in capsys.readouterr().out
    behind_its_back(record, "UPDATE maneuver SET wind_kt = wind_kt + 1")
    assert main(["record", "check", "--json", "-", *where]) == 74
    told = json.loads(capsys.readouterr().out)
    assert (told["schema"], told["sound"]) == ("groundref/record-check/1", False)
    assert told["lessons_affected"] == [1, 2, 3]
    assert main(["record", "check", "--mend", *where]) == 2
    assert "can be put right with certainty" in capsys.readouterr().err
    assert main(["record", "check", "--mend", "--yes", *where]) == 0
    assert check(record).troubles == ()


def test_every_table_is_under_a_tally_or_is_content() -> None:
    from groundref.record.tallies import TALLIED

    tables = {str(table.name) for table in schema.METADATA.sorted_tables}
    assert tables == TALLIED.keys() | {"content", "tally"}
