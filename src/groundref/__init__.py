"""Turn a recorded flight into a debrief of the ground reference maneuvers flown in it.

The names below are loaded when first used, so that importing the package is quick.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from groundref.aircraft.aircraft import Aircraft as Aircraft
    from groundref.aircraft.loading import load_aircraft as load_aircraft
    from groundref.assessment.assess import assess as assess
    from groundref.assessment.assessed import Finding as Finding
    from groundref.debriefing import Debrief as Debrief
    from groundref.debriefing import debrief as debrief
    from groundref.detection.detect import detect as detect
    from groundref.detection.maneuver import Lap as Lap
    from groundref.detection.maneuver import Maneuver as Maneuver
    from groundref.estimation.estimate import estimate as estimate
    from groundref.estimation.states import States as States
    from groundref.estimation.wind_value import Wind as Wind
    from groundref.geo.frame import LocalFrame as LocalFrame
    from groundref.planning.planned import Plan as Plan
    from groundref.planning.planned import plan as plan
    from groundref.readers import read as read
    from groundref.simulation import simulate as simulate
    from groundref.standards.loading import load_standard as load_standard
    from groundref.standards.standard import Standard as Standard
    from groundref.track.clean import clean as clean
    from groundref.track.recording import Recording as Recording
    from groundref.track.track import Track as Track

    __version__: str

_HOMES: Final = {
    "Aircraft": "groundref.aircraft.aircraft",
    "Debrief": "groundref.debriefing",
    "Finding": "groundref.assessment.assessed",
    "Lap": "groundref.detection.maneuver",
    "LocalFrame": "groundref.geo.frame",
    "Maneuver": "groundref.detection.maneuver",
    "Plan": "groundref.planning.planned",
    "Recording": "groundref.track.recording",
    "Standard": "groundref.standards.standard",
    "States": "groundref.estimation.states",
    "Track": "groundref.track.track",
    "Wind": "groundref.estimation.wind_value",
    "assess": "groundref.assessment.assess",
    "clean": "groundref.track.clean",
    "debrief": "groundref.debriefing",
    "detect": "groundref.detection.detect",
    "estimate": "groundref.estimation.estimate",
    "load_aircraft": "groundref.aircraft.loading",
    "load_standard": "groundref.standards.loading",
    "plan": "groundref.planning.planned",
    "read": "groundref.readers",
    "simulate": "groundref.simulation",
}
__all__ = sorted(_HOMES)


def __getattr__(name: str) -> Any:
    """Load a public name from the module that it lives in."""
    if name == "__version__":
        from importlib.metadata import version

        return version("groundref")
    if name not in _HOMES:
        raise AttributeError(f"module 'groundref' has no attribute {name!r}")
    return getattr(import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    """List the public names without loading them."""
    return [*__all__, "__version__"]
