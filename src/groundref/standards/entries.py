"""What stands in a standard's file, before it is checked: one structure for each table of the TOML."""

from __future__ import annotations

from msgspec import Struct


class ElementEntry(Struct, forbid_unknown_fields=True):
    """A `[[task.element]]`; the keys are those of `standard.Element`."""

    code: str
    what: str
    quantity: str
    source: str
    published: bool
    confirmed: bool
    limit: float | None = None
    minimum: float | None = None
    target: float | None = None
    unit: str = ""
    basis: str | None = None


class RuleEntry(Struct, forbid_unknown_fields=True):
    """A `[[rule]]`; the keys are those of `standard.Rule`."""

    what: str
    source: str
    confirmed: bool


class TaskEntry(Struct, forbid_unknown_fields=True):
    """A `[[task]]`."""

    kind: str
    title: str
    element: list[ElementEntry]


class StandardFile(Struct, forbid_unknown_fields=True):
    """The whole file."""

    name: str
    title: str
    publication: str
    edition: str
    task: list[TaskEntry]
    rule: list[RuleEntry] = []
    note: str = ""
