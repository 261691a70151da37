"""``groundref standards``: which standards there are, and what one says."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.table import Table

    from groundref.standards.standard import Element, Standard, Task


def standards(name: str | None = None, /) -> None:
    """List the standards, or print one.

    Parameters
    ----------
    name
        Name of a standard, or your own .toml file, which is checked on the way.
    """
    from groundref.cli.screen import console
    from groundref.standards.loading import load_standard, standard_names

    out = console()
    if name is None:
        for known in standard_names():
            standard = load_standard(known)
            out.print(f"{standard.name}  {standard.title} ({standard.edition})")
        return
    _print(load_standard(name))


def _print(standard: Standard) -> None:
    from groundref.cli.screen import console

    out = console()
    out.print(standard.title, style="bold")
    out.print(f"{standard.publication}; {standard.edition}")
    if standard.note:
        out.print(standard.note)
    for task in standard.tasks:
        out.print()
        out.print(f"{task.title} ({task.kind})", style="bold")
        out.print(_table(task))


def _table(task: Task) -> Table:
    from rich.table import Table

    table = Table("element", "asks", "limit", "where the limit is from", box=None, padding=(0, 2, 0, 0))
    for element in task.elements:
        table.add_row(element.code, element.what, _limit(element), _source(element))
    return table


def _limit(element: Element) -> str:
    if element.limit is None:
        return "seen by the instructor" if element.quantity == "observed" else "none printed"
    low = "" if element.minimum is None else f"{element.minimum:,g} to "
    return f"{low}{element.limit:,g} {element.unit}"


def _source(element: Element) -> str:
    if not element.published:
        return f"our default, not printed in the standard: {element.source}"
    return element.source if element.confirmed else f"{element.source} (read in a copy)"
