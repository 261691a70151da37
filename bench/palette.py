"""A picture of a page as a PNG of at most 256 colors: fewer bytes, and no difference to be seen."""

from __future__ import annotations

import struct
import zlib
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.cluster.vq import kmeans2, vq

COLORS: Final = 256
_SIGNATURE: Final = b"\x89PNG\r\n\x1a\n"


def png(pixels: NDArray[np.uint8]) -> bytes:
    """Return a picture as an indexed PNG (ISO/IEC 15948).

    Parameters
    ----------
    pixels
        Red, green and blue, of shape (height, width, 3).
    """
    high, wide, _ = pixels.shape
    colors, place = _reduced(pixels.reshape(-1, 3))
    rows = np.zeros((high, 1 + wide), np.uint8)  # each row begins with its filter: none
    rows[:, 1:] = place.reshape(high, wide)
    header = struct.pack(">IIBBBBB", wide, high, 8, 3, 0, 0, 0)
    parts = (
        (b"IHDR", header),
        (b"PLTE", colors.tobytes()),
        (b"IDAT", zlib.compress(rows.tobytes(), 9)),
        (b"IEND", b""),
    )
    return _SIGNATURE + b"".join(_chunk(name, content) for name, content in parts)


def _reduced(pixels: NDArray[np.uint8]) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    """Return the colors kept and, for each pixel, which of them it has."""
    every, place, count = np.unique(pixels, axis=0, return_inverse=True, return_counts=True)
    if len(every) <= COLORS:
        return every, place.astype(np.uint8)
    # The commonest begin: paper and ink stay exactly what they are, shades between them move a little.
    fixed = every[np.argsort(-count)[: COLORS // 4]].astype(float)
    rest = every.astype(float)
    shades, _ = kmeans2(rest, COLORS - len(fixed), minit="++", seed=1, missing="warn")
    colors = np.round(np.vstack((fixed, shades))).clip(0, 255)
    nearest, _ = vq(rest, colors)
    return colors.astype(np.uint8), nearest[place].astype(np.uint8)


def _chunk(name: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + name + content + struct.pack(">I", zlib.crc32(name + content))
