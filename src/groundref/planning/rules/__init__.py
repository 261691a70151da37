"""Rules on the least height, as data: what they ask over which surroundings, and where that is printed."""

from __future__ import annotations

from functools import cache
from typing import Final

from msgspec import Struct

from groundref import datafile
from groundref.errors import UsageError
from groundref.units import foot

SURROUNDINGS: Final = ("open", "sparse", "congested", "water")
DEFAULT: Final = "us"


class Limit(Struct, frozen=True, forbid_unknown_fields=True):
    """A least height, with the keys of its `[[limit]]`.

    Attributes
    ----------
    surroundings
        Over which it holds.
    height_ft
        [ft]
    height_m
        That as the rule prints it in meters; None where it prints feet alone [m]
    above
        What it is counted from: the `surface`, the highest `obstacle` within ``within_ft``, or the `nearest`
        person, vessel, vehicle or structure, in any direction.
    what
        What it asks, in own words.
    source
        Publication and paragraph.
    confirmed
        Whether it was read in the publication itself.
    within_ft
        How far to the side obstacles count [ft]
    """

    surroundings: list[str]
    height_ft: float
    above: str
    what: str
    source: str
    confirmed: bool
    within_ft: float = 0.0
    height_m: float | None = None

    def kept_from(self, obstacle: float) -> float:
        """Return the height above the ground from which on the limit is kept [m].

        A rule that is printed in both units, rounded in one of them, is kept by the value in either: 150 m
        and 500 ft keep SERA.5005(f)(2) alike, though 500 ft are 152.4 m.

        Parameters
        ----------
        obstacle
            As of ``least_height``.
        """
        return min(self.least_height(obstacle), self.least_metric(obstacle))

    def least_metric(self, obstacle: float) -> float:
        """Return ``least_height`` by the meters that the rule prints, else by its feet [m]."""
        beside = 0.0 if self.height_m is None else self.height_m - self.height_ft * foot
        return self.least_height(obstacle) + beside

    def least_height(self, obstacle: float) -> float:
        """Return the least height above the ground over an obstacle of some height, by the rule's feet [m].

        Flown over, what is nearest lies straight below, so the distance is a height too.

        Parameters
        ----------
        obstacle
            Height above the ground of the highest within the rule's distance, 0 for none [m]
        """
        return self.height_ft * foot + (0.0 if self.above == "surface" else obstacle)


class Anywhere(Struct, frozen=True, forbid_unknown_fields=True):
    """What is asked everywhere, should the engine stop; keys as in `Limit`."""

    what: str
    source: str
    confirmed: bool


class Rules(Struct, frozen=True, forbid_unknown_fields=True):
    """The rules of one part of the world.

    Attributes
    ----------
    name
        On the command line.
    title
        In plain words.
    limit
        For each surroundings one.
    anywhere
        For a stopped engine.
    """

    name: str
    title: str
    limit: list[Limit]
    anywhere: Anywhere

    def over(self, surroundings: str) -> Limit:
        """Return the limit over some surroundings.

        Parameters
        ----------
        surroundings
            One of ``SURROUNDINGS``.

        Raises
        ------
        UsageError
            When there are no such surroundings.
        """
        for limit in self.limit:
            if surroundings in limit.surroundings:
                return limit
        raise UsageError(
            f"{surroundings!r} is none of the surroundings that the rules know",
            "surroundings",
            f"choose one of {', '.join(SURROUNDINGS)}",
        )


@cache
def load_rules(name: str = DEFAULT) -> Rules:
    """Return the rules of a name.

    Parameters
    ----------
    name
        `us` or `europe`.

    Raises
    ------
    UsageError
        When there are none of that name.
    """
    known = datafile.names("groundref.planning.rules")
    if name not in known:
        raise UsageError(
            f"no rules are called {name!r}", "rules on the least height", f"take one of {', '.join(known)}"
        )
    text, where = datafile.find(name, "groundref.planning.rules", "set of rules")
    return datafile.parse(text, where, Rules)
