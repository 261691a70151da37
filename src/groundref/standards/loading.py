"""Standards from their data files: those of the package, and a school's own."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import Final

from groundref import datafile
from groundref.errors import InputError
from groundref.standards.checks import UNITS, basis_of, check_limit, check_target
from groundref.standards.entries import ElementEntry, StandardFile, TaskEntry
from groundref.standards.standard import Element, Rule, Standard, Task

DEFAULT: Final = "private-pilot"
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


@lru_cache(maxsize=16)  # most of the time of a plan otherwise
def parse_standard(text: str, where: str) -> Standard:
    """Read a standard from TOML text; ``where`` names it in messages."""
    content = datafile.parse(text, where, StandardFile)
    if not content.task:
        raise InputError(
            "there is no task", f"{where}: task", "write at least one [[task]] with its elements"
        )
    tasks = tuple(_task(task, f"{where}: task {n}") for n, task in enumerate(content.task, 1))
    _refuse_repeated([task.kind for task in tasks], where)
    return Standard(
        name=content.name,
        title=content.title,
        publication=content.publication,
        edition=content.edition,
        note=content.note,
        tasks=tasks,
        rules=tuple(Rule(rule.what, rule.source, rule.confirmed) for rule in content.rule),
    )


def _refuse_repeated(kinds: Iterable[str], where: str) -> None:
    """Refuse a second task of one kind."""
    seen: set[str] = set()
    for number, kind in enumerate(kinds, 1):
        if kind in seen:
            raise InputError(
                f"there are two tasks of kind {kind!r}",
                f"{where}: task {number}, kind",
                "put all its elements into one",
            )
        seen.add(kind)


def _task(task: TaskEntry, where: str) -> Task:
    if task.kind not in KINDS:
        raise InputError(
            f"there is no maneuver {task.kind!r}", f"{where}, kind", f"take one of {', '.join(KINDS)}"
        )
    if not task.element:
        raise InputError(
            "the task has no elements", f"{where}, element", "write at least one [[task.element]]"
        )
    elements = (_element(element, f"{where}, element {n}") for n, element in enumerate(task.element, 1))
    return Task(kind=task.kind, title=task.title, elements=tuple(elements))


def _element(element: ElementEntry, where: str) -> Element:
    if element.quantity not in UNITS:
        raise InputError(
            f"there is no quantity {element.quantity!r}",
            f"{where}, quantity",
            f"take one of {', '.join(UNITS)}",
        )
    check_limit(element, where)
    check_target(element, where)
    return Element(
        code=element.code,
        what=element.what,
        quantity=element.quantity,
        limit=element.limit,
        minimum=element.minimum,
        unit=UNITS[element.quantity],
        published=element.published,
        source=element.source,
        confirmed=element.confirmed,
        basis=basis_of(element, where),
        target=element.target,
    )
