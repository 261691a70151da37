"""Folders that are not as they should be: one sentence, and nothing written."""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

from groundref.errors import InputError
from groundref.record import asked
from groundref.record.folder import shape
from groundref.record.folder.read import brought
from groundref.record.folder.shape import MOST_BYTES, json_schema
from groundref.record.lessons import NewLesson, add
from groundref.record.place import Place
from groundref.record.store import open_record
from tests.docs.rewrite_schema import FILE
from tests.record.invented import another
from tests.record.test_folder_round_trip import exported

Document = dict[str, Any]


@pytest.fixture(scope="module")
def right(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with two lessons."""
    place = tmp_path_factory.mktemp("right")
    record = open_record(Place(path=place / "there.sqlite"), make=True)
    for number in (1, 2):
        add(record, another(number))
    exported(record, place / "out")
    return place / "out"


@pytest.fixture
def folder(right: Path, tmp_path: Path) -> Path:
    """The same, to be changed."""
    return Path(shutil.copytree(right, tmp_path / "out"))


def refused(folder: Path) -> str:
    with pytest.raises(InputError) as problem, brought(folder):
        pass
    assert str(folder) in problem.value.where
    assert problem.value.remedy
    assert "\n" not in str(problem.value)
    return str(problem.value)


def edited(folder: Path, edit: Callable[[Document], object]) -> str:
    path = folder / "record.json"
    document = json.loads(path.read_text("utf-8"))
    edit(document)
    path.write_text(json.dumps(document), "utf-8")
    return refused(folder)


def test_the_published_schema_is_that_of_the_program() -> None:
    assert FILE.read_bytes() == json_schema(), "python -m tests.docs.rewrite_schema writes it anew"


def test_nothing_that_a_debrief_is_asked_with_is_left_out() -> None:
    for ours, theirs in ((asked.Asked, shape.Asked), (asked.Stretch, shape.Stretch)):
        assert ours.__struct_fields__ == theirs.__struct_fields__


@pytest.mark.parametrize("name", ["record.json", "recordings/*", "debriefs/*"])
def test_a_file_that_is_missing(folder: Path, name: str) -> None:
    next(folder.glob(name)).unlink()
    assert "there is no such file" in refused(folder)


@pytest.mark.parametrize("name", ["recordings/*", "debriefs/*"])
def test_a_file_that_was_changed(folder: Path, name: str) -> None:
    path = next(folder.glob(name))
    content = bytearray(path.read_bytes())
    content[100] ^= 1
    path.write_bytes(content)
    assert "its SHA-256 differs" in refused(folder)
    path.write_bytes(content[:-1])
    assert "bytes and not" in refused(folder)
    path.write_bytes(content + b"x" * 1000)
    assert "more than the" in refused(folder)


@pytest.mark.parametrize(
    "content", [b"", b"\xff\xfe", b"{", b"[]", b'{"schema": 1}', b"[" * 100_000, b"null", b'"\\ud800"']
)
def test_json_that_is_none(folder: Path, content: bytes) -> None:
    (folder / "record.json").write_bytes(content)
    assert "record.json: this is not an exported record" in refused(folder)


@pytest.mark.parametrize(
    ("schema", "says"),
    [
        ("groundref/record/2", "written by a newer groundref"),
        ("groundref/debrief/1", "its schema is 'groundref/debrief/1'"),
        ("groundref/record/x", "its schema is 'groundref/record/x'"),
    ],
)
def test_another_schema(folder: Path, schema: str, says: str) -> None:
    assert says in edited(folder, lambda document: document.update(schema=schema, more=1))


@pytest.mark.parametrize(
    "name",
    [
        "../../../etc/passwd",
        "recordings/../../x",
        "/etc/passwd",
        "recordings//etc/passwd",
        "C:\\x.gpx",
        "recordings\\..\\x",
        "recordings/..",
        "record.json",
        "recordings/x\0.gpx",
    ],
)
def test_names_that_lead_out_of_the_folder(folder: Path, name: str) -> None:
    says = edited(folder, lambda document: document["recordings"][0]["content"].update(file=name))
    assert "recordings[0].content.file leads out of the folder" in says


def test_a_link_is_not_followed(folder: Path, tmp_path: Path) -> None:
    path = next(folder.glob("recordings/*"))
    path.rename(tmp_path / "elsewhere")
    path.symlink_to(tmp_path / "elsewhere")
    assert "this is a link" in refused(folder)


def test_a_folder_that_is_a_link_is_not_followed(folder: Path, tmp_path: Path) -> None:
    (folder / "debriefs").rename(tmp_path / "elsewhere")
    (folder / "debriefs").symlink_to(tmp_path / "elsewhere")
    assert "this is a link" in refused(folder)


def test_a_pipe_keeps_nobody_waiting(folder: Path) -> None:
    path = next(folder.glob("recordings/*"))
    path.unlink()
    os.mkfifo(path)
    assert "this is no plain file" in refused(folder)


def test_a_folder_in_the_place_of_a_file(folder: Path) -> None:
    path = next(folder.glob("recordings/*"))
    path.unlink()
    path.mkdir()
    assert refused(folder)


def test_absurd_sizes(folder: Path) -> None:
    says = edited(
        folder, lambda document: document["recordings"][0]["content"].update(size_bytes=MOST_BYTES + 1)
    )
    assert "this is not an exported record" in says


def lesson(document: Document) -> Document:
    found: Document = document["lessons"][0]
    return found


BAD: dict[str, tuple[Callable[[Document], object], str]] = {
    "a key that is not known": (lambda d: lesson(d).update(weather="fine"), "unknown field `weather`"),
    "a key that is missing": (lambda d: lesson(d).pop("remarks"), "missing required field `remarks`"),
    "a day that is none": (lambda d: lesson(d).update(date="2026-02-30"), "2026-02-30 is no day"),
    "a time that is none": (
        lambda d: lesson(d).update(added="2026-05-01T25:00:00.000Z"),
        "2026-05-01T25:00:00.000Z is no time",
    ),
    "a person who is not there": (lambda d: lesson(d).update(student_id="0" * 32), "which is not there"),
    "an airplane that is not there": (lambda d: lesson(d).update(airplane_id="0" * 32), "the airplane 0"),
    "two of one number": (lambda d: lesson(d).update(number=2), "two lessons have the number 2"),
    "two of one id": (
        lambda d: lesson(d).update(id=d["lessons"][1]["id"]),
        "two lessons have the id",
    ),
    "two of one name": (
        lambda d: d["people"][0].update(name=d["people"][1]["name"]),
        "two people are called",
    ),
    "a name that is none": (lambda d: d["people"][0].update(name="Jo\nBrandt"), "is no name"),
    "a NUL": (lambda d: lesson(d).update(remarks="a\0b"), "this is not an exported record"),
    "a number too large": (lambda d: lesson(d).update(number=2**31), "this is not an exported record"),
    "a recording without a lesson": (lambda d: lesson(d).update(parts=[]), "belongs to no lesson"),
    "a student without one": (lambda d: d.update(holds="student"), "it holds a student"),
    "a recording twice": (
        lambda d: d["recordings"][0].update(brought_sha256=d["recordings"][1]["brought_sha256"]),
        "two recordings have the digest",
    ),
}


@pytest.mark.parametrize(("edit", "says"), BAD.values(), ids=BAD.keys())
def test_what_does_not_fit_together(folder: Path, edit: Callable[[Document], object], says: str) -> None:
    assert says in edited(folder, edit)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"schema": "groundref/plan/1"}, "its schema is 'groundref/plan/1'"),
        ({"maneuvers": [{}]}, "this is not a debrief"),
        ({"maneuvers": 3}, "this is not a debrief"),
    ],
)
def test_a_debrief_that_is_none(folder: Path, change: Document, says: str) -> None:
    assert says in with_debrief(folder, lambda debrief: debrief.update(change))


@pytest.mark.parametrize("figure", ["ten", True, [1]])
def test_a_figure_that_is_none(folder: Path, figure: object) -> None:
    says = with_debrief(folder, lambda debrief: debrief["maneuvers"][0].update(radius_ft=figure))
    assert "this is not a debrief" in says


def test_a_text_that_no_record_keeps(folder: Path) -> None:
    says = with_debrief(folder, lambda debrief: debrief["maneuvers"][0].update(kind="s\0"))
    assert "holds a NUL" in says


def with_debrief(folder: Path, edit: Callable[[Document], object]) -> str:
    """Change a debrief, and say so in `record.json` as somebody would who means it."""
    path = sorted(folder.glob("debriefs/*"))[0]
    debrief = json.loads(path.read_text("utf-8"))
    edit(debrief)
    path.write_text(json.dumps(debrief), "utf-8")
    content = path.read_bytes()
    stated = {"size_bytes": len(content), "sha256": sha256(content).hexdigest()}
    return edited(folder, lambda document: lesson(document)["results"][0]["debrief"].update(stated))


def test_a_folder_of_something_else(tmp_path: Path) -> None:
    assert "record.json: there is no such file" in refused(tmp_path)


def test_odd_names_become_safe_ones(tmp_path: Path) -> None:
    record = open_record(Place(path=tmp_path / "there.sqlite"), make=True)
    content = another(1)
    names = ["../../../../etc/cron.d/x", "NUL", "a" * 300 + ".GPX", "Łódź – Tour №3.csv", "..", "x.tar.gz"]
    parts = tuple((name, content.parts[0][1] + bytes([n])) for n, name in enumerate(names))
    add(record, NewLesson(parts, content.asked, content.document, "0.1.0"))
    exported(record, tmp_path / "out")
    assert sorted(path.name for path in (tmp_path / "out" / "recordings").iterdir()) == [
        "lesson-00001-part-1-x.bin",
        "lesson-00001-part-2-nul.bin",
        f"lesson-00001-part-3-{'a' * 60}.gpx",
        "lesson-00001-part-4-odz-tour-no3.csv",
        "lesson-00001-part-5-x.bin",
        "lesson-00001-part-6-x-tar.gz",
    ]
    with brought(tmp_path / "out") as found:
        assert [one.name for one in found.document.recordings] == names
