"""An airplane: the few numbers that a debrief or a plan needs of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.errors import UsageError
from groundref.mechanics.mass import speed_at_mass
from groundref.mechanics.wing_view import wing_corners

LEFT_SEAT: Final = -1.0
RIGHT_SEAT: Final = 1.0


@dataclass(frozen=True, slots=True)
class Aircraft:
    """An airplane in SI units. All airspeeds are calibrated.

    Attributes
    ----------
    name
        Name on the command line.
    title
        In plain words.
    practice_speed
        Usual for ground-reference work [m s⁻¹]
    stall_speed
        Clean, level, at ``mass`` [m s⁻¹]
    maneuvering_speed
        At ``mass`` [m s⁻¹]
    glide_speed
        Best glide at ``mass`` [m s⁻¹]
    glide_ratio
        Distance over height at that speed, still air; the same at any mass.
    mass
        Mass the speeds are for [kg]
    roll_rate
        Roll rate in ordinary turns [rad s⁻¹]
    wing_span
        [m]
    high_wing
        Whether the wing is above the eye.
    source
        Where the numbers are from.
    stall_speed_flaps
        Flaps fully down, level, at ``mass``; None where the file does not say [m s⁻¹]
    normal_operating_speed
        V_NO; None where the file does not say [m s⁻¹]
    never_exceed_speed
        V_NE; None where the file does not say [m s⁻¹]
    limit_load_factor
        Of the structure, flaps up.
    max_bank
        Not to be exceeded on purpose [rad]
    mass_min, mass_max
        Least and greatest mass that it is flown at [kg]
    wing_chord
        Mean [m]
    dihedral
        Tip above root positive [rad]
    eye_to_wing
        Height between the eye and the wing's nearer surface at the centerline, positive [m]
    eye_from_centerline
        Sideways, of either front seat, not negative [m]
    eye_behind_leading_edge
        Negative for an eye ahead of it [m]
    assumed
        Keys that were not in the file and for which a value is assumed, as they are written in the file.
    """

    name: str
    title: str
    practice_speed: float
    stall_speed: float
    maneuvering_speed: float
    glide_speed: float
    glide_ratio: float
    mass: float
    roll_rate: float
    wing_span: float
    high_wing: bool
    source: str
    stall_speed_flaps: float | None
    normal_operating_speed: float | None
    never_exceed_speed: float | None
    limit_load_factor: float
    max_bank: float
    mass_min: float
    mass_max: float
    wing_chord: float
    dihedral: float
    eye_to_wing: float
    eye_from_centerline: float
    eye_behind_leading_edge: float
    assumed: tuple[str, ...]

    def at_mass(self, mass: float) -> Aircraft:
        """Return the airplane at another mass: stall, maneuvering and best-glide speed go with its root.

        The practice speed is chosen and stays; so do the limits and the glide ratio.

        Parameters
        ----------
        mass
            From ``mass_min`` to ``mass_max`` [kg]

        Raises
        ------
        UsageError
            When the mass is out of that range.
        """
        if not self.mass_min <= mass <= self.mass_max:
            raise UsageError(
                f"{mass:g} kg lies outside {self.mass_min:,.0f} to {self.mass_max:,.0f} kg",
                f"mass of {self.name}",
                self._mass_remedy(),
            )

        def scaled(speed: float) -> float:
            return float(speed_at_mass(speed, self.mass, mass))

        flaps = self.stall_speed_flaps
        return replace(
            self,
            mass=mass,
            stall_speed=scaled(self.stall_speed),
            stall_speed_flaps=None if flaps is None else scaled(flaps),
            maneuvering_speed=scaled(self.maneuvering_speed),
            glide_speed=scaled(self.glide_speed),
        )

    def _mass_remedy(self) -> str:
        told = [key for key in ("mass_min_kg", "mass_max_kg") if key in self.assumed]
        if told:
            return f"give one within, or put {' and '.join(told)}, assumed so far, into the airplane's file"
        return "give a mass that the airplane is flown at"

    def wing_corners(self, side: float, seat: float = LEFT_SEAT) -> NDArray[np.float64]:
        """Return the corners of the wing on one side as seen from a seat, for ``mechanics.wing_view`` [m].

        Parameters
        ----------
        side
            +1 for the right wing, −1 for the left.
        seat
            ``LEFT_SEAT`` or ``RIGHT_SEAT``.

        Returns
        -------
        NDArray
            Shape (4, 3), from the eye: ahead, outward on that side, below [m]
        """
        return wing_corners(
            half_span=0.5 * self.wing_span,
            chord=self.wing_chord,
            dihedral=self.dihedral,
            eye_above=-self.eye_to_wing if self.high_wing else self.eye_to_wing,
            eye_outward=side * seat * self.eye_from_centerline,
            eye_behind_leading_edge=self.eye_behind_leading_edge,
        )
