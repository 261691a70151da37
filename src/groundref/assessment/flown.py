"""What was flown, as evidence that each fault and element is tested on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref import measures
from groundref.aircraft.aircraft import Aircraft
from groundref.angles import difference, full_turn, half_turn, quarter_turn, wrap
from groundref.assessment import course, held, places
from groundref.assessment.assessed import Profile
from groundref.assessment.details import CourseFlown, Details, LineFlown
from groundref.assessment.held import Deviation
from groundref.assessment.line_flown import downwind_square
from groundref.assessment.particulars import particulars
from groundref.assessment.pivotal import sure
from groundref.assessment.profile import profile_of, turn_sign
from groundref.assessment.recorded import Beginning, beginning, coarse, speed_sd, too_seldom, usual_interval
from groundref.assessment.said import WORDS, Words
from groundref.detection.maneuver import Lap, Maneuver
from groundref.estimation.states import States
from groundref.standards.standard import Element, Standard, Task
from groundref.units import degree, knot, standard_gravity

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

# Change of track from which a lap counts as a whole one [rad]: nine tenths of a circle, of a half circle; the
# loops of an eight begin and end on slanting lines and turn by 220° and more.
whole_lap: Final = 0.9 * full_turn
whole_turns: Final = {
    "s-turns": 0.45 * full_turn,
    "eights-along-a-road": 0.85 * full_turn,
    "eights-across-a-road": 0.55 * full_turn,
    "eights-around-pylons": 0.55 * full_turn,
    "eights-on-pylons": 0.55 * full_turn,
}
correlation_time: Final = 4.0  # [s]  integral of the autocorrelation of a smoothed bank's errors
light_wind: Final = 4.0 * knot  # [m s⁻¹]  below this no place in the circle differs from another
certain_wind: Final = 3.0  # standard deviations the wind must be, or its direction is a matter of chance
loose_direction: Final = 60.0 * degree  # [rad]  sd from which the wind has no direction to speak of
least_track_sd: Final = 1.0 * degree  # [rad]  of an entry track: the straight flight was never quite straight
most_eighths: Final = 5  # of the eighths of the circle: what is seen in that many has no one place

handbook_bank_limit: Final = (
    45.0 * degree
)  # [rad]  FAA-H-8083-3C, p. 7-5: avoid more, leave and widen instead
handbook_source: Final = "Airplane Flying Handbook FAA-H-8083-3C, p. 7-5"


@dataclass(frozen=True, slots=True)
class Flown:
    """A maneuver with all that was concluded from its samples.

    Attributes
    ----------
    states, maneuver, profile
        What it was concluded from.
    task
        The standard's task for this kind of maneuver; None when the standard has none.
    aircraft
        The airplane; None when none was named.
    altitude, airspeed, bank
        Deviations over the maneuver's samples; None when not known [m], [m s⁻¹], [rad]
    height_reference, height_sd
        Height above the ground at the start; None without a ground elevation [m]
    beginning
        How much of the flight before the turn was recorded.
    bank_limit
        Largest bank allowed [rad]
    bank_limit_source
        Where it is from, in plain words.
    details
        What is particular to the kind; None where nothing is.
    """

    states: States
    maneuver: Maneuver
    profile: Profile
    task: Task | None
    aircraft: Aircraft | None
    altitude: Deviation | None
    airspeed: Deviation | None
    bank: Deviation | None
    height_reference: float | None
    height_sd: float | None
    beginning: Beginning
    bank_limit: float
    bank_limit_source: str
    details: Details | None = None

    @property
    def samples(self) -> slice:
        """The maneuver's samples in the states."""
        return slice(self.maneuver.first, self.maneuver.last + 1)

    @property
    def time(self) -> Floats:
        """Times of the samples [s]."""
        return self.states.time[self.samples]

    @property
    def interval(self) -> float:
        """Usual time between samples [s]."""
        return usual_interval(self.states, self.maneuver)

    @property
    def seldom(self) -> bool:
        """Whether so few samples were recorded that only altitude and height can be judged."""
        return self.interval > too_seldom

    @property
    def coarse(self) -> bool:
        """Whether positions are too coarse for what is derived from them."""
        return coarse(self.states, self.maneuver)

    @property
    def poor(self) -> str:
        """Why what is derived from positions cannot be told, in one clause; empty when it can."""
        if self.seldom:
            return f"there is a position only every {self.interval:.0f} s"
        if self.coarse:
            sd = measures.speed_sd(speed_sd(self.states, self.maneuver), 1)
            return f"positions are so coarse that speed is known to ± {sd} only at each moment"
        return ""

    @property
    def entry_told(self) -> bool:
        """Whether straight flight before the turn was recorded, well enough to tell the entry."""
        return self.beginning.straight and not self.poor

    @property
    def ground_above(self) -> bool:
        """Whether the ground elevation used surely lies above the airplane, so that it is wrong."""
        return ground_above(self.states, self.maneuver)

    @property
    def words(self) -> Words:
        """What the parts of the maneuver are called."""
        return WORDS[self.maneuver.kind]

    @property
    def turn(self) -> Floats:
        """+1 where it turns right, −1 where it turns left."""
        return self.profile.turn

    @property
    def first_turn(self) -> float:
        """+1 where the first turn was to the right, −1 to the left."""
        return turn_sign(self.maneuver.laps[0])

    @property
    def steady(self) -> Bools:
        """Samples in a lap, between rolling in and rolling out."""
        return held.steady(self.states, self.maneuver) & (self.profile.lap > 0)

    @property
    def bank_flown(self) -> Floats:
        """Bank in the direction of the turn [rad]."""
        return self.turn * self.states.bank[self.samples]

    @property
    def bank_needed(self) -> Floats:
        """Bank that holds the radius, in the direction of the turn [rad]."""
        return self.turn * self.profile.bank_required

    def bank_needed_at(self, place: float, laps: tuple[int, ...]) -> float:
        """Return the bank that holds the radius at a place, mean over laps; NaN where none came by [rad].

        Parameters
        ----------
        place
            Position in the circle [rad]
        laps
            Numbers of those that count.
        """
        there = self.steady & places.within(self.arc_position, place, places.near)
        there &= np.isfinite(self.bank_needed)
        each = [self.bank_needed[there & (self.profile.lap == lap)] for lap in laps]
        means = [float(bank.mean()) for bank in each if bank.size]
        return float(np.mean(means)) if means else float("nan")

    @property
    def bank_bias(self) -> float:
        """Standard deviation of the error that all banks of the maneuver share [rad]."""
        return held.bank_bias(self.states)

    @property
    def whole_laps(self) -> tuple[int, ...]:
        """Numbers of the laps that went all the way round."""
        return tuple(
            number
            for number, lap in enumerate(self.maneuver.laps, start=1)
            if is_whole(lap, self.maneuver.kind)
        )

    @property
    def all_laps(self) -> tuple[int, ...]:
        """Numbers of all laps."""
        return tuple(range(1, len(self.maneuver.laps) + 1))

    @property
    def wind_felt(self) -> bool:
        """Whether a wind can be told from none and is strong enough for places in the circle to differ."""
        wind = self.maneuver.wind
        if wind is None:
            return False
        sd = np.hypot(wind.speed_sd, self.hidden_wander)
        return bool(wind.speed > max(light_wind, certain_wind * sd))

    @property
    def hidden_wander(self) -> float:
        """How much of the wind may be an airspeed that wandered once per lap, sd on each axis [m s⁻¹]."""
        return held.hidden_wander(self.states, self.maneuver)

    @property
    def entry_off(self) -> tuple[float, float] | None:
        """Entry track less straight downwind, growing in the direction flown, and its sd [rad].

        None when the entry was not recorded, or the wind has no direction to speak of. The sd holds that of
        the wind's direction, the part of the wind that may be an airspeed in step with the laps, and that of
        the track itself.
        """
        wind, entry = self.maneuver.wind, self.maneuver.entry
        if wind is None or not self.entry_told:
            return None
        first = self.maneuver.first
        track_sd = np.arctan2(self.states.velocity_sd[first], self.states.ground_speed[first])
        hidden = np.arctan2(self.hidden_wander, wind.speed)
        track_sd = max(float(track_sd), least_track_sd)
        sd = float(np.sqrt(wind.direction_sd**2 + hidden**2 + track_sd**2))
        off = self.first_turn * float(difference(entry.track, wind.direction_to))
        return (off, sd) if sd < loose_direction else None

    @property
    def entry_missed(self) -> tuple[float, float] | None:
        """Entry track less the one to enter on, growing in the direction flown, and its sd [rad].

        That is straight downwind; where a line is crossed, square to it with the wind behind. None as for
        ``entry_off``, and along a line that the wind follows, which has no downwind side.
        """
        off, wind = self.entry_off, self.maneuver.wind
        if off is None or wind is None or not isinstance(self.details, LineFlown):
            return off
        aim = downwind_square(self.maneuver, wind.direction_to)
        if aim is None:
            return None
        sd = float(np.hypot(self.maneuver.reference.bearing_sd, least_track_sd))
        return self.first_turn * float(difference(self.maneuver.entry.track, aim)), sd

    @property
    def arc_position(self) -> Floats:
        """Position of each sample, stretched where the loops of an eight leave out straight downwind.

        The nearest to downwind that they come, which is where most bank is needed, is 0 then, upwind stays π.
        """
        position = self.profile.position
        if self.maneuver.kind != "eights-around-pylons":
            return position
        off = np.abs(position[(self.profile.lap > 0) & np.isfinite(position)])
        least = float(np.percentile(off, 2.0)) if off.size else 0.0
        if not np.isfinite(least) or least > quarter_turn:
            return position
        stretched = np.maximum(np.abs(position) - least, 0.0) * half_turn / (half_turn - least)
        return np.asarray(np.sign(position) * stretched, dtype=np.float64)

    def place_of(self, inside: Bools, worst: int) -> str:
        """Return the place of something seen in many samples: that of the worst; empty when all the way."""
        position = self.profile.position[inside]
        position = position[np.isfinite(position)]
        eighths = np.floor(wrap(position) / (full_turn / 8) + 0.5).astype(np.int64) % 8
        return "" if np.unique(eighths).size >= most_eighths else self.place(worst)

    def laps_in(self, inside: Bools) -> tuple[int, ...]:
        """Return the numbers of the laps that some samples belong to."""
        return tuple(int(lap) for lap in np.unique(self.profile.lap[inside]) if lap > 0)

    def place(self, index: int) -> str:
        """Return the name of the place of one sample, counted from the maneuver's first."""
        if isinstance(self.details, CourseFlown):
            return course.place_at(self.details, float(self.time[index]))
        return places.name(float(self.profile.position[index])) if self.wind_felt else ""

    def element(self, quantity: str) -> Element | None:
        """Return the standard's first element about a quantity that has a limit."""
        elements = self.task.elements if self.task is not None else ()
        return next((e for e in elements if e.quantity == quantity and e.limit is not None), None)

    def smallest_radius(self) -> float | None:
        """Return the radius that would keep the bank within the limit at the ground speeds flown [m].

        R = max G² / (g tanφ_limit cosδ) over the samples; None when the crab cannot be told.
        """
        need = self.states.ground_speed[self.samples] ** 2 / np.cos(self.states.crab[self.samples])
        need = need[self.steady & np.isfinite(need) & np.isfinite(self.bank_needed)]
        return float(need.max() / (standard_gravity * np.tan(self.bank_limit))) if need.size else None


def gather(states: States, maneuver: Maneuver, standard: Standard, aircraft: Aircraft | None) -> Flown:
    """Work out the evidence from a maneuver.

    Parameters
    ----------
    states, maneuver
        What was flown.
    standard
        Whose limits count.
    aircraft
        The airplane; None when none was named.
    """
    profile = profile_of(states, maneuver)
    task = standard.task(maneuver.kind)
    height, height_sd = _height_at_start(states, maneuver)
    airspeed = held.airspeed_deviation(states, maneuver, profile)
    bank = held.bank_deviation(states, maneuver, profile)
    limit, source = _bank_limit(standard, task)
    return Flown(
        states=states,
        maneuver=maneuver,
        profile=profile,
        task=task,
        aircraft=aircraft,
        altitude=held.altitude_deviation(states, maneuver, profile),
        airspeed=_carried(airspeed, states, maneuver),
        bank=_carried(bank, states, maneuver),
        height_reference=height,
        height_sd=height_sd,
        beginning=beginning(states, maneuver),
        bank_limit=limit,
        bank_limit_source=source,
        details=particulars(states, maneuver, profile),
    )


def is_whole(lap: Lap, kind: str) -> bool:
    """Return whether a lap of a kind of maneuver went all the way."""
    return abs(lap.turn) >= whole_turns.get(kind, whole_lap)


def _carried(deviation: Deviation | None, states: States, maneuver: Maneuver) -> Deviation | None:
    """Return a deviation that the recording can carry; None from too few samples or coarse positions."""
    if deviation is None or usual_interval(states, maneuver) > too_seldom:
        return None
    return None if deviation.source == "derived" and coarse(states, maneuver) else deviation


def _height_at_start(states: States, maneuver: Maneuver) -> tuple[float | None, float | None]:
    """Return height above the ground before the turn and its standard deviation; None when not known [m].

    Where the start was not recorded it is the median over the maneuver.
    """
    if states.height is None or states.height_sd is None or ground_above(states, maneuver):
        return None, None
    before = held.reference_samples(states, maneuver)
    height, sd = before.value_of(states.height), before.value_of(states.height_sd)
    return (height, sd) if np.isfinite(height) and np.isfinite(sd) else (None, None)


def ground_above(states: States, maneuver: Maneuver) -> bool:
    """Return whether the airplane would surely have been below the ground somewhere in the maneuver."""
    if states.height is None or states.height_sd is None:
        return False
    samples = slice(maneuver.first, maneuver.last + 1)
    return bool(np.any(states.height[samples] + sure * states.height_sd[samples] < 0.0))


def _bank_limit(standard: Standard, task: Task | None) -> tuple[float, str]:
    """Return the largest bank allowed and where the limit is from [rad]."""
    for element in task.elements if task is not None else ():
        if element.quantity == "bank" and element.limit is not None:
            own = element.published and element.basis == "standard"
            source = f"{standard.title}, {element.code}" if own else element.source
            return element.limit * degree, source
    return handbook_bank_limit, handbook_source
