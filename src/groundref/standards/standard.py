"""A published standard: the elements of a task and their limits."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Element:
    """One element of a task.

    Attributes
    ----------
    code
        Code printed in the standard, such as `PA.V.B.S7`; an own short name where none is printed.
    what
        What it asks, in own plain words.
    quantity
        What is compared: `altitude` (deviation from the height at the start), `airspeed` (deviation from
        the airspeed at the start), `height-band` (height above ground within ``minimum`` and ``limit``),
        `bank` (largest bank), `bank-held` (bank off ``target`` between rolling in and rolling out),
        `rollout-heading` (heading at roll-out off the one at the start), `entry` (track off downwind at the
        start), `entry-angle` (angle between the entry track and the first leg off ``target``), `radius`
        (largest distance from the constant radius), `crossing` (track off square to the line where it is
        crossed), `level-at-line` (bank where the line is crossed), `leg-distance` (distance from
        the boundary off its mean), `pylon` (pylon off the wing line), `pivotal-height` (height off
        the pivotal height), `straight-segment` (time flown straight between the pylons),
        `coordination` (lateral acceleration), or `observed` (only an instructor can see it).
    limit
        The limit; None where the standard prints no number and no default is offered [``unit``]
    minimum
        Lower limit of a height band, or shortest straight segment; None otherwise [``unit``]
    unit
        `ft`, `kt`, `deg`, `g`, `s` or empty.
    published
        True when the number is printed in the source; False for a default of common practice.
    source
        Publication, edition and paragraph, or `common practice, no source`.
    confirmed
        Whether the text was confirmed against the publication itself.
    basis
        `standard` for a limit of the standard itself, `handbook` for a handbook's advice, which is judged as
        a limit but is none of the standard, `practice` for a default of common practice, which is not judged.
    target
        What `bank-held` and `entry-angle` should be, from which ``limit`` is the largest deviation;
        None for other quantities [``unit``]
    """

    code: str
    what: str
    quantity: str
    limit: float | None
    minimum: float | None
    unit: str
    published: bool
    source: str
    confirmed: bool
    basis: str = "standard"
    target: float | None = None


@dataclass(frozen=True, slots=True)
class Task:
    """The elements that apply to one kind of maneuver.

    Attributes
    ----------
    kind
        Such as `turns-around-a-point`.
    title
        Title in plain words.
    elements
        In the order printed.
    """

    kind: str
    title: str
    elements: tuple[Element, ...]


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule of the air, or advice, that bounds where and how low a maneuver may be flown; it is not judged.

    Attributes
    ----------
    what
        What it asks, in own plain words.
    source
        Publication and paragraph.
    confirmed
        Whether the text was confirmed against the publication itself.
    """

    what: str
    source: str
    confirmed: bool


@dataclass(frozen=True, slots=True)
class Standard:
    """A standard for one applicant.

    Attributes
    ----------
    name
        Name on the command line, such as `private-pilot`.
    title, publication, edition
        As published.
    note
        What could not be confirmed, in plain sentences; empty when nothing.
    tasks
        One per kind of maneuver.
    rules
        The low-flying and other rules that hold where the standard is used.
    """

    name: str
    title: str
    publication: str
    edition: str
    note: str
    tasks: tuple[Task, ...]
    rules: tuple[Rule, ...] = ()

    def task(self, kind: str) -> Task | None:
        """Return the task for a kind of maneuver, None when the standard has none."""
        return next((task for task in self.tasks if task.kind == kind), None)
