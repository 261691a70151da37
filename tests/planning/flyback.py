"""Plans flown back open loop: bank, height and airspeed by the clock alone, nothing corrects the position.

The plan's bank jumps where one piece ends and the next begins. An airplane rolls, so each jump becomes an
even roll from bank a to bank b at a rate p that begins a lead before it, such that the heading after it is
the one planned. With T = (b − a)/p, where p has the sign of b − a,

    lead · tan a + (T − lead) · tan b = ∫ tan φ dt = ln(cos a / cos b) / p.

From wings level that is the lead that the plan tells. What is flown differs from the plan by what the rolls
cost and by how well bank, airspeed and height are held: nothing else.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, log, tan
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import full_turn, wrap, wrap_signed
from groundref.planning import Plan
from groundref.planning.air import Air as Wind
from groundref.planning.schedule import duration
from groundref.simulation.airplane import Airplane
from groundref.simulation.fly import Motion, fly
from groundref.simulation.legs import course_bank
from groundref.simulation.pilot import Pilot, Skill, Wish
from groundref.units import standard_gravity
from tests.truth.airframe import CONTROL, Cockpit, local_frame
from tests.truth.sortie import KNOT, Air, Sortie

Floats = NDArray[np.float64]

STEP: Final = CONTROL
RUN_IN: Final = 12.0
"""Straight before the maneuver begins, so that the roll into it lies within [s]."""
_LEVEL: Final = 1e-9
_FINE: Final = 400  # samples of a piece


@dataclass(frozen=True, slots=True)
class Orders:
    """What is to be flown at each moment, evenly spaced by `STEP`, each (n,), SI.

    Attributes
    ----------
    time
        From the run-in to the end; 0 where the maneuver begins [s]
    bank, height, climb, airspeed, acceleration
        [rad], [m], [m s⁻¹], [m s⁻¹], [m s⁻²]
    east, north
        Where the plan is then; on its way in straight ahead before it begins [m]
    in_bank
        Whether it begins in the bank, since it ends in the same.
    """

    time: Floats
    bank: Floats
    height: Floats
    climb: Floats
    airspeed: Floats
    acceleration: Floats
    east: Floats
    north: Floats
    in_bank: bool


@dataclass(frozen=True, slots=True)
class Off:
    """How far a flight was from its plan [m].

    Attributes
    ----------
    ends
        At the end of the maneuver.
    most
        Anywhere.
    """

    ends: float
    most: float


def lead(before: float, after: float, roll_rate: float) -> float:
    """Return how long before a jump of bank an even roll begins that leaves the heading as planned [s]."""
    rate = roll_rate if after > before else -roll_rate
    turned = log(cos(before) / cos(after)) / rate
    return (turned - (after - before) / rate * tan(after)) / (tan(before) - tan(after))


def orders(plan: Plan) -> Orders:
    """Return what is to be flown, with rolls in place of jumps."""
    air, pieces = plan.inputs.air, plan.layout.pieces
    in_bank = len(pieces) == 1
    end = sum(duration(piece, air) for piece in pieces)
    time = STEP * np.arange(0 if in_bank else -round(RUN_IN / STEP), round(end / STEP) + 1)
    found = {name: np.empty_like(time) for name in ("bank", "height", "true_airspeed", "east", "north")}
    begun, jumps, last = 0.0, list[tuple[float, float, float]](), 0.0
    for number, piece in enumerate(pieces):
        samples = piece.at(air, np.linspace(0.0, 1.0, _FINE))
        inside = (time >= begun - _LEVEL) | (number == 0)
        for name, values in found.items():
            values[inside] = np.interp(time[inside] - begun, samples.time, getattr(samples, name))
        first = float(samples.bank[0])
        if not (in_bank and number == 0):
            jumps.append((begun, last, first))
        last = float(samples.bank[-1])
        begun += float(samples.time[-1])
    if not in_bank:
        jumps.append((end, last, 0.0))
    bank = np.where(time < 0.0, 0.0, found["bank"])
    for at, before, after in jumps:
        _roll(time, bank, at, before, after, plan.inputs.aircraft.roll_rate)
    _way_in(plan, time, found["east"], found["north"])
    return Orders(
        time=time,
        bank=bank,
        height=found["height"],
        climb=np.gradient(found["height"], STEP),
        airspeed=found["true_airspeed"],
        acceleration=np.gradient(found["true_airspeed"], STEP),
        east=found["east"],
        north=found["north"],
        in_bank=in_bank,
    )


def _roll(time: Floats, bank: Floats, at: float, before: float, after: float, rate: float) -> None:
    """Put a roll in the place of a jump."""
    if abs(after - before) < _LEVEL:
        return
    begin, lasts = at - lead(before, after, rate), abs(after - before) / rate
    inside = (time > begin) & (time < begin + lasts)
    bank[inside] = before + (after - before) * (time[inside] - begin) / lasts


def _way_in(plan: Plan, time: Floats, east: Floats, north: Floats) -> None:
    """Put the way in straight ahead before the beginning."""
    begin = plan.layout.pieces[0].at(plan.inputs.air, np.zeros(1))
    early = time < 0.0
    for values, start, part in ((east, begin.east, np.sin), (north, begin.north, np.cos)):
        values[early] = start[0] + begin.ground_speed[0] * time[early] * part(begin.track[0])


def off_plan(asked: Orders, east: Floats, north: Floats) -> Off:
    """Return how far a path was from its plan, both at the same moments."""
    apart = np.hypot(east - asked.east, north - asked.north)
    return Off(ends=float(apart[-1]), most=float(apart.max()))


def kinematic(plan: Plan) -> Off:
    """Return what the rolls alone cost: bank, airspeed and height exactly as ordered.

    The midpoint rule; the heading turns by g tan φ/V.
    """
    asked = orders(plan)
    begin = plan.layout.pieces[0].at(plan.inputs.air, np.zeros(1))
    rate = standard_gravity * np.tan(asked.bank) / asked.airspeed
    heading = (
        float(begin.heading[0]) + np.concatenate(([0.0], np.cumsum(0.5 * (rate[1:] + rate[:-1])))) * STEP
    )
    east = asked.airspeed * np.sin(heading) + plan.inputs.air.east
    north = asked.airspeed * np.cos(heading) + plan.inputs.air.north
    return off_plan(asked, _moved(asked.east[0], east), _moved(asked.north[0], north))


def _moved(start: float, speed: Floats) -> Floats:
    return start + np.concatenate(([0.0], np.cumsum(0.5 * (speed[1:] + speed[:-1])))) * STEP


@dataclass(frozen=True, slots=True)
class Hand:
    """How the bank is brought: what is asked for is the bank b ordered now, and more while it is missing.

    asked = b + ahead · db/dt + firm · (b − bank) + patient · ∫ (b − bank) dt

    Attributes
    ----------
    ahead
        From a bank asked for to the bank [s]
    firm, patient
        For what is missing, and for what is still missing [s⁻¹]
    """

    ahead: float
    firm: float
    patient: float


OWN: Final = Hand(ahead=0.4, firm=0.0, patient=0.0)
"""Of the project's own simulator: 1/2.5 s, its roll gain."""
LIBRARY: Final = Hand(ahead=0.9, firm=1.0, patient=0.3)
"""Of the library's airplanes with the autopilot of these tests."""


class Hands:
    """The orders as wishes, step by step."""

    def __init__(self, asked: Orders, hand: Hand) -> None:
        self._asked, self._hand, self._missed = asked, hand, 0.0
        self._rolling = np.gradient(asked.bank, STEP)

    def wish(self, step: int, bank: float, more_power: float = 0.0) -> Wish:
        """Return what to ask for now, with the bank that is there."""
        asked, hand = self._asked, self._hand
        missing = float(asked.bank[step]) - bank
        self._missed += missing * STEP
        ahead = hand.ahead * float(self._rolling[step])
        return Wish(
            bank=float(asked.bank[step]) + ahead + hand.firm * missing + hand.patient * self._missed,
            height=float(asked.height[step]),
            speed=float(asked.airspeed[step]),
            climb=float(asked.climb[step]),
            speed_change=float(asked.acceleration[step]) + more_power,
        )


def in_own_simulator(plan: Plan, air: Wind | None = None) -> Off:
    """Fly a plan back with the project's own point mass, in its own wind unless another is given."""
    asked, air = orders(plan), plan.inputs.air if air is None else air
    begin = plan.layout.pieces[0].at(air, np.zeros(1))
    airplane = Airplane(trim_speed=air.true_airspeed, roll_rate=plan.inputs.aircraft.roll_rate)
    pilot = Pilot(airplane, Skill().times(0.0), STEP, np.random.default_rng(0))
    speed, track = float(begin.ground_speed[0]), float(begin.track[0])
    now = Motion(
        time=0.0,
        east=float(asked.east[0]),
        north=float(asked.north[0]),
        height=float(asked.height[0]),
        velocity_east=speed * np.sin(track),
        velocity_north=speed * np.cos(track),
        heading=float(begin.heading[0]),
        bank=float(asked.bank[0]),
        wind_east=air.east,
        wind_north=air.north,
    )
    now.derive()
    now.thrust = airplane.drag(now.airspeed, 1.0 / cos(now.bank))
    path, hands = [(now.east, now.north)], Hands(asked, OWN)
    for step in range(asked.time.size - 1):
        power = _power_for(now, float(asked.airspeed[step]), airplane)
        order = pilot.command(hands.wish(step, now.bank, power), now)
        fly(now, order, airplane, (air.east, air.north), STEP)
        path.append((now.east, now.north))
    east, north = np.array(path).T
    return off_plan(asked, east, north)


def _power_for(now: Motion, airspeed: float, airplane: Airplane) -> float:
    """Return the power that this pilot leaves out in a bank, and some against what is missing [m s⁻²]."""
    load_factor = 1.0 / cos(now.bank)
    paid = 1.0 + 0.5 * (load_factor - 1.0)
    return (
        airplane.drag(airspeed, load_factor) - airplane.drag(airspeed, paid) + 0.2 * (airspeed - now.airspeed)
    )


def in_library(plan: Plan, airplane: str) -> Off:
    """Fly a plan back with an airplane of six degrees of freedom."""
    asked, air = orders(plan), plan.inputs.air
    begin = plan.layout.pieces[0].at(air, np.zeros(1))
    heading, bank = float(begin.heading[0]), float(asked.bank[0])
    sortie = Sortie(
        airplane=airplane,
        air=Air(air.wind_speed / KNOT, np.degrees(plan.inputs.wind_from)),
        east=0.0,
        north=0.0,
        height=float(asked.height[0]),
        course=float(begin.track[0]),
        speed=float(asked.airspeed[0]),
        unsteadiness=0.0,
    )
    cockpit = Cockpit(sortie, local_frame())
    now = cockpit.now
    level = Wish(0.0, sortie.height, sortie.speed)
    while now.time < -0.5 * STEP:
        cockpit.fly(Wish(course_bank(now, sortie.course), level.height, level.speed))
    turning, side = Wish(bank, level.height, level.speed), float(np.sign(bank))
    left = full_turn + float(wrap(side * (heading - now.heading))) if bank else 0.0
    while left > 0.0:  # more than once round, for airspeed and height to settle in the bank
        before = now.heading
        cockpit.fly(turning)
        left -= side * float(wrap_signed(now.heading - before))
    path, hands = [(now.east, now.north)], Hands(asked, LIBRARY)
    for step in range(asked.time.size - 1):
        cockpit.fly(hands.wish(step, now.bank))
        path.append((now.east, now.north))
    east, north = np.array(path).T
    return off_plan(asked, east - east[0] + asked.east[0], north - north[0] + asked.north[0])


def way(plan: Plan) -> float:
    """Return the way through the air, once through [m]."""
    return plan.extremes.time * plan.inputs.true_airspeed
