"""Full disks, read-only folders, locks, two that write, pages that lie: one sentence, nothing lost."""

from __future__ import annotations

import os
import random
import resource
import shutil
import signal
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from groundref.cli.main import main
from groundref.errors import DamagedError, RecordError
from groundref.record import lessons, names, results
from groundref.record.checking import check
from groundref.record.lessons import add, listed
from groundref.record.place import Place
from groundref.record.sealed import get_content
from groundref.record.store import open_record
from tests.record.small import Answers, answers, bytes_of, filled, small

PAGE = 4096
NOBODY = 65534


def asked(place: Place) -> Answers | str:
    """What a record answers, or the sentence that refuses; anything else is a defect."""
    try:
        return answers(place)
    except RecordError as problem:
        return str(problem)


def test_no_page_lies_without_being_caught(tmp_path: Path) -> None:
    place = Place(path=tmp_path / "record.sqlite")
    filled(place, 4)
    before, whole = answers(place), bytes_of(place).read_bytes()
    seed = random.SystemRandom().randrange(2**31)
    rng = random.Random(seed)
    print("seed", seed)
    other = tmp_path / "other" / "record.sqlite"
    refused = 0
    for first in range(0, len(whole), PAGE):
        # In the head of the page, which says what is where, and anywhere.
        for at, mask in (
            (rng.randrange(40), 1 << rng.randrange(8)),
            (rng.randrange(PAGE), rng.randrange(1, 256)),
        ):
            changed = bytearray(whole)
            changed[first + at] ^= mask
            shutil.rmtree(other.parent, ignore_errors=True)
            other.parent.mkdir()
            other.write_bytes(changed)
            found = asked(Place(path=other))
            assert isinstance(found, str) or found == before, (first // PAGE, at, mask)
            refused += isinstance(found, str)
    assert refused


def test_a_page_of_zeros_or_of_another_is_caught(tmp_path: Path) -> None:
    place = Place(path=tmp_path / "record.sqlite")
    filled(place, 3)
    before, whole = answers(place), bytes_of(place).read_bytes()
    other = tmp_path / "other.sqlite"
    pages = range(PAGE, len(whole), PAGE)
    for first, from_ in zip(pages, [*pages[5:], *pages[:5]], strict=True):
        for instead in (bytes(PAGE), whole[from_ : from_ + PAGE]):
            other.write_bytes(whole[:first] + instead + whole[first + PAGE :])
            for ending in ("-wal", "-shm"):
                other.with_name(other.name + ending).unlink(missing_ok=True)
            found = asked(Place(path=other))
            assert isinstance(found, str) or found == before, first // PAGE


def test_a_file_that_was_cut_off_is_refused(tmp_path: Path) -> None:
    place = Place(path=tmp_path / "record.sqlite")
    filled(place, 2)
    path = bytes_of(place)
    path.write_bytes(path.read_bytes()[: -20 * PAGE])
    assert isinstance(asked(place), str)


def test_a_full_disk_is_one_sentence_and_nothing_is_lost(tmp_path: Path) -> None:
    """A limit on the size of files is met like the end of the disk, whoever runs the test."""
    place = Place(path=tmp_path / "record.sqlite")
    record = filled(place, 2)
    before = answers(place)
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    handler = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    try:
        resource.setrlimit(resource.RLIMIT_FSIZE, (8192, limits[1]))
        with pytest.raises(RecordError) as refusal:
            add(record, small(3))
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)
        signal.signal(signal.SIGXFSZ, handler)
    assert "disk" in str(refusal.value)
    assert answers(place) == before
    assert check(record).troubles == ()
    assert add(record, small(3)) == (3, True)


def test_a_database_that_may_not_grow_is_a_full_disk(file_place: Place) -> None:
    record = filled(file_place, 2)
    before = answers(file_place)

    def fill() -> None:
        with record.writing() as connection:
            connection.exec_driver_sql("PRAGMA max_page_count = 1")  # no fewer than there are
            connection.exec_driver_sql("CREATE TABLE filler (what BLOB)")
            for _ in range(100):
                connection.exec_driver_sql("INSERT INTO filler VALUES (zeroblob(100000))")

    with pytest.raises(RecordError, match="the disk is full"):
        fill()
    assert answers(file_place) == before


def as_nobody(work: Callable[[], int]) -> int:
    """Do something without the rights of root, in a child; return its exit code."""
    child = os.fork()
    if child == 0:
        status = 99
        try:
            if os.getuid() == 0:
                os.setgroups([])
                os.setgid(NOBODY)
                os.setuid(NOBODY)
            status = work()
        finally:
            os._exit(status)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def _refused(work: Callable[[], object], words: str) -> int:
    try:
        work()
    except RecordError as problem:
        return 0 if words in str(problem) else 2
    return 3


def test_a_folder_that_may_only_be_read(tmp_path: Path) -> None:
    folder = tmp_path / "folder"
    folder.mkdir()
    place = Place(path=folder / "record.sqlite")
    filled(place, 2)
    before = answers(place)
    assert place.path is not None
    for path in (tmp_path, *tmp_path.parents):
        if path.owner() == Path(tmp_path).owner() and path != Path("/"):
            path.chmod(path.stat().st_mode | 0o055)
    place.path.chmod(0o444)
    folder.chmod(0o555)
    new = Place(path=folder / "new.sqlite")
    assert as_nobody(lambda: _refused(lambda: add(open_record(place), small(3)), "")) == 0
    assert as_nobody(lambda: _refused(lambda: open_record(new, make=True), "cannot be made there")) == 0
    folder.chmod(0o700)
    place.path.chmod(0o600)
    assert answers(place) == before
    assert not (folder / "new.sqlite").exists()


def test_another_that_writes_is_waited_for_and_then_told(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("GROUNDREF_RECORD_WAIT", "0.2")
    record = filled(place, 2)
    before = answers(place)
    with record.writing():
        assert answers(place) == before  # reading goes on
        with pytest.raises(RecordError, match="another program is writing to it"):
            add(open_record(place), small(3))
    assert add(record, small(3)) == (3, True)


def test_two_that_write_at_once_both_save(place: Place) -> None:
    filled(place, 1)
    found: list[int] = []

    def several(first: int) -> None:
        record = open_record(place)
        found.extend(add(record, small(number))[0] for number in range(first, first + 4))

    writers = [threading.Thread(target=several, args=(first,)) for first in (10, 20)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert sorted(found) == list(range(2, 10))
    assert check(open_record(place)).troubles == ()


def test_a_clock_that_goes_backwards_changes_no_order(place: Place, monkeypatch: pytest.MonkeyPatch) -> None:
    moments = iter(f"20{year:02d}-01-01T00:00:00.000Z" for year in range(60, 0, -1))
    for module in (lessons, names, results):
        monkeypatch.setattr(module, "now", lambda: next(moments))
    record = filled(place, 3)
    with record.reading() as connection:
        assert [row.number for row in listed(connection)] == [3, 2, 1]  # by the day flown
    assert check(record).troubles == ()


def test_a_recording_that_was_deleted_is_in_the_record(place: Place, tmp_path: Path) -> None:
    lesson = small(1)
    ((name, content),) = lesson.parts
    path = tmp_path / name
    path.write_bytes(content)
    filled(place, 1)
    path.unlink()
    with open_record(place).reading() as connection:
        row = listed(connection)[0]
        digest = lessons.shown(connection, row.number).parts[0][1]
        assert get_content(connection, digest, "lesson") == content


def test_a_log_that_was_left_over_is_worked_in_and_one_that_is_gone_leaves_a_sound_record(
    tmp_path: Path,
) -> None:
    place = Place(path=tmp_path / "record.sqlite")
    record = filled(place, 2)
    with record.reading() as connection:  # keeps the log from being worked in
        listed(connection)
        add(record, small(3))
        for ending in ("", "-wal"):
            for folder in ("with", "without"):
                (tmp_path / folder).mkdir(exist_ok=True)
                if (folder, ending) != ("without", "-wal"):
                    shutil.copy(f"{place.path}{ending}", tmp_path / folder / f"record.sqlite{ending}")
    for folder, lessons_there in (("with", 3), ("without", 2)):
        found = check(open_record(Place(path=tmp_path / folder / "record.sqlite")))
        assert [one.kind for one in found.troubles if one.serious] == []
        assert found.lessons == lessons_there


@pytest.mark.parametrize("content", [b"", bytes(100), bytes(8192), b"SQLite format 3\0", b"half a line"])
def test_a_file_that_is_no_record_is_refused_and_stays(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "record.sqlite"
    path.write_bytes(content)
    with pytest.raises(RecordError):
        open_record(Place(path=path))
    assert path.read_bytes() == content


def test_what_is_no_file_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    loop = tmp_path / "loop.sqlite"
    loop.symlink_to(loop)
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "file").write_text("")
    for path in (
        loop,
        tmp_path,
        tmp_path / "pipe",
        tmp_path / "file" / "record.sqlite",
        tmp_path / "gone" / "a",
    ):
        assert main(["record", "list", "--record", str(path)]) == 74
        said = capsys.readouterr().err
        assert said.startswith("groundref: ")
        assert said.count("\n") == 1


def test_a_database_of_something_else_is_refused(file_place: Place) -> None:
    import sqlite3

    assert file_place.path is not None
    other = sqlite3.connect(file_place.path)
    other.execute("CREATE TABLE lesson (what)")
    other.commit()
    other.close()
    with pytest.raises(RecordError, match="something else than a training record"):
        open_record(file_place, make=True)


def test_a_damaged_record_is_never_copied_over_a_good_one(tmp_path: Path) -> None:
    place = Place(path=tmp_path / "record.sqlite")
    filled(place, 2)
    path = bytes_of(place)
    whole = bytearray(path.read_bytes())
    whole[-3 * PAGE :] = bytes(3 * PAGE)
    path.write_bytes(whole)
    good = tmp_path / "good.sqlite"
    filled(Place(path=good), 1)
    before = good.read_bytes()
    with pytest.raises(DamagedError):
        check_and_copy(place, good)
    assert good.read_bytes() == before


def check_and_copy(place: Place, path: Path) -> None:
    from groundref.record.copying import copy_to
    from groundref.record.migrations import NEWEST
    from groundref.record.restoring import prove

    copy_to(open_record(place), path, NEWEST, lambda copy: prove(copy, "the copy"))
