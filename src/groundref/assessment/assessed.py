"""An assessed maneuver: what was flown set against what was needed, the standard's elements, the findings."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from groundref.assessment.as_planned import AsPlanned
from groundref.assessment.details import Details
from groundref.detection.maneuver import Maneuver

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Profile:
    """The maneuver sample by sample; arrays over the samples ``maneuver.first`` to ``maneuver.last``.

    Attributes
    ----------
    lap
        Number of the lap, half circle, loop or circuit from 1; 0 outside any.
    turn
        +1 where it turns right, −1 where it turns left.
    position
        Place in the circle as an angle about the point, relative to the wind: 0 where the track is
        straight downwind, growing in the direction flown, so ±π is straight upwind and +π/2 is the
        crosswind place after downwind, whichever way round [rad]; NaN when the wind cannot be told
    azimuth
        Direction from the place turned about to the airplane, true; NaN where there is none [rad]
    distance
        Distance from it; NaN where there is none [m]
    radial
        Distance less the radius, outside positive; NaN where no radius is to be held [m]
    bank_required, bank_required_sd
        Bank that keeps the radius here at this ground speed and crab, signed like the turn; NaN where no
        radius is to be held [rad]
    """

    lap: NDArray[np.int64]
    turn: Floats
    position: Floats
    azimuth: Floats
    distance: Floats
    radial: Floats
    bank_required: Floats
    bank_required_sd: Floats


@dataclass(frozen=True, slots=True)
class Held:
    """How a quantity that should have been held was held.

    Attributes
    ----------
    source
        `measured` or `derived`.
    reference
        The value that should have been held: that at the start, or the middle of what was flown.
    maximum, minimum
        Extremes over the laps.
    maximum_time, minimum_time
        When they were reached [s]
    sd
        Standard deviation of the larger deviation from the reference; of a bank that of the largest.
    reference_from
        `start`, or `middle` (the median over the laps) where the start was not recorded; of a bank `mean`.
    """

    source: str
    reference: float
    maximum: float
    minimum: float
    maximum_time: float
    minimum_time: float
    sd: float
    reference_from: str = "start"


@dataclass(frozen=True, slots=True)
class ElementResult:
    """One element of the standard with its verdict, in the element's own unit.

    Attributes
    ----------
    code
        Such as `PA.V.B.S7`.
    what
        What the element asks, in plain words.
    verdict
        `met`, `not-met` or `undetermined`.
    limit
        The limit, None where the standard prints no number.
    unit
        Unit of ``limit`` and ``worst`` as in contract names: `ft`, `kt`, `deg`.
    worst, worst_sd
        The worst value that supports the verdict and its standard deviation: it lies 1.2816 of these or
        more from the limit unless undetermined. The largest value where nothing is to be decided; None when
        not measured.
    time
        When it was flown [s]
    why
        The reason of the verdict in one plain sentence.
    published
        True when the limit is printed in the standard itself.
    basis
        `standard`, `handbook` (its advice, judged too), or `practice` (a stated default, not judged).
    quantity
        What is compared with the limit, in the words of the standard's data (`standard.Element`).
    minimum, target
        The lower limit of a band and the value that ``limit`` is a deviation from, where the element has one
        [``unit``]
    """

    code: str
    what: str
    verdict: str
    limit: float | None
    unit: str
    worst: float | None
    worst_sd: float | None
    time: float | None
    why: str
    published: bool
    basis: str = "standard"
    quantity: str = "observed"
    minimum: float | None = None
    target: float | None = None


@dataclass(frozen=True, slots=True)
class Finding:
    """One common error that the data support.

    Attributes
    ----------
    fault
        Name, such as `overbanked-upwind`.
    laps
        Numbers of the laps it was seen in, from 1.
    size, size_sd
        How large, in ``size_unit``.
    size_unit
        `deg`, `ft`, `kt`, `s`, `g` or `fraction`.
    start, end
        Stretch where it was seen [s]
    position
        Where in the circle, in words relative to the wind; empty when everywhere.
    consequence_ft
        What it did over the ground [ft]; None when it has none.
    consequence_sd_ft
        Its standard deviation [ft]; None when ``consequence_ft`` is.
    consequence_at_least
        True where the fitted point took up a part of the consequence, so that it is at least so much.
    strength
        Size over the size that an instructor would mention; findings are sorted by it.
    says, cure
        One plain sentence each, with the numbers in feet and knots; where they are made, with measures that
        are still open (see `measures`).
    says_metric, cure_metric
        The same in meters and kilometers per hour.
    """

    fault: str
    laps: tuple[int, ...]
    size: float
    size_sd: float
    size_unit: str
    start: float
    end: float
    position: str
    consequence_ft: float | None
    strength: float
    says: str
    cure: str
    consequence_sd_ft: float | None = None
    consequence_at_least: bool = False
    says_metric: str = ""
    cure_metric: str = ""


@dataclass(frozen=True, slots=True)
class Assessed:
    """A maneuver with everything that was concluded about it.

    Attributes
    ----------
    maneuver
        As found.
    profile
        Sample by sample.
    altitude
        How altitude was held [m]; None when no altitude was recorded.
    airspeed
        How true airspeed was held [m s⁻¹]; None when it could not be told.
    bank
        How bank went [rad] (``reference`` is the mean absolute bank); None when it could not be told.
    height_reference, height_sd
        Height above the ground held at the start [m]; None without a ground elevation.
    bank_limit
        Bank limit used and where it is from [rad].
    bank_limit_source
        In plain words.
    elements
        The standard's elements.
    findings
        Strongest first.
    notes
        What could not be judged, and why, in plain sentences, in feet and knots.
    not_looked_for
        Whole kinds of error that nobody could look for, and what would have to be given: said with the
        findings, since silence there would pass for praise.
    entry_off_downwind, entry_off_downwind_sd
        Entry track less straight downwind, right positive, and its standard deviation [rad]; None when the
        entry was not recorded or the wind has no direction to speak of.
    details
        What is particular to the kind; None where nothing is.
    entry_recorded
        Whether straight flight before the turn was recorded, so that the entry means something.
    as_planned
        What was planned for it; None where no plan is set against it.
    notes_metric
        As ``notes``, in meters and kilometers per hour.
    """

    maneuver: Maneuver
    profile: Profile
    altitude: Held | None
    airspeed: Held | None
    bank: Held | None
    height_reference: float | None
    height_sd: float | None
    bank_limit: float
    bank_limit_source: str
    elements: tuple[ElementResult, ...]
    findings: tuple[Finding, ...]
    notes: tuple[str, ...] = ()
    not_looked_for: tuple[str, ...] = ()
    entry_off_downwind: float | None = None
    entry_off_downwind_sd: float | None = None
    entry_recorded: bool = True
    details: Details | None = None
    as_planned: AsPlanned | None = None
    notes_metric: tuple[str, ...] = ()
