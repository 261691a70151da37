"""One change on the way to the next exercise."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Step:
    """One change that is proposed, or a word why there is none.

    Attributes
    ----------
    rule
        Short and stable, for programs, such as `wider-radius`.
    saw
        What in the debrief asks for it.
    change
        What is changed.
    why
        Why it helps.
    """

    rule: str
    saw: str
    change: str
    why: str
