"""Kills a program at random moments while it works on a record, and looks at what is left.

A warm process forks a child for each attempt; the child does the work and tells through a pipe what it has
reported as done; the parent sends SIGKILL after a time drawn evenly from the time that the work takes. Run as
a program it prints the counts as JSON: `python -m tests.record.killing --kills 200 --seed 1`.
"""

from __future__ import annotations

import argparse
import gzip
import json
import os
import random
import shutil
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Final

from groundref.export import to_table
from groundref.record.checking import check
from groundref.record.copying import abandoned, copy_to
from groundref.record.folder.read import brought
from groundref.record.folder.take import take
from groundref.record.folder.write import write_folder
from groundref.record.forgetting import Judged, forget
from groundref.record.lessons import add, listed
from groundref.record.migrations import NEWEST
from groundref.record.place import Place, place_of
from groundref.record.restoring import prove
from groundref.record.store import look, open_record
from groundref.record.wiping import wipe
from tests.record.leftovers import where
from tests.record.small import STUDENTS, filled, small

Report = Callable[[str], None]
FROZEN: Final = Path(__file__).parents[1] / "data" / "record-0001.sqlite.gz"
_LESSONS: Final = 6  # in a record to begin with
SERVER: Final = "GROUNDREF_KILL_SERVER"  # names an empty database that kills may be tried on
_MEMORY: Final = Path("/dev/shm")
_OURS: Final = ("", "-wal", "-shm")


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
        self.place = Place(path=folder / "record.sqlite")
        self.kept = folder.with_name(folder.name + "-kept")
        self.kept.mkdir()
        self.begin()

    def begin(self) -> None:
        """Make what each attempt starts from, once."""
        self.start = Place(path=self.kept / "record.sqlite")
        filled(self.start, _LESSONS)

    def prepare(self) -> None:
        """Put what it starts from in place."""
        shutil.rmtree(self.folder, ignore_errors=True)
        self.folder.mkdir(mode=0o700)
        assert self.start.path is not None
        assert self.place.path is not None
        shutil.copy(self.start.path, self.place.path)
        self.place.path.chmod(0o600)

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
        assert self.place.path is not None
        ours = {self.place.path.name + ending for ending in _OURS} | set(known)
        drafts = {path.name for path in abandoned(self.folder)}
        found = {path.name for path in self.folder.iterdir()} - drafts
        assert found <= ours, found - ours


class Adding(Trial):
    """Lessons are added one after the other; each that was reported saved must be there, and nothing half."""

    share = 2.0

    def work(self, report: Report) -> None:
        record = open_record(self.place)
        for number in range(_LESSONS + 1, _LESSONS + 6):
            report(str(add(record, small(number))[0]))

    def judge(self, reported: list[str]) -> str:
        self.sound()
        numbers = self.numbers()
        saved = [int(number) for number in reported]
        assert numbers[:_LESSONS] == list(range(1, _LESSONS + 1))
        assert numbers[_LESSONS:] in (saved, [*saved, _LESSONS + len(saved) + 1])  # on the disk, not yet told
        self.no_strays()
        return f"{len(saved)} saved"


class AddingOnServer(Trial):
    """The same on a server, which stays when the program is killed; the record goes on from kill to kill."""

    share = 0.25

    def begin(self) -> None:
        self.place = place_of(os.environ[SERVER])
        open_record(self.place, make=True)

    def prepare(self) -> None:
        self.before = self.numbers()

    def work(self, report: Report) -> None:
        record = open_record(self.place)
        for number in range(len(self.before) + 1, len(self.before) + 4):
            report(str(add(record, small(number))[0]))

    def judge(self, reported: list[str]) -> str:
        with open_record(self.place).writing():
            pass  # the server may still be at the last thing that it was told
        self.sound()
        after = self.numbers()[len(self.before) :]
        saved = [int(number) for number in reported]
        assert after in (saved, [*saved, len(self.before) + len(saved) + 1])
        return f"{len(saved)} saved"


class Making(Adding):
    """The first lessons of a record that is not there yet."""

    share = 0.5

    def prepare(self) -> None:
        shutil.rmtree(self.folder, ignore_errors=True)
        self.folder.mkdir(mode=0o700)

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
                add(record, small(_LESSONS + 1))

    def judge(self, reported: list[str]) -> str:
        self.sound()
        assert self.copy.path is not None
        self.no_strays("backup.sqlite")
        assert self.numbers()[:_LESSONS] == list(range(1, _LESSONS + 1))
        if not self.copy.path.exists():
            assert not reported
            return "no backup yet"
        self.sound(self.copy)
        lessons = len(self.numbers(self.copy))
        assert lessons in ({_LESSONS + 1} if len(reported) == 2 else {_LESSONS, _LESSONS + 1})
        return f"a backup of {lessons}"


class Migrating(Trial):
    """A record of the first shape becomes one of today's, or stays; a copy is there if it changed."""

    share = 0.75

    def begin(self) -> None:
        self.start = Place(path=self.kept / "record.sqlite")
        assert self.start.path is not None
        self.start.path.write_bytes(gzip.decompress(FROZEN.read_bytes()))

    def work(self, report: Report) -> None:
        open_record(self.place)
        report("changed")

    def judge(self, reported: list[str]) -> str:
        shape = look(self.place)[1]
        assert shape in ("0001", NEWEST)
        copy = self.folder / "record-before-change-from-0001.sqlite"
        if shape == NEWEST:
            assert look(Place(path=copy))[1] == "0001"
        else:
            assert not reported
        self.sound()
        assert self.numbers() == [1, 2]
        self.no_strays(copy.name)
        return f"of shape {shape}"


class Importing(Trial):
    """A folder is taken into a record, all of it or nothing."""

    def begin(self) -> None:
        super().begin()
        big = filled(Place(path=self.kept / "other.sqlite"), _LESSONS + 6)
        self.export = self.kept / "export"
        write_folder(big, self.export, tabled=to_table)

    def work(self, report: Report) -> None:
        with brought(self.export, beside=self.folder) as found:
            take(open_record(self.place), found, keep_own=True)
        report("taken")

    def judge(self, reported: list[str]) -> str:
        self.sound()
        lessons = len(self.numbers())
        assert lessons in ({_LESSONS + 6} if reported else {_LESSONS, _LESSONS + 6})
        self.no_strays()
        return f"{lessons} lessons"


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
        gone = [number for number in range(1, _LESSONS + 1) if number % 3 == 0]
        whole = list(range(1, _LESSONS + 1))
        self.no_strays()
        if numbers == whole:
            assert not reported
            return "still there"
        assert numbers == [number for number in whole if number not in gone]
        assert where(record, STUDENTS[0].split()[1]) == []
        return "forgotten"


TRIALS: Final[dict[str, type[Trial]]] = {
    "make": Making,
    "add": Adding,
    "add-on-server": AddingOnServer,
    "backup": BackingUp,
    "migrate": Migrating,
    "import": Importing,
    "forget": Forgetting,
}


def attempt(work: Callable[[Report], None], delay: float | None) -> tuple[list[str], bool, float]:
    """Do something in a child and kill it.

    Parameters
    ----------
    work
        Told how to report what is done.
    delay
        After which it is killed [s]; None to let it end by itself.

    Returns
    -------
    tuple
        What it reported, whether the kill met it alive, and how long it ran [s].
    """
    reading, writing = os.pipe()
    began = time.perf_counter()
    child = os.fork()
    if child == 0:
        status = 1
        try:
            os.close(reading)
            work(lambda word: _tell(writing, word))
            status = 0
        finally:
            os._exit(status)
    os.close(writing)
    if delay is not None:
        time.sleep(delay)
        os.kill(child, signal.SIGKILL)
    with os.fdopen(reading) as pipe:
        reported = pipe.read().split()
    _, status = os.waitpid(child, 0)
    killed = os.WIFSIGNALED(status)
    assert killed or os.waitstatus_to_exitcode(status) == 0, "the work failed by itself"
    return reported, killed, time.perf_counter() - began


def _tell(pipe: int, word: str) -> None:
    os.write(pipe, f"{word}\n".encode())


def run(name: str, kills: int, seed: int, folder: Path) -> dict[str, object]:
    """Kill one kind of work so often that the kill met it; return counts, and what went wrong."""
    rng = random.Random(f"{seed} {name}")
    (folder / name).mkdir()
    trial = TRIALS[name](folder / name)
    trial.prepare()
    lasts = attempt(trial.work, None)[2]
    found: Counter[str] = Counter()
    wrong: list[str] = []
    met = attempts = 0
    while met < kills and attempts < 3 * kills:
        attempts += 1
        trial.prepare()
        delay = rng.uniform(0.0, lasts)
        reported, killed, _ = attempt(trial.work, delay)
        met += killed
        lasts *= 1.04 if killed else 0.92  # as busy as the machine is now, so that late moments are met too
        try:
            found[trial.judge(reported)] += 1
        except Exception as problem:
            wrong.append(f"attempt {attempts}, after {delay:.4f} s: {type(problem).__name__}: {problem}")
    return {
        "kills": met,
        "attempts": attempts,
        "lasts_s": round(lasts, 4),
        "found": dict(found),
        "wrong": wrong,
    }


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--seed", type=int, default=random.SystemRandom().randrange(2**31))
    parser.add_argument("--only", choices=TRIALS)
    asked = parser.parse_args()
    there = [name for name in TRIALS if name != "add-on-server" or SERVER in os.environ]
    names = there if asked.only is None else [asked.only]
    shares = sum(TRIALS[name].share for name in names)
    told: dict[str, object] = {"seed": asked.seed}
    # In memory where there is such a place: what a killed program wrote is kept by the system either way.
    with tempfile.TemporaryDirectory(dir=_MEMORY if _MEMORY.is_dir() else None) as folder:
        for name in names:
            kills = round(asked.kills * TRIALS[name].share / shares)
            told[name] = run(name, kills, asked.seed, Path(folder))
    json.dump(told, sys.stdout, indent=1, ensure_ascii=False)
    print()


if __name__ == "__main__":
    main()
