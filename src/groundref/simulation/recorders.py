"""The recorders by name."""

from __future__ import annotations

from dataclasses import replace
from typing import Final, Protocol

from groundref.errors import UsageError
from groundref.simulation.adsb import Adsb
from groundref.simulation.avionics import Avionics
from groundref.simulation.phone import Phone
from groundref.simulation.sensing import Chance
from groundref.simulation.truth import Truth
from groundref.track.recording import Recording

__all__ = ["RECORDERS", "Adsb", "Avionics", "Phone", "Recorder", "at_setting", "named_recorder"]


class Recorder(Protocol):
    """Makes a recording of a true flight."""

    def record(self, truth: Truth, chance: Chance) -> Recording:
        """Return what the recorder wrote."""


RECORDERS: Final[dict[str, Recorder]] = {"phone": Phone(), "avionics": Avionics(), "adsb": Adsb()}


def named_recorder(recorder: str | Recorder, interval: float | None = None) -> Recorder:
    """Return a recorder by its name, or the one given, with another interval where one is given.

    Parameters
    ----------
    recorder
        `phone`, `avionics`, `adsb` or a recorder.
    interval
        Time between samples [s]

    Raises
    ------
    UsageError
        When the name is unknown or the interval out of range.
    """
    if isinstance(recorder, str):
        if recorder not in RECORDERS:
            raise UsageError(f"{recorder!r} is not a recorder", "recorder", "choose " + ", ".join(RECORDERS))
        recorder = RECORDERS[recorder]
    if interval is None:
        return recorder
    if not 0.02 <= interval <= 60.0:
        raise UsageError("the interval is out of range", "interval", "choose 0.02 to 60 s")
    if not isinstance(recorder, Phone | Avionics | Adsb):
        raise UsageError("this recorder has no interval to change", "interval", "leave it out")
    return replace(recorder, interval=interval)


def at_setting(recorder: str, setting: float) -> Recorder:
    """Return a recorder by its name on a day with another altimeter setting; a phone knows of none.

    Parameters
    ----------
    recorder
        `phone`, `avionics` or `adsb`.
    setting
        QNH [Pa]

    Raises
    ------
    UsageError
        Where there is no such recorder.
    """
    named = named_recorder(recorder)
    if not isinstance(named, Avionics | Adsb):
        return named
    return replace(named, day=replace(named.day, altimeter_setting=setting))
