"""Kills a program at random moments while it works on a record, and looks at what is left.

A warm process forks a child for each attempt; the child does the work and tells through a pipe what it has
reported as done; the parent sends SIGKILL after a time drawn evenly from the time that the work takes. Run as
a program it prints a line for each kind of work as it goes, and the counts as JSON at the end:
`python -m tests.record.killing --kills 200 --seed 1`.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Final

from tests.record import trials, trials_on_server
from tests.record.trials import Report, Trial
from tests.record.trials_on_server import SERVER

_MEMORY: Final = Path("/dev/shm")

TRIALS: Final[dict[str, type[Trial]]] = {
    "make": trials.Making,
    "add": trials.Adding,
    "backup": trials.BackingUp,
    "migrate": trials.Migrating,
    "import": trials.Importing,
    "export": trials.Exporting,
    "forget": trials.Forgetting,
    "add-on-server": trials_on_server.AddingOnServer,
    "make-on-server": trials_on_server.MakingOnServer,
    "backup-on-server": trials_on_server.BackingUpOnServer,
    "migrate-on-server": trials_on_server.MigratingOnServer,
    "import-on-server": trials_on_server.ImportingOnServer,
    "export-on-server": trials_on_server.ExportingOnServer,
    "forget-on-server": trials_on_server.ForgettingOnServer,
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
            if status:
                traceback.print_exc()
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
            trial.settle()
            found[trial.judge(reported)] += 1
        except Exception as problem:
            wrong.append(f"attempt {attempts}, after {delay:.4f} s: {type(problem).__name__}: {problem}")
    trial.end()
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
    there = [name for name in TRIALS if not name.endswith("-on-server") or SERVER in os.environ]
    names = there if asked.only is None else [asked.only]
    shares = sum(TRIALS[name].share for name in names)
    told: dict[str, object] = {"seed": asked.seed}
    # In memory where there is such a place: what a killed program wrote is kept by the system either way.
    with tempfile.TemporaryDirectory(dir=_MEMORY if _MEMORY.is_dir() else None) as folder:
        for name in names:
            kills = round(asked.kills * TRIALS[name].share / shares)
            found = run(name, kills, asked.seed, Path(folder))
            print(f"{name}: {json.dumps(found, ensure_ascii=False)}", file=sys.stderr, flush=True)
            told[name] = found
    json.dump(told, sys.stdout, indent=1, ensure_ascii=False)
    print()


if __name__ == "__main__":
    main()
