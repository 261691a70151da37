"""How elements of the standard and common errors are known: by what is compared, and by error."""

from __future__ import annotations

from typing import Final

from groundref.reports.known.entry import CHOSEN, COUNTED, DERIVED, MEASURED, Known

_START: Final = "the five seconds before the turn were not what was to be held"
_IN_STEP: Final = "an airspeed that was not recorded rises and falls once a lap"
_PLACE: Final = "the place was not where it is taken to have been"
_WIND: Final = "the wind was another"
_UNCOORDINATED: Final = "the turn was not coordinated"
_WORST: Final = ("elements.worst",)
_SIZE: Final = ("findings.size",)


def _worst(how: str, says: str, wrong: str) -> Known:
    return Known(_WORST, how, says, wrong, cannot="it was not measured")


def _size(says: str, wrong: str) -> Known:
    return Known(_SIZE, DERIVED, says, wrong)


QUANTITIES: Final = {
    "altitude": _worst(
        MEASURED,
        "altitude as recorded, against its mean over the five seconds before the turn, or the median"
        " where the"
        " start was not recorded",
        _START,
    ),
    "airspeed": _worst(
        DERIVED,
        "airspeed, as recorded or else ground velocity less the wind, against its mean over the five seconds"
        " before the turn; where it was not recorded, a part of the wind may be an airspeed that rises and"
        " falls once a lap, which the uncertainty counts in, and round a point it is called held only where"
        " all of the 95% lies within the limit",
        f"{_START}, or {_IN_STEP}",
    ),
    "height-band": _worst(
        DERIVED, "altitude less the elevation of the ground", "the ground lies higher or lower there"
    ),
    "bank": _worst(
        DERIVED,
        "bank as recorded, else from how sharply the path bends, between rolling in and rolling out",
        _UNCOORDINATED,
    ),
    "bank-held": _worst(
        DERIVED,
        "bank, a mean of 3 s, between rolling in and rolling out, against the bank asked for",
        _UNCOORDINATED,
    ),
    "rollout-heading": _worst(
        DERIVED,
        "heading in straight flight after the turn less that before it; the track corrected by the wind where"
        " no heading was recorded",
        _WIND,
    ),
    "entry": _worst(DERIVED, "track just before the turn against the direction the wind blows to", _WIND),
    "entry-angle": _worst(
        DERIVED, "track of the entry against the first leg", "the first leg lies otherwise"
    ),
    "radius": _worst(DERIVED, "distance from the place turned about, less the mean radius", _PLACE),
    "crossing": _worst(
        DERIVED, "track at the crossing against the direction square to the line", "the line lies askew"
    ),
    "level-at-line": _worst(
        DERIVED,
        "bank at the moment of the crossing",
        "the line lies a second of flight off, some 10° of bank",
    ),
    "leg-distance": _worst(
        DERIVED,
        "mean distance of each leg outside its side, against their mean",
        "the sides, fitted to the flight, are not those of the field",
    ),
    "pylon": _worst(
        DERIVED, "direction to the pylon against the wing line, by place, heading and bank", _PLACE
    ),
    "pivotal-height": _worst(
        DERIVED,
        "height above the pylon less true airspeed × ground speed × cos(crab) ÷ g, moment by moment",
        "the ground, the airspeed or the wind was another",
    ),
    "straight-segment": _worst(DERIVED, "how long the wings were level", "rolling was slow"),
    "coordination": _worst(
        MEASURED, "lateral acceleration as recorded, less its median in level flight", "the sensor was tilted"
    ),
}

LIMITS: Final = (
    Known(
        ("elements.limit", "elements.minimum", "elements.target"),
        CHOSEN,
        "from the standard that the debrief was asked for; beside it stands whether it is printed there, a"
        " handbook's advice or common practice",
        "another standard applies",
        sure="Exact",
        cannot="no number is printed",
    ),
    Known(
        ("findings.consequence_ft",),
        DERIVED,
        "how far the path opened or closed on the ground by it",
        sd=("findings.consequence_sd_ft",),
        cannot="it cannot be told what it led to over the ground",
    ),
    Known(
        ("findings.strength",),
        DERIVED,
        "the size over the one that is worth a word to an instructor; the order of the findings",
        sure="As sure as the size",
    ),
    Known(
        ("findings.laps", "corners.lap", "turns.lap", "pivotal.loops.loop"),
        COUNTED,
        "from 1, in the order flown",
    ),
)

FAULTS: Final = {
    "bank-held-constant": _size(
        "1 − the slope of bank flown against bank needed (tan bank = ground speed² ÷ (g × radius × cos"
        " crab)),"
        " whole laps: the share of the change that was not made",
        f"{_WIND}, or {_UNCOORDINATED}",
    ),
    "overbanked-upwind": _size(
        "largest error held for 5 s in the 120° about flying upwind: bank flown less needed"
        " (tan bank = ground speed² ÷ (g × radius × cos crab))",
        f"another radius was meant, or {_UNCOORDINATED}",
    ),
    "underbanked-downwind": _size(
        "largest error held for 5 s in the 120° about flying downwind: bank needed"
        " (tan bank = ground speed² ÷ (g × radius × cos crab)) less flown",
        f"another radius was meant, or {_UNCOORDINATED}",
    ),
    "late-turn-entry": _size("time from abeam the point to half of the bank", _PLACE),
    "entry-not-downwind": _size("track just before the turn against where the wind blows to", _WIND),
    "entry-too-close": _size("distance abeam, less the circle that was flown once round", _PLACE),
    "entry-too-far": _size("distance abeam, less the circle that was flown once round", _PLACE),
    "circle-off-point": _size(
        "from the point to the mean of the centers of the circles fitted to each whole lap alone",
        "another point was meant",
    ),
    "radius-changed": _size(
        "largest less smallest distance from the place, medians over laps or eighths", _PLACE
    ),
    "bank-over-limit": _size("steepest bank less the limit", _UNCOORDINATED),
    "altitude-not-held": _size("altitude as recorded, against that before the turn", _START),
    "airspeed-not-held": _size("airspeed against that before the turn", f"{_START}, or {_IN_STEP}"),
    "outside-height-band": _size(
        "altitude less the elevation of the ground, beyond the band", "the ground lies higher or lower there"
    ),
    "uncoordinated": _size(
        "lateral acceleration as recorded, a mean of 5 s, less that in level flight", "the sensor was tilted"
    ),
    "wrong-crab": _size(
        "crab flown less the crab that holds the course: sin(crab) = wind across ÷ true airspeed", _WIND
    ),
    "unequal-half-circles": _size(
        "mean radius of the half circles on one side of the line less that on the other",
        "the line lies elsewhere",
    ),
    "not-level-at-line": _size("bank at the moment of the crossing", "the line lies a second of flight off"),
    "pivotal-altitude-not-followed": _size(
        "height above the pylon less true airspeed × ground speed × cos(crab) ÷ g, the mean over a loop",
        "the ground, the airspeed or the wind was another",
    ),
    "straight-legs-not-straight": _size("swing of the track about its mean on a leg", "the air was rough"),
    "leg-distance-uneven": _size(
        "largest less smallest mean distance of the legs from their sides",
        "the sides, fitted to the flight, are not those of the field",
    ),
    "bank-not-held": _size("bank, a mean of 3 s, against the bank asked for", _UNCOORDINATED),
    "rollout-heading-missed": _size("heading after the turn less that before it", _WIND),
}
