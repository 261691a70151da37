"""What the wing hides: whether a point on the ground is behind it as seen from the eye, at any bank.

The wing on the side of the point is a flat panel with four corners, seen from the eye at the origin of the
airplane's own axes: ahead along the nose, outward along the wing, below square to both. A point is hidden
when the line of sight to it passes through the panel, that is, when it lies inside the cone from the eye
through the panel's edges. With corners v₁…v₄ in order round the panel, edge i and the eye span a plane of
normal nᵢ = vᵢ × vᵢ₊₁, turned inward by the sign of n₁·v₃; the line of sight d is inside when nᵢ·d > 0 for all
four.

In level axes that turn with the heading, d = (cos D sin α, cos D cos α, sin D): D is the depression of the
point, α its angle ahead of abeam. Pitch θ about the wings, then bank φ about the nose, toward the point
positive, turn it into the airplane's axes:

d = cos D · (sin α cos θ, cos α cos φ + sin α sin θ sin φ, sin α sin θ cos φ − cos α sin φ)
  + sin D · (−sin θ, cos θ sin φ, cos θ cos φ).

Abeam with the nose level only D − φ counts. With τ the angle of the tip from the eye's lateral axis, a low
wing hides what has D > φ + τ, a high wing what has D < φ − τ. So the low wing is in the way where the circle
needs little bank, the high wing where it needs much.

The panel is carried in to the airplane's centerline, under the eye or over it, where floor or roof hide the
ground as well. Door sill, pillars and nose are not in it; a strut is one more panel for the same functions.
Rows of corners: ahead, outward, below [m]. Numbers or arrays that broadcast together in, their common shape
out.

Source: own derivation; rotations as in ISO 1151 (yaw, pitch, roll).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.errors import NoSolutionError

Floats = NDArray[np.float64]


def wing_corners(
    half_span: float,
    chord: float,
    dihedral: float,
    eye_above: float,
    eye_outward: float,
    eye_behind_leading_edge: float,
) -> Floats:
    """Return the corners of a straight wing of constant chord, from the eye.

    Parameters
    ----------
    half_span
        Centerline to tip, level [m]
    chord
        Leading to trailing edge [m]
    dihedral
        Γ, tip above root positive [rad]
    eye_above
        Of the eye above the wing's surface at the centerline, negative under a high wing [m]
    eye_outward
        Of the eye from the centerline toward this wing, negative toward the other [m]
    eye_behind_leading_edge
        Negative for an eye ahead of it [m]

    Returns
    -------
    Floats
        Shape (4, 3): root leading, root trailing, tip trailing, tip leading edge, from the eye [m]

    Raises
    ------
    NoSolutionError
        Where the wing has no area, or the eye is beyond its tip.
    """
    if not (half_span > 0.0 and chord > 0.0):
        raise NoSolutionError("a wing has a span and a chord", "wing", "give both, positive")
    if not abs(eye_outward) < half_span:
        raise NoSolutionError(
            "the eye is beyond the wing tip", "eye", "give its distance from the centerline"
        )
    leading, trailing = eye_behind_leading_edge, eye_behind_leading_edge - chord
    root, tip = -eye_outward, half_span - eye_outward
    tip_below = eye_above - half_span * np.tan(dihedral)
    return np.array(
        [
            (leading, root, eye_above),
            (trailing, root, eye_above),
            (trailing, tip, tip_below),
            (leading, tip, tip_below),
        ],
        dtype=np.float64,
    )


def is_hidden(
    corners: Floats, depression: ArrayLike, ahead: ArrayLike, bank: ArrayLike, pitch: ArrayLike = 0.0
) -> NDArray[np.bool_]:
    """Return whether a flat panel is between the eye and a point.

    Parameters
    ----------
    corners
        Shape (4, 3), in order round the panel, which is flat and convex, from the eye [m]
    depression
        D, of the point below the horizontal, from −π/2 to π/2 [rad]
    ahead
        α, of the point ahead of abeam on this side, in the horizontal [rad]
    bank
        φ, toward the point positive [rad]
    pitch
        θ, nose up positive [rad]

    Returns
    -------
    NDArray
        False as well on the very edge, for a panel seen edge-on, and where an angle is NaN.
    """
    level, down = _meridian(ahead, bank, pitch)
    below = np.asarray(depression, dtype=np.float64)[..., np.newaxis]
    inward = _inward_normals(corners)
    inside = _along(inward, level) * np.cos(below) + _along(inward, down) * np.sin(below)
    hidden: NDArray[np.bool_] = np.all(inside > 0.0, axis=-1)
    return hidden


def hidden_depressions(
    corners: Floats, ahead: ArrayLike, bank: ArrayLike, pitch: ArrayLike = 0.0
) -> tuple[Floats, Floats]:
    """Return the least and the greatest depression that a flat panel hides at an angle ahead of abeam [rad].

    Along one vertical the conditions of `is_hidden` are linear in tan D, nᵢ·(level + tan D down) > 0: each
    edge gives a lower or an upper bound, and what lies between the highest lower and the lowest upper bound
    is hidden.

    Parameters
    ----------
    corners
        Shape (4, 3), in order round the panel, which is flat and convex, from the eye [m]
    ahead
        α, ahead of abeam on this side, in the horizontal [rad]
    bank
        φ, toward the point positive [rad]
    pitch
        θ, nose up positive [rad]

    Returns
    -------
    least, greatest
        Above the horizon negative; both NaN where the panel hides nothing at this angle [rad]
    """
    level, down = _meridian(ahead, bank, pitch)
    inward = _inward_normals(corners)
    constant, slope = _along(inward, level), _along(inward, down)
    with np.errstate(divide="ignore", invalid="ignore"):
        bound = -constant / slope
    lower = np.where(slope > 0.0, bound, -np.inf).max(axis=-1)
    upper = np.where(slope < 0.0, bound, np.inf).min(axis=-1)
    open_everywhere = np.all((slope < 0.0) | (slope > 0.0) | (constant > 0.0), axis=-1)
    hides = open_everywhere & (lower < upper)
    return np.where(hides, np.arctan(lower), np.nan), np.where(hides, np.arctan(upper), np.nan)


def outline(
    corners: Floats, bank: float, pitch: float = 0.0, points_an_edge: int = 1
) -> tuple[Floats, Floats]:
    """Return where a flat panel stands in the view: the directions of its outline, for a picture [rad].

    Parameters
    ----------
    corners
        Shape (4, 3), in order round the panel, from the eye [m]
    bank
        φ, toward this side positive [rad]
    pitch
        θ, nose up positive [rad]
    points_an_edge
        How many places of each edge, its first corner included.

    Returns
    -------
    depression, ahead
        Shape (4 × points_an_edge,) each, as in `is_hidden` [rad]
    """
    share = np.arange(points_an_edge)[:, np.newaxis] / points_an_edge
    following = np.roll(corners, -1, axis=0)
    places = np.concatenate(
        [start + share * (end - start) for start, end in zip(corners, following, strict=True)]
    )
    along_nose, along_wing, under = places.T
    sideways = along_wing * np.cos(bank) - under * np.sin(bank)
    beneath = along_wing * np.sin(bank) + under * np.cos(bank)
    forward = along_nose * np.cos(pitch) + beneath * np.sin(pitch)
    down = beneath * np.cos(pitch) - along_nose * np.sin(pitch)
    return np.arctan2(down, np.hypot(forward, sideways)), np.arctan2(forward, sideways)


def _meridian(ahead: ArrayLike, bank: ArrayLike, pitch: ArrayLike) -> tuple[Floats, Floats]:
    """Return the level line of sight and straight down in the airplane's axes, components last."""
    bearing, roll, nose = np.broadcast_arrays(
        np.asarray(ahead, dtype=np.float64),
        np.asarray(bank, dtype=np.float64),
        np.asarray(pitch, dtype=np.float64),
    )
    forward, sideways = np.sin(bearing), np.cos(bearing)
    tilted = forward * np.sin(nose)
    level = np.stack(
        [
            forward * np.cos(nose),
            sideways * np.cos(roll) + tilted * np.sin(roll),
            tilted * np.cos(roll) - sideways * np.sin(roll),
        ],
        axis=-1,
    )
    down = np.stack([-np.sin(nose), np.cos(nose) * np.sin(roll), np.cos(nose) * np.cos(roll)], axis=-1)
    return level, down


def _inward_normals(corners: Floats) -> Floats:
    """Return the normals of the planes through the eye and each edge, toward the panel; shape (4, 3)."""
    normals = np.cross(corners, np.roll(corners, -1, axis=0))
    turned: Floats = normals * np.sign(normals[0] @ corners[2])
    return turned


def _along(normals: Floats, direction: Floats) -> Floats:
    """Return the component along each normal; shape (..., 4)."""
    component: Floats = direction @ normals.T
    return component
