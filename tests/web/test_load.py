"""Several users at once, for a few seconds: nobody meets an error, and memory does not run away.

How quick it is depends on the machine and stands in no test: `python -m bench.page` measures that.
"""

from __future__ import annotations

import os
from concurrent.futures import ThreadPoolExecutor

from bench.page_users import memory_of, together

from groundref.simulation.lesson import simulate
from groundref.simulation.write import to_bytes


def test_users_at_once_meet_no_error(address: str) -> None:
    recordings = [to_bytes(simulate(seed=seed)[0], "lesson.gpx") for seed in (1, 2)]
    with ThreadPoolExecutor(1) as aside:  # a browser that other tests drive may have a loop in this thread
        seen = aside.submit(
            together,
            address,
            recordings,
            users=6,
            seconds=5.0,
            # The server is a thread of this process, its workers are children.
            measured=lambda: sum(memory_of(os.getpid()).values()),
            pause=(0.1, 0.3),
        ).result()
    assert seen.errors == []
    assert len(seen.debriefs) >= 6
    assert max(seen.memory) - seen.memory[0] < 1 << 30
