"""Where on the earth a picture from above lies, said so that a page can lay a map beneath it."""

from __future__ import annotations

import numpy as np

from groundref.geo.frame import LocalFrame
from groundref.reports.figures.plan import Plan


def lies(frame: LocalFrame, plan: Plan) -> str:
    """Return what ``origin`` says of a picture that is drawn on a map of metres.

    Parameters
    ----------
    frame
        Of the metres.
    plan
        The map.
    """
    return origin(frame, *plan.xy(0.0, 0.0), plan.scale)


def origin(frame: LocalFrame, x: float, y: float, scale: float) -> str:
    """Return the frame's latitude and longitude [deg], where its origin lies on paper, and paper for a metre.

    Parameters
    ----------
    frame
        Azimuthal equidistant about its origin, as ``LocalFrame`` is.
    x, y
        Where its origin lies on paper, be it off the picture.
    scale
        Paper for each metre.
    """
    latitude, longitude = np.degrees([frame.latitude, frame.longitude]).tolist()
    return f"{latitude:.8f} {longitude:.8f} {x:.2f} {y:.2f} {scale:.8g}"
