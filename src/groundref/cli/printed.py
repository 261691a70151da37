"""Options on paper and pictures of a plan."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final

from groundref.cli import options
from groundref.errors import UsageError

if TYPE_CHECKING:
    from groundref.planning import Plan

_PAPERS: Final = ("a4", "letter", "a5")


@dataclass(frozen=True)
class Printed:
    """Pictures and paper.

    Parameters
    ----------
    svg
        Draw the maneuver from above to this file, as SVG.
    png
        The same as PNG.
    pdf
        Write the brief, one page to print, to this file.
    paper
        Paper of the brief, a4 unless given; a5 is half size, for a kneeboard.
    units
        Units that pictures and brief are read in: us, feet and knots, unless metric is said, meters and
        km/h.
    student
        Name to print on the brief.
    instructor
        Name to print on the brief.
    """

    svg: Annotated[str | None, options.taking("FILE|-")] = None
    png: Annotated[str | None, options.taking("FILE|-")] = None
    pdf: Annotated[str | None, options.taking("FILE|-")] = None
    paper: Annotated[str | None, options.taking("a4|letter|a5")] = None
    units: Annotated[str | None, options.taking("us|metric")] = None
    student: Annotated[str | None, options.taking("NAME")] = None
    instructor: Annotated[str | None, options.taking("NAME")] = None

    @property
    def destinations(self) -> list[str | None]:
        """Where results go; None where one is not asked for."""
        return [self.svg, self.png, self.pdf]

    def check(self) -> None:
        """Refuse a paper that there is none of, what only the brief uses, and a file of another kind.

        Raises
        ------
        UsageError
            When a paper is unknown, an option of the brief stands without it, or a name ends otherwise.
        """
        for_brief = {"--paper": self.paper, "--student": self.student, "--instructor": self.instructor}
        for option, value in for_brief.items():
            if value is not None and self.pdf is None:
                raise UsageError("only the brief has use for it", option, "give --pdf too, or leave it out")
        for ending, name in ((".svg", self.svg), (".png", self.png), (".pdf", self.pdf)):
            # A device or a name without an ending is the user's own choice.
            if name is not None and Path(name).suffix.lower() not in ("", ending):
                raise UsageError(f"{name} does not end in {ending}", f"--{ending[1:]}", f"name it *{ending}")
        options.units(self.units, any(self.destinations))
        if self.paper is not None and self.paper not in _PAPERS:
            raise UsageError(f"{self.paper!r} is no paper", "--paper", "choose a4, letter or a5")

    def made(self, plan: Plan) -> Mapping[str, bytes]:
        """Return what was asked for, by its destination.

        Parameters
        ----------
        plan
            What was planned.
        """
        if not any(self.destinations):
            return {}
        from groundref.reports.brief import render
        from groundref.reports.brief.content import People

        units = options.units(self.units, uses=True)
        made: dict[str, bytes] = {}
        if self.svg:
            made[self.svg] = render.picture_svg(plan, units)
        if self.png:
            made[self.png] = render.picture_png(plan, units)
        if self.pdf:
            made[self.pdf] = render.page(
                plan, self.paper or _PAPERS[0], People(self.student, self.instructor), units=units
            )
        return made
