"""Options that say the same thing twice: which of them a plan uses, and how to have it use the other.

Two of one rank, such as two airspeeds, are refused. Where one is plainly meant to correct the other, such as
a wind typed beside a METAR, the plan is made, and nothing that was typed is passed over without a word.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from groundref.asking.plan import PlanAsked
from groundref.asking.weather import Said
from groundref.errors import InputError
from groundref.units import hectopascal, inch_hg, knot
from groundref.weather.metar import SurfaceReport, read_metar


@dataclass(frozen=True, slots=True)
class Aside:
    """Something given that is not used, as something else given goes before it.

    Attributes
    ----------
    option
        That is not used, or not in all.
    says
        One sentence: which is used instead, and how to use this one.
    """

    option: str
    says: str


def set_aside(asked: PlanAsked) -> tuple[Aside, ...]:
    """Return what is given and not used.

    Parameters
    ----------
    asked
        Of a plan; what cannot be planned is for others to refuse.
    """
    return tuple(_set_aside(asked))


def _set_aside(asked: PlanAsked) -> Iterator[Aside]:
    said = asked.weather
    report = None if said.metar is None else _read(said.metar)
    if report is not None:
        yield from _of_metar(asked, report)
    if said.winds_aloft and said.oat_c is not None:
        yield Aside(
            "--winds-aloft",
            "The temperature is that of --oat-c, not that of the winds aloft; leave --oat-c out for theirs.",
        )
    if said.variation_deg is not None and said.point is not None and (said.when or said.metar):
        yield Aside(
            "--variation-deg",
            "The magnetic variation is the one typed, not that of --point and day; leave --variation-deg out "
            "to use theirs.",
        )
    if said.magnetic and said.wind is None and asked.course_deg is None:
        yield Aside(
            "--magnetic",
            "Nothing given is taken as magnetic: reports and measured winds are true; give --wind or "
            "--course-deg for it.",
        )
    around = asked.around
    if around.surroundings is None and (around.obstacle_ft is not None or around.rules != "us"):
        yield Aside(
            "--rules" if around.obstacle_ft is None else "--obstacle-ft",
            "The least height is not looked at, as nobody said what is below; give --surroundings for it.",
        )


def _of_metar(asked: PlanAsked, report: SurfaceReport) -> Iterator[Aside]:
    said = asked.weather
    other = "--wind" if said.wind is not None else "--wind-file" if said.wind_file is not None else ""
    if other:
        yield Aside(
            "--metar",
            f"The wind is that of {other}, as it stands at the height, not that of the METAR, "
            f"{_unused(said, report)}; leave {other} out to use the METAR's.",
        )
    if said.winds_aloft:
        yield Aside(
            "--metar",
            "The wind is taken from --winds-aloft, with that of the METAR as the lowest level; leave "
            "--winds-aloft out to carry the METAR's up alone.",
        )
    if said.oat_c is not None and report.temperature is not None:
        yield Aside(
            "--oat-c",
            "The temperature is that of --oat-c, not that of the METAR; leave --oat-c out for the METAR's.",
        )
    setting = (
        "--altimeter-inhg"
        if said.altimeter_inhg is not None
        else "--altimeter-hpa"
        if said.altimeter_hpa is not None
        else ""
    )
    if setting and report.altimeter_setting is not None and not _same_setting(said, report.altimeter_setting):
        yield Aside(
            setting,
            f"The altimeter setting is that of {setting}, not that of the METAR; leave {setting} out for the "
            "METAR's.",
        )
    if said.when is not None:
        yield Aside("--when", "The day is that of --when, not that of the METAR; leave --when out to use it.")


def _same_setting(said: Said, reported: float) -> bool:
    """Return whether the setting typed is the one reported [Pa], as either unit rounds it."""
    if said.altimeter_inhg is not None:
        return round(said.altimeter_inhg, 2) == round(reported / inch_hg, 2)
    return said.altimeter_hpa is not None and round(said.altimeter_hpa) == round(reported / hectopascal)


def _unused(said: Said, report: SurfaceReport) -> str:
    """Return what of a METAR's wind is not planned with beside another wind, its gusts above all."""
    growth = "growth with height is not planned with"
    if report.gust is None or (said.wind is not None and "G" in said.wind.upper()):
        return f"whose {growth}"
    return f"whose gusts of {report.gust / knot:.0f} kt are not planned with, and whose {growth}"


def _read(text: str) -> SurfaceReport | None:
    try:
        return read_metar(text)
    except InputError:
        return None  # the plan itself says why
