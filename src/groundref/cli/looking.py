"""Options on how a recorded flight is looked at, shared by the commands that debrief one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Annotated

from groundref.asking import words
from groundref.asking.places import Places, places
from groundref.cli import options
from groundref.cli.consistent import check_ground, check_pylons, warn_of_places, warn_of_times, warn_of_wind
from groundref.errors import UsageError
from groundref.units import foot

if TYPE_CHECKING:
    from groundref.debriefing import Debrief
    from groundref.track.recording import Recording


@dataclass(frozen=True)
class Looking:
    """How the flight is looked at.

    Parameters
    ----------
    standard
        Name of a standard (see: groundref standards) or your own .toml file; the private pilot's unless
        said.
    aircraft
        Name of an airplane (see: groundref aircraft) or your own .toml file.
    ground_ft
        Elevation of the ground at the maneuver, feet above mean sea level; else what the recording shows
        while it stood on the ground.
    altimeter_inhg
        Altimeter setting in inches of mercury, where only pressure altitude was recorded: heights above the
        ground given follow from it.
    altimeter_hpa
        The same in hectopascals.
    point
        The point turned about, as latitude,longitude in degrees; fitted unless given.
    line
        Two places on the line or road of S-turns or eights; fitted unless given.
    corners
        The four corners of the rectangular course's field, in order round it; fitted unless given.
    pylons
        The two pylons of eights; fitted unless given.
    pylon_ft
        Elevation of the ground at each pylon, feet above mean sea level; that of the ground unless given.
    runway
        The two ends of a runway whose traffic pattern is to be looked at, in any order.
    wind
        Wind as direction from in degrees true / knots, such as 240/12; estimated unless given.
    from_
        Leave out what was before this time: 14:05, 14:05:30 or 2026-05-01T14:05:30Z, in UTC.
    to
        Leave out what was after this time.
    columns
        A small .toml file that says which column of a text table holds what, for headings that do not.
    """

    standard: Annotated[str | None, options.taking("NAME|FILE")] = None
    aircraft: Annotated[str | None, options.taking("NAME|FILE")] = None
    ground_ft: Annotated[float | None, options.taking("N")] = None
    altimeter_inhg: Annotated[float | None, options.taking("N")] = None
    altimeter_hpa: Annotated[float | None, options.taking("N")] = None
    point: Annotated[str | None, options.taking("LAT,LON")] = None
    line: Annotated[str | None, options.taking("LAT,LON,LAT,LON")] = None
    corners: Annotated[str | None, options.taking("LAT,LON,LAT,LON,LAT,LON,LAT,LON")] = None
    pylons: Annotated[str | None, options.taking("LAT,LON,LAT,LON")] = None
    pylon_ft: Annotated[str | None, options.taking("N,N")] = None
    runway: Annotated[str | None, options.taking("LAT,LON,LAT,LON")] = None
    wind: Annotated[str | None, options.taking("FROM/KT")] = None
    from_: Annotated[str | None, options.taking("T", name="--from")] = None
    to: Annotated[str | None, options.taking("T")] = None
    columns: Annotated[str | None, options.taking("FILE.toml")] = None

    @property
    def files(self) -> list[str | None]:
        """The files that these options name, None where one is not given."""
        return [self.standard, self.aircraft, self.columns]

    def settled(self) -> Settled:
        """Return what the options say in SI units, each looked at before any work is done.

        Raises
        ------
        UsageError
            When one makes no sense.
        """
        ground = self.ground_ft
        return Settled(
            places=places(
                point=self.point,
                line=self.line,
                corners=self.corners,
                pylons=self.pylons,
                pylon_ft=self.pylon_ft,
                runway=self.runway,
            ),
            ground=None if ground is None else words.within(ground, -2000, 30000, "--ground-ft") * foot,
            altimeter=words.altimeter_setting(self.altimeter_inhg, self.altimeter_hpa),
            wind=words.wind_velocity(self.wind) if self.wind else None,
        )

    def between(self, recording: Recording) -> tuple[datetime | None, datetime | None]:
        """Return from when to when a recording is looked at; None where nothing was said.

        Raises
        ------
        UsageError
            When one is no time, or they stand the wrong way round.
        """
        after = options.moment(self.from_, recording, "--from") if self.from_ else None
        before = options.moment(self.to, recording, "--to") if self.to else None
        if after and before and after > before:
            raise UsageError(f"{self.from_} lies after --to {self.to}", "--from", "exchange the two")
        return after, before


@dataclass(frozen=True, slots=True)
class Settled:
    """What the options on a flight say.

    Attributes
    ----------
    places
        On the ground.
    ground
        Its elevation above mean sea level, None when not given [m]
    altimeter
        Altimeter setting, None when not given [Pa]
    wind
        Velocity that the air moves to, east and north, None when not given [m s⁻¹]
    """

    places: Places
    ground: float | None
    altimeter: float | None
    wind: tuple[float, float] | None


def warnings(
    result: Debrief,
    given: Settled,
    recording: Recording,
    between: tuple[datetime | None, datetime | None],
    ground_option: str | None,
) -> Iterator[str]:
    """Set what was given against what the flight shows, and yield a sentence for each that was not used.

    Parameters
    ----------
    result
        What was concluded.
    given
        What the options said.
    recording
        The whole of it.
    between
        From when to when it was looked at.
    ground_option
        The option that states the ground; None where none does.

    Raises
    ------
    UsageError
        When the airplane would have flown under the ground given.
    """
    if ground_option is not None:
        check_ground(result, ground_option)
    check_pylons(result, given.places.pylon_elevations)
    yield from warn_of_times(recording, *between)
    yield from warn_of_places(result, given.places)
    if given.wind:
        yield from warn_of_wind(result)
