"""Which figures of a page nothing says the source of: a cell with a number in it, no note for its name."""

from __future__ import annotations

import re

import lxml.html

from groundref.reports.known.printed import NOT_FIGURES
from groundref.reports.known.printed_plan import PLAN_NOT_FIGURES

EVERY = "…"


def untold(page: str) -> list[str]:
    """Return name and text of each figure without a note; of a good page none."""
    tree = lxml.html.fromstring(page)
    return [
        f"{name}: {text}"
        for cell in tree.iter("td", "dd")
        if re.search(r"\d", text := " ".join(cell.text_content().split()))
        and not cell.xpath("ancestor-or-self::*[@data-figures='none']")
        and (name := _name(cell)) not in NOT_FIGURES | PLAN_NOT_FIGURES
        and not _noted(tree, cell, name)
    ]


def _name(cell):
    if cell.tag == "dd":
        return _words(cell.getprevious())
    row, table = cell.getparent(), next(cell.iterancestors("table"))
    if table.get("data-by") == "row":
        return _words(row.find("th"))
    heads = table.find("thead").findall(".//tr")[-1]
    return _words(list(heads)[list(row).index(cell)])


def _words(element):
    """Return the words of a heading without the small print in it."""
    return " ".join((element.text or "").split())


def _noted(tree, cell, name):
    owners = cell.xpath("ancestor-or-self::*[@data-known][1]")
    if not owners:
        return False
    notes = tree.xpath(f"//*[@id='{owners[0].get('data-known')}']//*[@data-of]")
    names = {each for note in notes for each in note.get("data-of").split("|")}
    return name in names or EVERY in names
