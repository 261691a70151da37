"""Standards from their data files: those of the package, and a school's own."""

from __future__ import annotations

from math import isfinite
from typing import Final

from msgspec import Struct

from groundref import datafile
from groundref.errors import InputError
from groundref.standards.standard import Element, Standard, Task

DEFAULT: Final = "private-pilot"

# What a limit of each quantity is measured in; an observed element has no limit.
UNITS: Final = {
    "altitude": "ft",
    "airspeed": "kt",
    "height-band": "ft",
    "bank": "deg",
    "entry": "deg",
    "radius": "ft",
    "coordination": "g",
    "observed": "",
}
BASES: Final = ("standard", "handbook", "practice")
KINDS: Final = (
    "turns-around-a-point",
    "s-turns",
    "rectangular-course",
    "eights-along-a-road",
    "eights-across-a-road",
    "eights-around-pylons",
    "eights-on-pylons",
    "steep-turns",
)


class _Element(Struct, forbid_unknown_fields=True):
    code: str
    what: str
    quantity: str
    source: str
    published: bool
    confirmed: bool
    limit: float | None = None
    minimum: float | None = None
    unit: str = ""
    basis: str | None = None


class _Task(Struct, forbid_unknown_fields=True):
    kind: str
    title: str
    element: list[_Element]


class _File(Struct, forbid_unknown_fields=True):
    name: str
    title: str
    publication: str
    edition: str
    task: list[_Task]
    note: str = ""


def standard_names() -> list[str]:
    """Return the names of the standards that come with the package."""
    return datafile.names("groundref.standards")


def load_standard(name_or_file: str = DEFAULT) -> Standard:
    """Read a standard.

    Parameters
    ----------
    name_or_file
        A name from ``standard_names()``, or the path of a TOML file.

    Raises
    ------
    UsageError
        When there is no standard of that name.
    InputError
        When the file cannot be read, or a key in it does not fit; the message names file, table and key.
    """
    text, where = datafile.find(name_or_file, "groundref.standards", "standard")
    return parse_standard(text, where)


def parse_standard(text: str, where: str) -> Standard:
    """Read a standard from TOML text; ``where`` names it in messages."""
    content = datafile.parse(text, where, _File)
    tasks = tuple(_task(task, f"{where}: task {n}") for n, task in enumerate(content.task, 1))
    kinds = [task.kind for task in tasks]
    for kind in kinds:
        if kinds.count(kind) > 1:
            raise InputError(f"there are two tasks of kind {kind!r}", where, "put all its elements into one")
    return Standard(
        name=content.name,
        title=content.title,
        publication=content.publication,
        edition=content.edition,
        note=content.note,
        tasks=tasks,
    )


def _task(task: _Task, where: str) -> Task:
    if task.kind not in KINDS:
        raise InputError(
            f"there is no maneuver {task.kind!r}", f"{where}, kind", f"take one of {', '.join(KINDS)}"
        )
    elements = (_element(element, f"{where}, element {n}") for n, element in enumerate(task.element, 1))
    return Task(kind=task.kind, title=task.title, elements=tuple(elements))


def _element(element: _Element, where: str) -> Element:
    if element.quantity not in UNITS:
        raise InputError(
            f"there is no quantity {element.quantity!r}",
            f"{where}, quantity",
            f"take one of {', '.join(UNITS)}",
        )
    _check_limit(element, where)
    return Element(
        code=element.code,
        what=element.what,
        quantity=element.quantity,
        limit=element.limit,
        minimum=element.minimum,
        unit=element.unit,
        published=element.published,
        source=element.source,
        confirmed=element.confirmed,
        basis=_basis(element, where),
    )


def _basis(element: _Element, where: str) -> str:
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


def _check_limit(element: _Element, where: str) -> None:
    """Refuse limits that mean nothing for their quantity."""
    unit = UNITS[element.quantity]
    if element.limit is None:
        _check_no_limit(element, where)
        return
    if not unit:
        raise InputError("an observed element has no limit", f"{where}, limit", "leave `limit` out")
    if element.unit != unit:
        raise InputError(
            f"a limit of {element.quantity} is in {unit!r}, not {element.unit!r}",
            f"{where}, unit",
            f'write unit = "{unit}"',
        )
    if not (isfinite(element.limit) and element.limit > 0):
        raise InputError(f"{element.limit:g} is no limit", f"{where}, limit", "write a number above zero")
    _check_minimum(element, element.limit, where)


def _check_no_limit(element: _Element, where: str) -> None:
    if element.quantity == "height-band":
        raise InputError("a height band needs both ends", f"{where}, limit", "give `minimum` and `limit`")
    if element.minimum is not None:
        raise InputError("a minimum needs a limit beside it", f"{where}, minimum", "give `limit` too")


def _check_minimum(element: _Element, limit: float, where: str) -> None:
    band = element.quantity == "height-band"
    if band and element.minimum is None:
        raise InputError("a height band needs both ends", f"{where}, minimum", "give `minimum` and `limit`")
    if not band and element.minimum is not None:
        raise InputError("only a height band has a minimum", f"{where}, minimum", "leave `minimum` out")
    if element.minimum is not None and not 0 <= element.minimum < limit:
        raise InputError(
            f"the minimum {element.minimum:g} does not lie below the limit {limit:g}",
            f"{where}, minimum",
            "write the lower height as `minimum`",
        )
