"""What every flight of a maneuver asks for: clearing, scan, when to leave it, what if the engine stops."""

from __future__ import annotations

from groundref.planning import Plan
from groundref.reports import words

PRACTICE = "common practice, no source"


def safety(plan: Plan) -> list[tuple[str, str]]:
    """Return each by its name, with the plan's numbers.

    Parameters
    ----------
    plan
        What was planned.
    """
    limit = words.degrees(plan.inputs.bank_limit)
    return [
        (
            "Clear",
            "two turns of 90° or one of 180° before the entry; say where you are; look below the wing.",
        ),
        (
            "Scan",
            "outside most of the time: traffic, reference, horizon; each quarter one glance at altimeter, "
            "airspeed and ball.",
        ),
        (
            "Leave",
            f"wings level and climb: {_floor(plan)}, more than {limit} of bank, traffic, reference lost.",
        ),
        ("Engine out", _engine_out(plan)),
        ("Stall", _stall(plan)),
    ]


def _floor(plan: Plan) -> str:
    """Return the height to leave at: the highest of what rules and standard ask for, where they are known."""
    heights = plan.safety.heights
    known = [each for each in (heights.least, heights.band_low) if each is not None]
    return (
        f"below {words.length(max(known))} above the ground"
        if known
        else "below the height agreed: ______ ft"
    )


def _engine_out(plan: Plan) -> str:
    found, plane = plan.safety.engine_out, plan.inputs.aircraft
    said = (
        f"{words.speed(plane.glide_speed)} best glide, turn to the field chosen before (a half turn costs "
        f"{words.length(found.half_turn_loss)} at {words.degrees(found.bank)}), then the checklist."
    )
    landing = found.landing
    if landing is None:
        return f"{said} Field: ____________"
    if landing.least < 0.0:
        return f"{said} The place chosen is out of reach from “{plan.schedule.name[landing.worst]}”."
    left = words.length(landing.least)
    return f"{said} The place chosen is reached from everywhere, with {left} left at the worst."


def _stall(plan: Plan) -> str:
    found = plan.safety.margins
    return (
        f"at {words.speed(found.stall_speed)} in the steepest bank (load factor {found.load_factor:.2f}), "
        f"{words.speed_between(found.airspeed, found.stall_speed)} below the plan’s airspeed."
    )
