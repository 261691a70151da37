"""A plan in words: the lines that its reports share."""

from __future__ import annotations

import numpy as np

from groundref.detection import named
from groundref.planning import Plan
from groundref.planning.asked import ASSUMED
from groundref.planning.cautions import Caution
from groundref.planning.compass import spoken
from groundref.planning.fit import CEILING, LOOKED, TEACHING, TOLERANCE, Fit
from groundref.planning.pieces import Arc, Leg
from groundref.planning.sight_picture import RollIn
from groundref.reports import words
from groundref.reports.reading import metric
from groundref.units import celsius_zero, degree, foot, hectopascal, inch_hg

_END = np.array([1.0])  # the fraction of a leg where it ends
Fact = tuple[str, str]


def calm(plan: Plan) -> bool:
    """Return whether the plan is for a calm, in which nothing changes on the way round."""
    return plan.inputs.wind_speed == 0.0


def caution(one: Caution) -> str:
    """Return what to be warned of, in the reader's units."""
    return words.sentence(one.says, one.says_metric)


def heading(plan: Plan) -> str:
    """Return what is planned, in one line."""
    inputs = plan.inputs
    way = "right" if inputs.side > 0 else "left"
    return f"Plan: {named.in_sentence(inputs.kind)}, first turn {way}, {inputs.aircraft.title}"


def direction(plan: Plan, angle: float) -> str:
    """Return a direction true, and magnetic behind a stroke where that is known, such as `060/062`."""
    true = words.bearing(angle).removesuffix("°")
    if plan.inputs.variation is None:
        return true
    return f"{true}/{words.bearing(angle - plan.inputs.variation).removesuffix('°')}"


def named_direction(plan: Plan, angle: float) -> str:
    """Return a direction in a sentence, such as `060° true, 062° magnetic`."""
    if plan.inputs.variation is None:
        return f"{words.bearing(angle)} true"
    return f"{words.bearing(angle)} true, {words.bearing(angle - plan.inputs.variation)} magnetic"


def sided(angle: float) -> str:
    """Return bank or crab with its side, such as `14° L`."""
    size = round(abs(angle) / degree)
    return f"{size}°" + ("" if not size else " R" if angle > 0 else " L")


def ahead(angle: float) -> str:
    """Return where a point is from abeam."""
    size = round(abs(angle) / degree)
    return "abeam" if not size else f"{size}° {'ahead' if angle > 0 else 'behind'}"


def above(angle: float) -> str:
    """Return where a point is from the wing line."""
    size = round(abs(angle) / degree)
    return "on it" if not size else f"{size}° {'above' if angle > 0 else 'below'}"


def inputs(plan: Plan) -> list[Fact]:
    """Return what the plan was made from."""
    given, low, high = plan.inputs, plan.extremes.height_min, plan.extremes.height_max
    wind = (
        "calm"
        if calm(plan)
        else f"{named_direction(plan, given.wind_from)} at {words.both_speeds(given.wind_speed)}"
    )
    if given.gust:
        wind += f", gusts {words.speed(given.wind_speed + given.gust)}"
    facts = [
        ("Wind at height", wind),
        ("", f"({given.wind_how.removeprefix('calm, ')})"),
        (
            "Airspeed",
            f"{words.speed(given.calibrated_airspeed)} indicated, {_true(given.true_airspeed)}",
        ),
        (
            "Height",
            f"{_span(low, high)} above the ground, "
            f"{_span(low + given.elevation, high + given.elevation)} above sea level",
        ),
        (
            "Air",
            f"{words.number(given.temperature - celsius_zero)} °C at height, altimeter "
            f"{_setting(given.altimeter)}",
        ),
        ("Airplane", f"{given.aircraft.title}, {given.aircraft.mass:,.0f} kg"),
    ]
    if given.variation is not None:
        facts.append(("Variation", spoken(given.variation)))
    return facts


def _setting(altimeter: float) -> str:
    """Return an altimeter setting [Pa] in both units, that of the reader first."""
    inches, hectopascals = f"{altimeter / inch_hg:.2f} inHg", f"{altimeter / hectopascal:.0f} hPa"
    return f"{hectopascals} ({inches})" if metric() else f"{inches} ({hectopascals})"


def assumptions(plan: Plan) -> list[str]:
    """Return what was assumed, what is usual in one sentence."""
    said = [words for words in plan.inputs.assumptions if not words.startswith(ASSUMED)]
    usual = [
        words.removeprefix(ASSUMED).removesuffix(".")
        for words in plan.inputs.assumptions
        if words.startswith(ASSUMED)
    ]
    return [*said, f"{ASSUMED}{'; '.join(usual)}."] if usual else said


def entry(plan: Plan) -> list[Fact]:
    """Return how the maneuver is entered."""
    way, roll = plan.layout.entry, plan.roll_in
    facts = [
        ("How", way.how),
        ("Track", named_direction(plan, way.track)),
        ("Heading", f"{named_direction(plan, roll.heading)} (crab {sided(roll.crab)})"),
        ("Ground speed", words.both_speeds(roll.ground_speed)),
    ]
    if way.distance is not None and roll.spans is not None:
        spans = f"{roll.spans:.0f} wing spans (common practice, no source)"
        facts.append(("Abeam", f"{words.both_lengths(way.distance)}, {spans}"))
    if roll.depression is not None:
        facts.append(("It sits", f"{_under(roll)} with wings level"))
    if way.bank:
        facts.append(("Roll to", f"{sided(way.bank)}, in {roll.roll_time:.1f} s at the airplane's roll rate"))
    if roll.lead_time is not None:
        lead = f"{roll.lead_time:.1f} s, {words.both_lengths(roll.lead_distance)}, before abeam"
        facts.append(("Begin to roll", lead))
    found = plan.extremes
    crab = "no crab" if calm(plan) else f"crab up to {words.degrees(found.crab_max)}"
    facts.append(("Once through", f"{found.time:.0f} s, {crab}"))
    facts.append(("In all", _in_all(plan)))
    return facts


def fit(plan: Plan) -> list[tuple[str, str, str]]:
    """Return rows of what airspeed, radius and bank ask of each other: name, in this wind, in still air."""
    found = plan.fit
    if found is None:
        return []
    limit = words.degrees(found.bank_limit)
    radius, speed = words.both_lengths(found.radius), words.speed(plan.inputs.true_airspeed)
    verdict = "yes" if found.works else f"no: fly wider, by {words.length(found.wider)}"
    strongest = "none: not even a calm" if found.wind_limit is None else words.speed(found.wind_limit)
    if found.wind_limit is not None and found.wind_limit >= LOOKED * plan.inputs.true_airspeed:
        strongest += " or more"
    rows = [
        (f"{speed}, {radius}, {limit} together", verdict, ""),
        (
            "Bank needed at this radius",
            words.degrees(found.bank_needed),
            words.degrees(found.bank_needed_still),
        ),
        (
            f"Smallest radius with {limit}",
            words.both_lengths(found.radius_needed),
            words.both_lengths(found.radius_needed_still),
        ),
        *_other_limits(found),
        (
            f"Fastest at this radius with {limit}",
            _speed(found.airspeed_needed),
            _speed(found.airspeed_needed_still),
        ),
        (f"Strongest wind at this radius with {limit}", strongest, ""),
    ]
    in_gust = found.bank_needed_gust
    if in_gust is not None:
        gust = words.speed(plan.inputs.wind_speed + plan.inputs.gust)
        rows.insert(2, (f"  if a gust to {gust} held", words.degrees(in_gust), ""))
    return rows


def corners(plan: Plan) -> list[Fact]:
    """Return how the corners of a rectangle fit its sides and the bank; nothing of other kinds."""
    if plan.layout.reference != "rectangle":
        return []
    pieces, air = plan.layout.pieces, plan.inputs.air
    turns = [piece for piece in pieces if isinstance(piece, Arc)]
    legs = [(piece.name, float(piece.at(air, _END).time[0])) for piece in pieces if isinstance(piece, Leg)]
    shortest = min(legs, key=lambda leg: leg[1])
    banks = [piece.steepest(air) for piece in turns]
    return [
        ("Radius of the corners", words.both_lengths(turns[0].radius)),
        (
            "Bank in the corners",
            f"{words.degrees(min(banks))} to {words.degrees(max(banks))} at the steepest",
        ),
        ("Outside of the field", words.both_lengths(plan.layout.entry.distance)),
        ("Straight between corners", f"{shortest[1]:.0f} s or more ({shortest[0]})"),
    ]


def _other_limits(found: Fit) -> list[tuple[str, str, str]]:
    """Return the radius at other limits than the one planned with."""
    rows = (
        (CEILING, "  with 45°, the handbook's ceiling", found.radius_at_ceiling),
        (TEACHING, "  with 30° (common practice, no source)", found.radius_at_teaching),
    )
    return [
        (name, words.both_lengths(radius), "")
        for limit, name, radius in rows
        if abs(limit - found.bank_limit) > TOLERANCE
    ]


_TIMES = {
    "turns-around-a-point": ("lap", 1.0),
    "s-turns": ("half circle", 2.0),
    "rectangular-course": ("circuit", 1.0),
    "steep-turns": ("turn", 0.0),
}  # what is counted, and how many of them are once through; 0 where all of them are


def _in_all(plan: Plan) -> str:
    """Return how often it is flown and how long that takes."""
    laps = plan.inputs.laps
    name, once = _TIMES.get(plan.inputs.kind, ("eight", 1.0))
    counted = f"{laps:g} {name}{'' if laps == 1 else 's'}"
    if not once:
        return counted
    return f"{counted}, {plan.extremes.time * laps / once / 60:.1f} min"


def _true(speed: float) -> str:
    return f"{words.both_speeds(speed)} true"


def _span(low: float, high: float) -> str:
    """Return a range of lengths, one number where both are the same."""
    if high - low < 0.5 * foot:
        return words.both_lengths(low)
    (unit, name), (other, beside) = words.length_units()
    said = f"{words.number(low / unit)} to {words.number(high / unit)} {name}"
    return f"{said} ({low / other:,.0f} to {high / other:,.0f} {beside})"


def _speed(speed: float | None) -> str:
    return "none faster than the wind" if speed is None else f"{words.speed(speed)} true"


def _under(roll: RollIn) -> str:
    """Return where the point sits when abeam, wings level."""
    sits = f"{words.degrees(roll.depression)} below the horizon"
    if roll.hidden is None:
        return sits
    return f"{sits}, {'hidden by the wing' if roll.hidden else 'in sight'} from the left seat"
