"""All that is wrong in a form, told at once: field by field, each by the label that its reader sees."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import NamedTuple

from groundref.errors import OutOfRangeError, UsageError
from groundref.track.counting import counted
from groundref.web import typed


class Wrong(NamedTuple):
    """What is wrong in a field: the label that it is read by, and a sentence."""

    label: str
    says: str


class FieldsError(UsageError):
    """Fields of a form make no sense.

    Parameters
    ----------
    fields
        What is wrong, by the name of the field in the form that was sent.
    """

    def __init__(self, fields: Mapping[str, Wrong]) -> None:
        super().__init__(" ".join(f"{label}: {says}" for label, says in fields.values()))
        self.fields = dict(fields)

    @property
    def counted(self) -> str:
        """How many there are, in words."""
        return f"{counted(len(self.fields), 'field')} {'is' if len(self.fields) == 1 else 'are'} not right"


@dataclass(slots=True)
class Gathered:
    """What is wrong in a form, gathered while it is read.

    Attributes
    ----------
    labels
        Of the fields, by their names in an address, without a unit.
    metric
        Whether the form is that of somebody who reads metric units.
    found
        What is wrong, by the name of the field in that form.
    """

    labels: Mapping[str, str]
    metric: bool
    found: dict[str, Wrong] = field(default_factory=dict)

    @contextmanager
    def at(self, name: str) -> Iterator[None]:
        """Read a field inside; what is refused there is wrong with it, unless the refusal names another."""
        try:
            yield
        except UsageError as problem:
            named = problem.where.partition(",")[0]
            self.add(named if named in self.labels else name, problem)

    def add(self, name: str, problem: UsageError) -> None:
        """Note what is wrong with a field; of two refusals the first stands."""
        turned = self.metric and bool(typed.unit_of(name))
        what, remedy = typed.refusal(problem, name) if turned else (problem.what, problem.remedy)
        if isinstance(problem, OutOfRangeError) and not turned and "direction" not in problem.where:
            remedy = f"{remedy} {typed.unit_of(name)}".rstrip()
        sentence = f"{what}; {remedy}" if remedy else what
        own = typed.metric_name(name) if self.metric else name
        self.found.setdefault(own, Wrong(self.labels[name], f"{sentence[:1].upper()}{sentence[1:]}."))

    def refuse(self) -> None:
        """Refuse the form where anything is wrong in it.

        Raises
        ------
        FieldsError
            With all of it.
        """
        if self.found:
            raise FieldsError(self.found)
