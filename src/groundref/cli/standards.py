"""``groundref standards``: which standards there are, and what one says."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    from groundref.standards.standard import Element, Rule, Standard, Task

# What is said before the source of a limit that is not the standard's own.
_WHOSE: Final = {
    "standard": "",
    "handbook": "handbook: ",
    "practice": "our default: ",
}
_DEFAULTS: Final = (
    "A default of ours is no limit of the standard: the flown figure is shown, no verdict is given."
)
_RULES: Final = "Rules of the air, and advice, in our words; nothing here checks them"


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
    if name is not None:
        _print(load_standard(name), out)
        return
    known = map(load_standard, standard_names())
    out.print(_list([(standard.name, f"{standard.title} ({standard.edition})") for standard in known]))


def _print(standard: Standard, out: Console) -> None:
    """Print a standard: what it is, each task, where the limits are from, the rules, the cautions."""
    from groundref.reports.notices import CAUTIONS

    sources = _sources(standard)
    out.print(standard.title, style="bold", markup=False)
    out.print(f"{standard.publication}; {standard.edition}.", markup=False)
    if standard.note:
        out.print(f"\n{standard.note}", markup=False)
    for task in standard.tasks:
        out.print(f"\n{task.title} ({task.kind})", style="bold", markup=False)
        out.print(_table(task, sources))
    out.print("\nSources of the limits", style="bold")
    if any(element.basis == "practice" for task in standard.tasks for element in task.elements):
        out.print(_DEFAULTS)
    out.print(_list([(f"[{number}]", source) for source, number in sources.items()]))
    if standard.rules:
        out.print(f"\n{_RULES}", style="bold", markup=False)
        out.print(_list([("–", _rule(rule)) for rule in standard.rules]))
    out.print("\nCautions", style="bold")
    out.print(_list([("–", caution) for caution in CAUTIONS]))


def _sources(standard: Standard) -> dict[str, int]:
    """Return every source in the order met, with its number."""
    found = dict.fromkeys(_source(element) for task in standard.tasks for element in task.elements)
    return {source: number for number, source in enumerate(found, 1)}


def _table(task: Task, sources: dict[str, int]) -> Table:
    """Return what each element asks, its limit and the number of its source."""
    from rich.table import Table

    table = Table(box=None, padding=(0, 2, 0, 0))
    table.add_column("element", no_wrap=True)
    table.add_column("asks", ratio=1)
    table.add_column("limit", no_wrap=True)
    table.add_column("source", no_wrap=True)
    for element in task.elements:
        table.add_row(
            _text(element.code),
            _text(element.what),
            _text(_limit(element)),
            _text(f"[{sources[_source(element)]}]"),
        )
    return table


def _list(entries: Iterable[tuple[str, str]]) -> Table:
    """Return texts one below the other, each behind its mark."""
    from rich.table import Table

    table = Table.grid(padding=(0, 1))
    for mark, words in entries:
        table.add_row(_text(mark), _text(words))
    return table


def _text(words: str) -> Text:
    """Return words as they stand: a school's own may hold brackets."""
    from rich.text import Text

    return Text(words)


def _limit(element: Element) -> str:
    """Return the limit as it is said: a band, a deviation from a target, a largest value."""
    if element.limit is None:
        return "seen by eye" if element.quantity == "observed" else "none printed"
    unit = "°" if element.unit == "deg" else f" {element.unit}"
    if element.target is not None:
        return f"{element.target:g} ± {element.limit:g}{unit}"
    low = "" if element.minimum is None else f"{element.minimum:,g} to "
    return f"{low}{element.limit:,g}{unit}"


def _source(element: Element) -> str:
    """Return whose limit it is and where it is printed, without the code, which stands beside it anyway."""
    source = element.source.removesuffix(f", {element.code}")
    unread = element.published and not element.confirmed
    return f"{_WHOSE[element.basis]}{source}{' (not read in the original)' if unread else ''}"


def _rule(rule: Rule) -> str:
    """Return a rule with its source."""
    return f"{rule.what} ({rule.source}{'' if rule.confirmed else ', not read in the original'})"
