"""The program killed at random moments, 150 times: nothing that was reported saved is lost.

`bench/kills.py` does the same thousands of times, and on a server all kinds of work.
"""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
from pathlib import Path

from groundref.record.place import Place
from tests.record.killing import SERVER, TRIALS

ROOT = Path(__file__).parents[2]
KILLS = 150


def kills(*words: str, **more: str) -> dict[str, dict[str, object]]:
    """Run the kills in a process of its own, which has no threads that a fork would lose."""
    seed = random.SystemRandom().randrange(2**31)
    print("seed", seed)  # shown when it fails; the same seed kills at the same moments
    path = os.pathsep.join([str(ROOT), str(ROOT / "src")])
    done = subprocess.run(
        [sys.executable, "-m", "tests.record.killing", "--seed", str(seed), *words],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": path, "OPENBLAS_NUM_THREADS": "1", **more},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    print(done.stdout)
    told.pop("seed")
    return dict(told)


def test_nothing_is_lost_when_the_program_is_killed() -> None:
    told = kills("--kills", str(KILLS))
    assert told.keys() >= {name for name in TRIALS if not name.endswith("-on-server")}
    assert {name: found["wrong"] for name, found in told.items() if found["wrong"]} == {}
    met = sum(int(str(found["kills"])) for found in told.values())
    assert met >= 0.9 * KILLS


def test_nothing_is_lost_on_either_engine_when_the_client_is_killed(place: Place) -> None:
    if place.path is not None:
        told = kills("--kills", "10", "--only", "add")["add"]
    else:
        server = {SERVER: place.server or ""}
        told = kills("--kills", "15", "--only", "add-on-server", **server)["add-on-server"]
    assert told["wrong"] == []
    assert int(str(told["kills"])) >= 8
