"""Cautions on airplane, air and light: specific to the plan, each with the numbers it rests on."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Final

from groundref.measures import length, speed, stated_length
from groundref.planning.cautions import Caution, Weight
from groundref.planning.daylight import Daylight
from groundref.planning.inputs import Inputs
from groundref.planning.margins import Margins
from groundref.planning.quiet import Quiet
from groundref.planning.safety import Safety, ThinAir
from groundref.planning.safety_cautions_low import engine_cautions, height_cautions
from groundref.planning.schedule import Schedule
from groundref.standards.loading import load_standard
from groundref.standards.standard import Element
from groundref.units import degree, foot, knot, minute

COMFORTABLE: Final = 1.3
"""Airspeed over the stall speed in the turn below which care is said; common practice, no source."""
SLOW: Final = 10 * knot
"""Airspeed tolerance where the standard has none: PA.V.B.S7."""
DUSK: Final = timedelta(minutes=30)
"""Before sunset; common practice, no source."""
GLARE: Final = 15 * degree
"""Elevation of the sun below which it dazzles; common practice, no source."""
QUIET: Final = 2000 * foot
"""Above and beside a place that wants quiet: AC 91-36D (17 September 2004), advice."""
THIN: Final = 1.05
"""True over calibrated airspeed from which the effect on the radius, 10 %, is said."""
_ROUNDING: Final = 1e-9


def safety_cautions(inputs: Inputs, found: Safety, schedule: Schedule) -> list[Caution]:
    """Return what to be warned of for safety, in no order.

    Parameters
    ----------
    inputs, schedule
        Of the plan.
    found
        What was computed.
    """
    return [
        *_of_stall(inputs, found.margins),
        *_of_limits(inputs, found.margins),
        *_of_standard(inputs, found.margins),
        *height_cautions(inputs, found.heights),
        *engine_cautions(inputs, found.engine_out, schedule),
        *_of_quiet(found.quiet, schedule),
        *_of_light(found.daylight),
        *_of_air(inputs, found.thin_air),
    ]


def _of_stall(inputs: Inputs, found: Margins) -> list[Caution]:
    """Return a word on the nearness of the stall, in smooth air or else in the gusts."""
    held = (
        f"At {found.bank / degree:.0f}° of bank the stall is at {speed(found.stall_speed)} "
        f"(load factor {found.load_factor:.2f}, {found.mass:,.0f} kg, clean)"
    )
    left, allowed = found.above_stall, _tolerance(inputs)
    if left <= allowed:
        says = f"{held}, {speed(left)} below the plan's airspeed: {speed(allowed)} slow stalls."
        return [Caution(Weight.STOP, "stall-margin", says, "load factor 1/cos bank, FAA-H-8083-25")]
    gusty = found.above_stall_in_gust
    if gusty is None:
        says = f"With the gusts of {speed(inputs.gust)} on top of the wind it cannot be flown at all."
        return [Caution(Weight.STOP, "gusts", says)]
    gust = f"a gust of {speed(inputs.gust)}"
    if inputs.gust > 0.0 and gusty <= 0.0:
        says = f"{held}; {gust} from behind can take the airspeed below it at the gust's bank."
        return [Caution(Weight.STOP, "gusts", says)]
    said = []
    if found.airspeed < COMFORTABLE * found.stall_speed:
        says = f"{held}, {speed(left)} below the plan's airspeed: less than 1.3 times."
        said.append(Caution(Weight.CARE, "stall-margin", says, "1.3: common practice, no source"))
    if inputs.gust > 0.0 and found.bank_in_gust is not None:
        steeper, bank = f"{found.bank_in_gust / degree:.0f}°", f"{found.bank / degree:.0f}°"
        change = "stays" if steeper == bank else "becomes"
        says = (
            f"In {gust} the steepest bank of {bank} {change} {steeper}, with {speed(gusty)} left "
            "above the stall."
        )
        over = found.bank_in_gust > inputs.bank_limit * (1.0 + _ROUNDING)
        said.append(Caution(Weight.CARE if over else Weight.NOTE, "gusts", says))
    return said


def _of_limits(inputs: Inputs, found: Margins) -> list[Caution]:
    """Return a word on bank, load factor and speed against the airplane's limits."""
    said, plane = [], inputs.aircraft
    if found.bank > plane.max_bank * (1.0 + _ROUNDING):
        says = (
            f"The steepest bank of {found.bank / degree:.0f}° is above the {plane.max_bank / degree:.0f}° "
            f"that {plane.name} is limited to."
        )
        said.append(Caution(Weight.STOP, "bank-above-airplane", says, plane.source))
    if found.load_factor > found.limit_load_factor:
        says = (
            f"The load factor of {found.load_factor:.2f} is above the limit of {found.limit_load_factor:.1f}."
        )
        said.append(Caution(Weight.STOP, "load-factor", says, plane.source))
    flown, most = inputs.calibrated_airspeed, found.maneuvering_speed
    steep = inputs.kind == "steep-turns"
    if flown > most * (1.0 + _ROUNDING) and (steep or inputs.gust > 0.0):
        says = (
            f"{speed(flown)} is above the maneuvering speed of {speed(most)} at "
            f"{found.mass:,.0f} kg: {'steep turns' if steep else 'gusts'} want it or less."
        )
        source = "PA.V.A.S2" if steep else "FAA-H-8083-25, maneuvering speed (from memory)"
        said.append(Caution(Weight.STOP if steep else Weight.CARE, "above-maneuvering-speed", says, source))
    top = plane.normal_operating_speed
    if top is not None and flown > top * (1.0 + _ROUNDING):
        says = f"{speed(flown)} is above the normal operating speed of {speed(top)}."
        said.append(Caution(Weight.CARE, "above-normal-operating-speed", says, plane.source))
    return said


def _of_standard(inputs: Inputs, found: Margins) -> list[Caution]:
    """Return a word on a bank that the standard does not allow; the handbook's ceiling has its own."""
    bank = f"{found.bank / degree:.0f}°"
    for one in _elements(inputs):
        if one.limit is None or one.basis == "handbook":
            continue
        source, limit = f"{one.code}, {one.source}", one.limit * degree
        if one.quantity == "bank" and found.bank > limit * (1.0 + _ROUNDING):
            says = f"The steepest bank of {bank} is above the {one.limit:.0f}° of the standard."
            return [Caution(Weight.CARE, "bank-above-standard", says, source)]
        aim = one.target
        if one.quantity == "bank-held" and aim is not None and abs(found.bank - aim * degree) > limit:
            says = f"The standard asks for {aim:.0f}° ± {one.limit:.0f}°, not {bank}."
            return [Caution(Weight.CARE, "bank-off-standard", says, source)]
    return []


def _of_quiet(found: Quiet | None, schedule: Schedule) -> list[Caution]:
    if found is None or not found.too_near:
        return []
    says = (
        f"The path comes within {length(found.distance)} of the place that wants quiet "
        f"({schedule.name[found.position]}), {length(found.height)} above the ground; asked for are "
        f"{stated_length(QUIET)}."
    )
    return [Caution(Weight.CARE, "near-quiet-place", says, "AC 91-36D (17 September 2004), advice")]


def _of_light(found: Daylight | None) -> list[Caution]:
    if found is None:
        return []
    at = f"At {_clock(found.begins)}"
    if found.dark:
        edges = [
            f"civil twilight {what} at {_clock(edge)}"
            for what, edge in (("begins", found.twilight_begins), ("ends", found.twilight_ends))
            if edge is not None
        ]
        says = f"{'; '.join([f'{at} it is night', *edges])}: neither the reference nor a field is seen."
        return [Caution(Weight.STOP, "night", says, "14 CFR 1.1, night")]
    if found.sun_down:
        edge = found.sunset if found.sunset is not None and found.ends > found.sunset else found.sunrise
        passes = "" if edge is None else f" (it passes the horizon at {_clock(edge)})"
        says = f"{at} the sun is down{passes}: lights on, and little to see."
        return [Caution(Weight.CARE, "sun-down", says, "14 CFR 91.209 (from memory)")]
    said = []
    if found.sunset is not None and found.sunset - found.begins < DUSK:
        left = (found.sunset - found.begins).total_seconds() / minute
        says = f"The sun sets at {_clock(found.sunset)}, {left:.0f} min after the begin."
        said.append(Caution(Weight.CARE, "near-sunset", says))
    if found.elevation < GLARE:
        toward = f"{found.azimuth / degree:03.0f}°"
        says = f"The sun stands {found.elevation / degree:.0f}° high toward {toward}: it dazzles there."
        said.append(Caution(Weight.NOTE, "low-sun", says))
    return said


def _of_air(inputs: Inputs, found: ThinAir) -> list[Caution]:
    ratio = found.true_over_calibrated
    if ratio < THIN:
        return []
    indicated, true = speed(inputs.calibrated_airspeed), speed(inputs.true_airspeed)
    says = (
        f"Density altitude up there is {length(found.density_altitude)}: {indicated} "
        f"indicated are {true} true, and the same bank takes a radius {100 * (ratio**2 - 1):.0f} % "
        "wider than at sea level; the engine gives less, too."
    )
    return [Caution(Weight.NOTE, "density-altitude", says)]


def _elements(inputs: Inputs) -> tuple[Element, ...]:
    task = load_standard(inputs.standard).task(inputs.kind)
    return task.elements if task else ()


def _tolerance(inputs: Inputs) -> float:
    """Return how much too slow the standard lets the airspeed be [m s⁻¹]."""
    limits = (each.limit for each in _elements(inputs) if each.quantity == "airspeed")
    return max((limit * knot for limit in limits if limit is not None), default=SLOW)


def _clock(moment: datetime) -> str:
    return f"{moment:%H:%M} UTC"
