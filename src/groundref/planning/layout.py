"""How a maneuver lies over the ground: its reference, the pieces of its path, and its entry."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from groundref.planning.inputs import Inputs
from groundref.planning.pieces import Piece, Place


@dataclass(frozen=True, slots=True)
class Entry:
    """How the maneuver is entered.

    Attributes
    ----------
    place
        Where the maneuver begins: east and north of the origin [m]
    track
        To come in on, true [rad]
    distance
        From the reference when abeam of it, None where nothing is abeam [m]
    bank
        To roll into, right positive [rad]
    how
        In plain words, one sentence.
    """

    place: Place
    track: float
    distance: float | None
    bank: float
    how: str


@dataclass(frozen=True, slots=True)
class Layout:
    """A maneuver over the ground.

    Attributes
    ----------
    reference
        `point`, `line`, `rectangle`, `pylons` or `none`.
    places
        The point; two places on the line, in the direction of progress; the four corners in order; the two
        pylons, the first turned about first; none. East and north of the origin [m]
    pieces
        Of the path, in the order flown, once through.
    entry
        How it is entered.
    radius
        Over the ground of its turns; None where none is held [m]
    notes
        What the reader should know of this layout, one plain sentence each.
    """

    reference: str
    places: tuple[Place, ...]
    pieces: tuple[Piece, ...]
    entry: Entry
    radius: float | None
    notes: tuple[str, ...] = field(default=())


LayOut = Callable[[Inputs, float], Layout]
"""Makes the layout of a kind from the inputs and a radius [m]; the radius is ignored where none is held."""
