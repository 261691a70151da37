"""Tries that are over: their recordings at hand for a while, none of them kept unless asked."""

from __future__ import annotations

import secrets
from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from math import degrees
from typing import Final

from groundref.datafile import find
from groundref.record.asked import Asked as Debriefing
from groundref.simulation.by_hand import Flying
from groundref.simulation.by_hand_recording import recorded
from groundref.simulation.lesson import PRACTICE_ELEVATION, PRACTICE_LATITUDE, PRACTICE_LONGITUDE
from groundref.simulation.write import to_bytes
from groundref.units import foot
from groundref.web.trying.asked import HEIGHT, Asked
from groundref.web.work import Parts, Worked

MOST: Final = 32  # tries at hand, some 0.1 MB each
NAME: Final = "flown-on-the-ground.csv"


@dataclass(slots=True)
class Finished:
    """A try that is over.

    Attributes
    ----------
    asked
        What it was flown with.
    parts
        Its recording.
    worked
        Its debrief, once somebody looked.
    """

    asked: Asked
    parts: Parts
    worked: Worked | None = None

    @property
    def debriefing(self) -> Debriefing:
        """How it is debriefed: about the point, in the airplane and above the ground of the try."""
        return Debriefing(
            point=(round(degrees(PRACTICE_LATITUDE), 9), round(degrees(PRACTICE_LONGITUDE), 9)),
            ground_ft=round(PRACTICE_ELEVATION / foot, 3),
            airplane=find(self.asked.airplane, "groundref.aircraft", "aircraft")[0],
        )


@dataclass(slots=True)
class Tries:
    """What the server holds of tries.

    Attributes
    ----------
    most
        That are flown at once.
    idle
        How long a page may say nothing [s]
    flying
        How many are flown now.
    """

    most: int = 8
    idle: float = 90.0
    flying: int = 0
    _finished: OrderedDict[str, Finished] = field(default_factory=OrderedDict)

    def finish(self, asked: Asked, moments: Sequence[Flying]) -> str:
        """Put a try at hand; return the name that it is found under.

        Raises
        ------
        NothingToWorkOnError
            When it was too short.
        """
        began = datetime.now(UTC) - timedelta(seconds=moments[-1].time)
        recording = recorded(moments, asked.task, HEIGHT, began)
        name = secrets.token_urlsafe(12)
        self._finished[name] = Finished(asked, ((NAME, to_bytes(recording, NAME)),))
        while len(self._finished) > MOST:
            self._finished.popitem(last=False)
        return name

    def at_hand(self, name: str) -> Finished | None:
        """Return a try that is over; None where it is not at hand, or no longer."""
        return self._finished.get(name)
