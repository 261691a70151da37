"""What is killed: kinds of work on a record in a file, and how a record must be found afterwards."""

from __future__ import annotations

import csv
import gzip
import io
import shutil
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any, Final

from groundref.record.checking import check
from groundref.record.copying import abandoned, copy_to, kept_copies
from groundref.record.folder.draft import abandoned_folders
from groundref.record.folder.read import brought
from groundref.record.folder.tables import Kinds
from groundref.record.folder.take import take
from groundref.record.folder.write import write_folder
from groundref.record.forgetting import Judged, forget
from groundref.record.lessons import add, listed
from groundref.record.migrations import NEWEST
from groundref.record.place import Place
from groundref.record.restoring import prove
from groundref.record.store import look, open_record
from groundref.record.wiping import wipe
from tests.record.leftovers import where
from tests.record.small import STUDENTS, filled, small

Report = Callable[[str], None]
FROZEN: Final = Path(__file__).parents[1] / "data" / "record-0001.sqlite.gz"
LESSONS: Final = 6  # in a record to begin with
_OURS: Final = ("", "-wal", "-shm")


def plain_table(columns: Mapping[str, Sequence[Any]], kinds: Kinds, name: str) -> bytes:
    """Return a table of text, written without the threads of a library, which a fork would lose."""
    text = io.StringIO()
    csv.writer(text).writerows([columns, *zip(*columns.values(), strict=True)])
    return text.getvalue().encode()


class Trial:
    """One kind of work, in a folder of its own.

    Parameters
    ----------
    folder
        Empty; what is in it is removed before each attempt.
    """

    share = 1.0  # of the kills

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.kept = folder.with_name(folder.name + "-kept")
        self.kept.mkdir()
        self.start, self.place = self.places()
        self.begin()

    def places(self) -> tuple[Place, Place]:
        """Where the record lies that each attempt starts from, and where the one that is worked on."""
        return Place(path=self.kept / "record.sqlite"), Place(path=self.folder / "record.sqlite")

    def begin(self) -> None:
        """Make what each attempt starts from, once."""
        filled(self.start, LESSONS)

    def prepare(self) -> None:
        """Leave nothing of the attempt before, and put what this one starts from in place."""
        shutil.rmtree(self.folder, ignore_errors=True)
        self.folder.mkdir(mode=0o700)
        self.bring()

    def bring(self) -> None:
        """Put the record that it starts from in place."""
        assert self.start.path is not None
        assert self.place.path is not None
        shutil.copy(self.start.path, self.place.path)
        self.place.path.chmod(0o600)

    def settle(self) -> None:
        """Wait for what still works on the record when the program is dead: nothing, of a file."""

    def end(self) -> None:
        """Leave nothing behind."""

    def work(self, report: Report) -> None:
        """Do it, in the child."""
        raise NotImplementedError

    def judge(self, reported: list[str]) -> str:
        """Look at what is left and return in a word how it was found; AssertionError when that is wrong."""
        raise NotImplementedError

    def sound(self, place: Place | None = None) -> None:
        """Open a record and let it pass its check."""
        checked = check(open_record(place or self.place))
        assert not [str(one) for one in checked.troubles if one.serious], checked.troubles

    def numbers(self, place: Place | None = None) -> list[int]:
        """The lessons in it, each with what was flown."""
        with open_record(place or self.place).reading() as connection:
            found = listed(connection)
        assert all(row.flown for row in found)
        return sorted(row.number for row in found)

    def no_strays(self, *known: str) -> None:
        """Nothing lies in the folder but the record, what is known and drafts that are told apart."""
        ours = {f"record.sqlite{ending}" for ending in _OURS} | set(known)
        drafts = {path.name for path in abandoned(self.folder)}
        found = {path.name for path in self.folder.iterdir()} - drafts
        assert found <= ours, found - ours


class Adding(Trial):
    """Lessons are added one after the other; each that was reported saved must be there, and nothing half."""

    share = 2.0

    def work(self, report: Report) -> None:
        record = open_record(self.place)
        for number in range(LESSONS + 1, LESSONS + 6):
            report(str(add(record, small(number))[0]))

    def judge(self, reported: list[str]) -> str:
        self.sound()
        numbers = self.numbers()
        saved = [int(number) for number in reported]
        assert numbers[:LESSONS] == list(range(1, LESSONS + 1))
        assert numbers[LESSONS:] in (saved, [*saved, LESSONS + len(saved) + 1])  # on the disk, not yet told
        self.no_strays()
        return f"{len(saved)} saved"


class Making(Adding):
    """The first lessons of a record that is not there yet."""

    share = 0.5

    def bring(self) -> None:
        """Nothing is there."""

    def work(self, report: Report) -> None:
        record = open_record(self.place, make=True)
        for number in (1, 2):
            report(str(add(record, small(number))[0]))

    def judge(self, reported: list[str]) -> str:
        open_record(self.place, make=True)
        self.sound()
        saved = [int(number) for number in reported]
        assert self.numbers() in (saved, [*saved, len(saved) + 1])
        self.no_strays()
        return f"{len(saved)} saved"


class BackingUp(Trial):
    """A backup is whole and sound, the earlier one or the new one, or not there."""

    def prepare(self) -> None:
        super().prepare()
        self.copy = Place(path=self.folder / "backup.sqlite")

    def work(self, report: Report) -> None:
        record = open_record(self.place)
        assert self.copy.path is not None
        for lessons in (1, 2):
            copy_to(record, self.copy.path, NEWEST, lambda copy: prove(copy, "the copy"))
            report("copied")
            if lessons == 1:
                add(record, small(LESSONS + 1))

    def judge(self, reported: list[str]) -> str:
        self.sound()
        assert self.copy.path is not None
        self.no_strays("backup.sqlite")
        assert self.numbers()[:LESSONS] == list(range(1, LESSONS + 1))
        if not self.copy.path.exists():
            assert not reported
            return "no backup yet"
        self.sound(self.copy)
        lessons = len(self.numbers(self.copy))
        assert lessons in ({LESSONS + 1} if len(reported) == 2 else {LESSONS, LESSONS + 1})
        return f"a backup of {lessons}"


class Migrating(Trial):
    """A record of the first shape becomes one of today's, or stays; a copy is there if it changed."""

    share = 0.75

    def begin(self) -> None:
        self.oldest = Place(path=self.kept / "record.sqlite")
        assert self.oldest.path is not None
        self.oldest.path.write_bytes(gzip.decompress(FROZEN.read_bytes()))

    def work(self, report: Report) -> None:
        open_record(self.place)
        report("changed")

    def judge(self, reported: list[str]) -> str:
        shape = look(self.place)[1]
        assert shape in ("0001", NEWEST)
        copies = [path for path in kept_copies(self.place) if path not in abandoned(path.parent)]
        assert len(copies) <= 1
        if shape == NEWEST:
            assert look(Place(path=copies[0]))[1] == "0001"
        else:
            assert not reported
        self.sound()
        assert self.numbers() == [1, 2]
        self.no_strays("record-before-change-from-0001.sqlite", "groundref")  # a folder, of a server
        return f"of shape {shape}"


class Importing(Trial):
    """A folder is taken into a record, all of it or nothing."""

    def begin(self) -> None:
        super().begin()
        big = filled(Place(path=self.kept / "other.sqlite"), LESSONS + 6)
        self.export = self.kept / "export"
        write_folder(big, self.export, tabled=plain_table)

    def work(self, report: Report) -> None:
        with brought(self.export, beside=self.folder) as found:
            take(open_record(self.place), found, keep_own=True)
        report("taken")

    def judge(self, reported: list[str]) -> str:
        self.sound()
        lessons = len(self.numbers())
        assert lessons in ({LESSONS + 6} if reported else {LESSONS, LESSONS + 6})
        self.no_strays()
        return f"{lessons} lessons"


class Exporting(Trial):
    """A folder is there whole or not at all, and the next export leaves nothing of one that was killed."""

    share = 0.75

    def prepare(self) -> None:
        super().prepare()
        self.export = self.folder / "export"

    def work(self, report: Report) -> None:
        write_folder(open_record(self.place), self.export, tabled=plain_table)
        report("written")

    def judge(self, reported: list[str]) -> str:
        self.sound()
        drafts = {path.name for path in abandoned_folders(self.folder)}
        self.no_strays("export", *drafts)
        if not self.export.exists():
            assert not reported
            write_folder(open_record(self.place), self.export, tabled=plain_table)
            self.no_strays("export")
            return "a draft left and cleared away" if drafts else "nothing yet"
        with brought(self.export) as found:
            assert len(found.document.lessons) == LESSONS
        return "a whole folder"


class Forgetting(Trial):
    """Somebody is in it with all lessons, or gone without a byte left; the others' lessons are there."""

    share = 0.75

    def work(self, report: Report) -> None:
        record = open_record(self.place)
        forget(record, STUDENTS[0], keep_lessons=False, judged=Judged())
        wipe(record)
        report("forgotten")

    def judge(self, reported: list[str]) -> str:
        record = open_record(self.place)
        self.sound()
        numbers = self.numbers()
        gone = [number for number in range(1, LESSONS + 1) if number % 3 == 0]
        whole = list(range(1, LESSONS + 1))
        self.no_strays()
        if numbers == whole:
            assert not reported
            return "still there"
        assert numbers == [number for number in whole if number not in gone]
        assert where(record, STUDENTS[0].split()[1]) == []
        return "forgotten"
