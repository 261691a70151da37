"""Which limits mean something: the quantities with their units, and what is refused in one sentence."""

from __future__ import annotations

from math import isfinite
from typing import Final

from groundref.errors import InputError
from groundref.standards.entries import ElementEntry

# What a limit of each quantity is measured in; an observed element has no limit.
UNITS: Final = {
    "altitude": "ft",
    "airspeed": "kt",
    "height-band": "ft",
    "bank": "deg",
    "bank-held": "deg",
    "rollout-heading": "deg",
    "entry": "deg",
    "entry-angle": "deg",
    "radius": "ft",
    "crossing": "deg",
    "level-at-line": "deg",
    "leg-distance": "ft",
    "pylon": "deg",
    "pivotal-height": "ft",
    "straight-segment": "s",
    "coordination": "g",
    "observed": "",
}
# The quantities that are compared with a target, and the largest target that means anything.
TARGETS: Final = {"bank-held": 89.0, "entry-angle": 180.0}
_MINIMUMS: Final = ("height-band", "straight-segment")
BASES: Final = ("standard", "handbook", "practice")


def basis_of(element: ElementEntry, where: str) -> str:
    """Return whose limit it is: as stated, else the standard's when published and practice when not."""
    usual = "standard" if element.published else "practice"
    basis = usual if element.basis is None else element.basis
    if basis not in BASES:
        raise InputError(f"there is no basis {basis!r}", f"{where}, basis", f"take one of {', '.join(BASES)}")
    if (basis == "practice") == element.published:
        raise InputError(
            f"a number with published = {str(element.published).lower()} cannot have the basis {basis!r}",
            f"{where}, basis",
            "only a number of common practice is not printed in its source",
        )
    return basis


def check_limit(element: ElementEntry, where: str) -> None:
    """Refuse limits that mean nothing for their quantity."""
    unit = UNITS[element.quantity]
    if element.limit is None:
        _check_no_limit(element, where)
        return
    if not unit:
        raise InputError("an observed element has no limit", f"{where}, limit", "leave `limit` out")
    if element.unit != unit:
        raise _wrong_unit(element, where)
    if not (isfinite(element.limit) and element.limit > 0):
        raise InputError(f"{element.limit:g} is no limit", f"{where}, limit", "write a number above zero")
    _check_minimum(element, element.limit, where)


def _check_no_limit(element: ElementEntry, where: str) -> None:
    """Refuse an element without a limit whose quantity needs one, or with what belongs beside a limit."""
    if element.quantity == "height-band":
        raise InputError("a height band needs both ends", f"{where}, limit", "give `minimum` and `limit`")
    if element.quantity in TARGETS:
        raise InputError(
            f"{element.quantity} needs a limit", f"{where}, limit", "give the deviation allowed from `target`"
        )
    if element.minimum is not None:
        raise InputError("a minimum needs a limit beside it", f"{where}, minimum", "give `limit` too")
    if element.unit not in ("", UNITS[element.quantity]):
        raise _wrong_unit(element, where)


def _wrong_unit(element: ElementEntry, where: str) -> InputError:
    """Return the refusal of a unit that is not the quantity's."""
    unit = UNITS[element.quantity]
    if not unit:
        return InputError("an observed element has no unit", f"{where}, unit", "leave `unit` out")
    what = f"a limit of {element.quantity} is in {unit!r}, not {element.unit!r}"
    return InputError(what, f"{where}, unit", f'write unit = "{unit}"')


def _check_minimum(element: ElementEntry, limit: float, where: str) -> None:
    """Refuse a minimum that is missing, that is out of place, or that does not lie below the limit."""
    if element.quantity == "height-band" and element.minimum is None:
        raise InputError("a height band needs both ends", f"{where}, minimum", "give `minimum` and `limit`")
    if element.quantity not in _MINIMUMS and element.minimum is not None:
        raise InputError(
            "only a height band and a straight segment have a minimum",
            f"{where}, minimum",
            "leave `minimum` out",
        )
    if element.minimum is not None and not 0 <= element.minimum < limit:
        raise InputError(
            f"the minimum {element.minimum:g} does not lie below the limit {limit:g}",
            f"{where}, minimum",
            "write the lower end as `minimum`",
        )


def check_target(element: ElementEntry, where: str) -> None:
    """Refuse a target that is missing, that is out of place, or that means nothing for its quantity."""
    largest = TARGETS.get(element.quantity)
    if largest is None and element.target is not None:
        raise InputError(
            f"{element.quantity} has no target",
            f"{where}, target",
            f"leave `target` out; it belongs to {' and '.join(TARGETS)}",
        )
    if largest is not None and element.target is None:
        raise InputError(
            f"{element.quantity} needs a target", f"{where}, target", "give what should be flown"
        )
    if largest is not None and element.target is not None and not 0 < element.target <= largest:
        raise InputError(
            f"{element.target:g} is no target of {element.quantity}",
            f"{where}, target",
            f"write a number above 0 and not above {largest:g}",
        )
