"""What the page may say while flying: one small JSON object a message, nothing else."""

from __future__ import annotations

from typing import Annotated, Final

import msgspec

from groundref.errors import InputError

LARGEST: Final = 256  # characters of a message; the longest that the page sends has thirty


class Order(msgspec.Struct, forbid_unknown_fields=True, frozen=True):
    """One message; empty, it only says that somebody is still there.

    Attributes
    ----------
    bank_deg
        Bank asked for, right positive.
    hold
        Whether to hold the bank as it is.
    paused
        Whether time stands still.
    done
        Whether the flight is over.
    """

    bank_deg: Annotated[float, msgspec.Meta(ge=-90, le=90)] | None = None
    hold: bool | None = None
    paused: bool | None = None
    done: bool = False


def order_in(message: str) -> Order:
    """Return what a message says.

    Parameters
    ----------
    message
        As it came.

    Raises
    ------
    InputError
        When it is none.
    """
    if len(message) > LARGEST:
        raise InputError("the message is too long", remedy="send what the page sends")
    try:
        return msgspec.json.decode(message, type=Order)
    except (msgspec.DecodeError, UnicodeError) as problem:
        raise InputError("the message is not understood", remedy="send what the page sends") from problem
