"""A person forgotten: what goes, what stays, and that no byte is left."""

from __future__ import annotations

import json
import re
import stat
from dataclasses import replace
from html import unescape
from xml.sax.saxutils import escape

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import Text

from groundref.errors import RecordError
from groundref.export import to_table
from groundref.record import schema
from groundref.record.asked import Asked
from groundref.record.copying import copy_to
from groundref.record.folder.write import write_folder
from groundref.record.forgetting import Forgetting, Judged, forget, look
from groundref.record.lessons import NewLesson, add, listed, shown
from groundref.record.migrations import NEWEST
from groundref.record.place import Place
from groundref.record.sealed import change, get_content, put, rows
from groundref.record.spelling import Name
from groundref.record.store import Record, open_record
from groundref.record.wiping import is_marked, wipe
from tests.record.invented import another, flown
from tests.record.leftovers import pieces, stores, where

AUTHOR = "<metadata><author><name>JO  BRANDT</name></author><desc>with Ines</desc></metadata>"


def lesson_of(number: int, student: str, said: str = AUTHOR) -> NewLesson:
    """A lesson whose recording, name of file, debrief, plan and question name somebody."""
    lesson = another(number, day=number, student=student)
    name, content = lesson.parts[0]
    named = content.replace(b"<trk>", said.encode() + b"<trk>", 1)
    document = json.loads(lesson.document)
    document["flight"]["source"] = "brandt-and-okafor.gpx"
    plan = {"schema": "groundref/plan/1", "inputs": {"aircraft": "Brandt 172", "note": "for Jo Brandt"}}
    return replace(
        lesson,
        parts=((f"jo_brandt {name}", named),),
        document=json.dumps(document).encode(),
        plan=json.dumps(plan).encode(),
        remarks="Jo Brandt held the bank; Ines Okafor was content. Jones waited.",
        airplane=("Brandt 172", "# airplane of Jo Brandt\n"),
        asked=Asked(columns="# Columns by Ines Okafor\n"),
    )


def school(record: Record) -> None:
    """Three lessons of Jo Brandt, two of Ana Jones, all given and signed by Ines Okafor, who flew one too."""
    for number, student in enumerate(
        ("Jo Brandt", "Ana Jones", "Jo Brandt", "Ana Jones", "Jo Brandt", "Ines Okafor"), start=1
    ):
        add(record, lesson_of(number, student))
    with record.writing() as connection:
        ines = next(row for row in rows(connection, schema.person) if row["name"] == "Ines Okafor")
        for row in rows(connection, schema.lesson):
            signed = {"signed_by_id": ines["id"], "signed_at": "2026-06-01T10:00:00.000Z", "signed_turn": 1}
            change(connection, schema.lesson, row, **signed)
            verdict = {
                "lesson_id": row["id"],
                "maneuver_start": "2026-05-01T14:13:12.300Z",
                "kind": "turns-around-a-point",
                "code": "PA.V.B.S3c",
                "quantity": "height-band",
                "verdict": "met",
                "reason": "Okafor says: gust, not Brandt",
                "person_id": ines["id"],
                "given": "2026-06-01T10:00:00.000Z",
            }
            put(connection, schema.own_verdict, [verdict])


def forgotten(record: Record, name: str, *, keep_lessons: bool = False) -> Forgetting:
    judged = Judged()
    told = look(record, name, keep_lessons=keep_lessons, judged=judged)
    done = forget(record, name, keep_lessons=keep_lessons, judged=judged)
    assert told == done
    wipe(record)
    return done


def test_a_student_goes_with_all_lessons(record: Record) -> None:
    school(record)
    done = forgotten(record, "jo  brandt")
    assert (done.person, done.lessons_removed, done.recordings_altered) == ("Jo Brandt", 3, 3)
    assert where(record, "Brandt", "jo_brandt") == []
    with record.reading() as connection:
        assert [row.number for row in listed(connection)] == [6, 4, 2]
        lesson = shown(connection, 2)
        assert lesson.row.student == "Ana Jones"
        assert lesson.row.remarks == "someone held the bank; Ines Okafor was content. Jones waited."
        assert lesson.row.airplane == "someone 172"
        assert lesson.maneuvers[0].elements
        assert [row["altered"] for row in rows(connection, schema.recording)] == [True] * 3


def test_lessons_can_stay_without_their_student(record: Record) -> None:
    school(record)
    done = forgotten(record, "Jo Brandt", keep_lessons=True)
    assert (done.lessons_removed, done.lessons_anonymous, done.recordings_altered) == (0, 3, 6)
    assert where(record, "Brandt") == []
    with record.reading() as connection:
        assert [row.student for row in listed(connection)][:2] == ["Ines Okafor", None]


def test_an_instructor_goes_and_the_lessons_of_others_stay(record: Record) -> None:
    school(record)
    done = forgotten(record, "Ines Okafor")
    assert (done.lessons_removed, done.lessons_given, done.signatures, done.verdicts) == (1, 5, 5, 5)
    assert where(record, "Okafor", "Ines") == []
    with record.reading() as connection:
        assert len(listed(connection)) == 5
        row = shown(connection, 1).row
        assert (row.instructor, row.signed_by) == (None, None)
        assert row.signed_at == "2026-06-01T10:00:00.000Z"
        verdicts = rows(connection, schema.own_verdict)
        assert {each["reason"] for each in verdicts} == {"someone says: gust, not Brandt"}


def test_the_recording_of_another_reads_as_before_and_is_recognized_again(record: Record) -> None:
    lesson = lesson_of(1, "Ana Jones")
    add(record, lesson)
    add(record, another(2, student="Jo Brandt"))
    forgotten(record, "Jo Brandt")
    assert add(record, lesson) == (1, False)
    with record.reading() as connection:
        row = rows(connection, schema.recording)[0]
        kept = get_content(connection, row["content_id"], "lesson 1")
    before = lesson.parts[0][1].replace(b"<name>JO  BRANDT</name>", b"<name>someone</name>")
    assert kept == before


def test_everybody_can_be_forgotten(record: Record) -> None:
    school(record)
    for name in ("Ana Jones", "Ines Okafor", "Jo Brandt"):
        forgotten(record, name)
    assert where(record, "Brandt", "Okafor", "Ana Jones") == []
    with record.reading() as connection:
        assert listed(connection) == ()
        tables = (schema.content, schema.recording, schema.maneuver, schema.own_verdict, schema.person)
        assert [connection.execute(table.select()).all() for table in tables] == [[]] * 5


def test_no_byte_of_their_recordings_is_left(file_place: Place) -> None:
    record = open_record(file_place, make=True)
    add(record, flown(4))
    theirs = pieces(record)
    positions = set(re.findall(rb'lat="[0-9.]+" lon="[0-9.-]+"', flown(4).parts[0][1]))
    add(record, replace(flown(7), student="Ana Jones"))
    assert len(positions) > 1000
    assert any(position in content for content in stores(record).values() for position in positions)
    forgotten(record, "Jo Brandt")
    everything = b"".join(stores(record).values())
    assert [piece for piece in theirs if piece in everything] == []
    assert all(piece in everything for piece in pieces(record))
    left = set(re.findall(rb'lat="[0-9.]+" lon="[0-9.-]+"', everything))
    assert left
    assert not left & positions


def test_wiping_that_was_cut_off_is_finished_when_the_record_is_opened(place: Place) -> None:
    record = open_record(place, make=True)
    school(record)
    with record.reading():  # keeps what is deleted from leaving the log
        forget(record, "Jo Brandt", keep_lessons=False, judged=Judged())
    with record.reading() as connection:
        assert is_marked(connection)
    again = open_record(place)
    with again.reading() as connection:
        assert not is_marked(connection)
    assert where(again, "Brandt") == []


def test_copies_beside_the_record_go_too(file_place: Place) -> None:
    record = open_record(file_place, make=True)
    school(record)
    assert file_place.path is not None
    folder = file_place.path.parent
    for name in ("record-before-change-from-0001.sqlite", ".groundref-copy.99999999.record.sqlite"):
        (folder / name).write_bytes(b"Jo Brandt")
    (folder / "mine.txt").write_text("a list")
    forget(record, "Jo Brandt", keep_lessons=False, judged=Judged())
    assert wipe(record) == 2
    assert where(record, "Brandt") == []
    assert (folder / "mine.txt").exists()


def test_exports_and_copies_made_afterwards_do_not_name_them(file_place: Place) -> None:
    record = open_record(file_place, make=True)
    school(record)
    forgotten(record, "Jo Brandt", keep_lessons=True)
    assert file_place.path is not None
    folder = file_place.path.parent
    written = write_folder(record, folder / "export", tabled=to_table, endings=(".csv",))
    assert written.recordings == 6
    copy_to(record, folder / "backup.sqlite", NEWEST)
    assert where(record, "Brandt") == []
    assert len(where(record, "Ana Jones")) > 6
    files = [path for path in folder.rglob("*") if path.is_file()]
    assert {stat.S_IMODE(path.stat().st_mode) for path in files} == {0o600}


def test_while_another_reads_the_mark_stays(file_place: Place, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("GROUNDREF_RECORD_WAIT", "0.1")
    record = open_record(file_place, make=True)
    school(record)
    said: list[str] = []
    with record.reading() as connection:
        listed(connection)
        forget(record, "Jo Brandt", keep_lessons=False, judged=Judged())
        with pytest.raises(RecordError, match="another program is reading it"):
            wipe(record)
        open_record(file_place, say=said.append)
    assert "it is tried again" in said[0]
    assert where(open_record(file_place), "Brandt") == []


def test_a_recording_that_cannot_be_searched_goes(record: Record) -> None:
    lesson = another(1, student="Ana Jones")
    add(record, replace(lesson, parts=(("strange.bin", b"\x00\x01\x02" * 400),)))
    add(record, another(2, student="Jo Brandt"))
    done = forgotten(record, "Jo Brandt")
    assert done.recordings_removed == (1,)
    with record.reading() as connection:
        assert shown(connection, 1).parts == ()


def test_a_name_of_ordinary_words_breaks_no_debrief(record: Record) -> None:
    lesson = another(1, student="Ana Jones")
    add(record, lesson)
    add(record, another(2, student="Mark Turns Point"))
    forgotten(record, "mark turns point")
    with record.reading() as connection:
        kept = shown(connection, 1)
        assert kept.maneuvers[0].kind == "turns-around-a-point"
        result = rows(connection, schema.result)[0]
        document = get_content(connection, result["document_id"], "lesson 1")
    assert json.loads(document)["maneuvers"] == json.loads(lesson.document)["maneuvers"]


def test_nobody_of_that_name(record: Record) -> None:
    school(record)
    with pytest.raises(RecordError, match="no person called 'Jo'"):
        look(record, "Jo", keep_lessons=False, judged=Judged())


letters = st.text(st.characters(categories=["Lu", "Ll"], max_codepoint=0x24F), min_size=3, max_size=8)
around = st.text(st.characters(min_codepoint=32, max_codepoint=0x24F, exclude_characters="\x7f"), max_size=12)


# One record serves all examples of an engine: each brings a person of its own and takes it away again.
@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(st.lists(letters, min_size=1, max_size=3), around, around)
def test_whatever_the_name_and_the_texts_nothing_is_left(
    record: Record, words: list[str], before: str, after: str
) -> None:
    written = " ".join(words)
    said = f"{before} {written} {after}"
    comment = f"<metadata><desc>{escape(said)}</desc><!--{said.replace('-', ' ')}--></metadata>"
    lesson = lesson_of(len(written) + 40, "Kim Tool", comment)
    plan = json.dumps({"schema": "groundref/plan/1", "cautions": [said]}).encode()
    with record.writing() as connection:
        put(connection, schema.person, [{"name": written, "added": "2026-05-01T12:00:00.000Z"}])
    changed = replace(
        lesson,
        parts=((said, lesson.parts[0][1]),),
        remarks=said.upper(),
        plan=plan,
        document=lesson.document,
        airplane=None,
        asked=Asked(),
    )
    number, _ = add(record, changed)
    forgotten(record, written)
    with record.reading() as connection:
        name = Name(written, [row["name"] for row in rows(connection, schema.person)])
        lesson_row = shown(connection, number)
        row = rows(connection, schema.recording)[-1]
        texts = [lesson_row.row.remarks, lesson_row.parts[0][0]]
        plan_id = rows(connection, schema.lesson)[-1]["plan_id"]
        texts.append(get_content(connection, plan_id, "plan").decode())
        recording = get_content(connection, row["content_id"], "recording").decode()
        texts.append(unescape(recording.partition("<metadata>")[2].partition("</metadata>")[0]))
    assert [text for text in texts if name.stands_in(text, parts=text is not texts[2])] == []
    forgotten(record, "Kim Tool")


# What every column of words can hold; a new one must be thought about here.
SEARCHED = {
    "airplane": {"name", "document"},
    "maneuver": {"elements"},
    "lesson": {"asked", "remarks"},
    "own_verdict": {"reason"},
    "person": {"name"},
    "recording": {"name"},
    "result": {"standard"},
    "site": {"name", "remarks"},
}
NAMES_NOBODY = {
    "lesson": {"date", "start", "end", "signed_at", "added"},
    "maneuver": {"kind", "direction", "start", "end", "faults"},
    "own_verdict": {"maneuver_start", "kind", "code", "quantity", "verdict", "given"},
    "person": {"added"},
    "result": {"version", "computed"},
    "site": {"type", "places"},
    "tally": {"counted", "whose"},
}


def test_every_column_of_words_is_searched_or_names_nobody() -> None:
    for table in schema.METADATA.sorted_tables:
        words = {column.name for column in table.columns if isinstance(column.type, Text)}
        assert words == SEARCHED.get(table.name, set()) | NAMES_NOBODY.get(table.name, set()), table.name
