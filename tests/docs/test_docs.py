"""The pages tell the truth: their examples run, and every command and option stands in them."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from groundref.aircraft.loading import parse_aircraft
from groundref.assessment.findings import APPLIES
from groundref.assessment.findings import FAULTS as ERRORS
from groundref.cli.main import COMMANDS, build
from groundref.cli.record import COMMANDS as RECORD_COMMANDS
from groundref.cli.record import record_app
from groundref.simulation.faults import FAULTS
from groundref.simulation.shapes import APPLYING
from groundref.standards.loading import parse_standard
from groundref.standards.usual import USUAL
from groundref.units import degree, foot

ROOT = Path(__file__).parents[2]
PAGES = [ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md"))]
COMMANDS_PAGE = (ROOT / "docs" / "commands.md").read_text("utf-8")


def blocks(page: Path, language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```$", page.read_text("utf-8"), re.MULTILINE | re.DOTALL)


def groundref(*words: str, cwd: Path) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "groundref", *words],
        cwd=cwd,
        capture_output=True,
        text=True,
        check=False,
        env={
            **os.environ,
            "COLUMNS": "100",  # as wide as the pages show it
            "GROUNDREF_RECORD": str(cwd / "training-record.sqlite"),
        },
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def matches(printed: str, shown: str) -> bool:
    """Return whether what was printed is what the page shows, where `…` stands for anything."""
    pattern = ".*".join(re.escape(" ".join(part.split())) for part in shown.split("…"))
    return (
        re.fullmatch(r"\s*" + pattern.replace(r".*\ ", ".*") + r"\s*", " ".join(printed.split())) is not None
    )


@pytest.mark.parametrize(
    "page", [page for page in PAGES if blocks(page, "console")], ids=lambda page: page.name
)
def test_commands_print_what_the_page_shows(page: Path, tmp_path: Path) -> None:
    for block in blocks(page, "console"):
        for example in re.split(r"^\$ ", block, flags=re.MULTILINE)[1:]:
            command, _, shown = example.partition("\n")
            program, *words = shlex.split(command)
            assert program == "groundref"
            printed = groundref(*words, cwd=tmp_path)
            assert matches(printed, shown), printed


def test_the_commands_of_the_readme_work_as_they_stand_in_their_order(tmp_path: Path) -> None:
    here = ".venv/bin/groundref "
    lines = "".join(blocks(ROOT / "README.md", "sh")).splitlines()
    commands = [shlex.split(line.removeprefix(here)) for line in lines if line.startswith(here)]
    assert [words[0] for words in commands] == [
        "plan", "plan", "simulate", "debrief", "record", "record",
    ]  # fmt: skip
    printed = [groundref(*words, cwd=tmp_path) for words in commands]
    assert "fly wider" in printed[0]
    assert "do not fit together" not in printed[1]
    assert "Plan and flight" in printed[3]
    assert "Lesson 1 is in the record: Jo Brandt with Ines Okafor" in printed[4]
    assert "Progress of Jo Brandt" in printed[5]
    assert {"plan.json", "brief.pdf", "lesson.gpx", "lesson.html"} <= {
        each.name for each in tmp_path.iterdir()
    }


def test_every_page_stands_in_the_table_of_the_readme() -> None:
    readme = (ROOT / "README.md").read_text("utf-8")
    for page in PAGES[1:]:
        assert f"| [docs/{page.name}](docs/{page.name}) |" in readme


@pytest.mark.parametrize(
    "page", [page for page in PAGES if blocks(page, "python")], ids=lambda page: page.name
)
def test_python_on_the_page_runs(page: Path, tmp_path: Path) -> None:
    groundref("simulate", "turns-around-a-point", "-o", "lesson.gpx", cwd=tmp_path)
    script = "\n".join(blocks(page, "python"))
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=tmp_path, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip()


def test_the_data_files_on_the_page_are_accepted() -> None:
    standard, airplane = blocks(ROOT / "docs" / "data-files.md", "toml")
    assert parse_standard(standard, "page").name == tomllib.loads(standard)["name"]
    assert parse_aircraft(airplane, "page").name == tomllib.loads(airplane)["name"]


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_and_option_stands_in_the_page(command: str) -> None:
    assert f"groundref {command}" in COMMANDS_PAGE
    for argument in build()[command].assemble_argument_collection(parse_docstring=False):
        for name in argument.names:
            if name.startswith("--") and name != "--output":
                assert name in COMMANDS_PAGE, name


@pytest.mark.parametrize("command", RECORD_COMMANDS)
def test_every_command_and_option_of_the_record_stands_in_its_page(command: str) -> None:
    page = (ROOT / "docs" / "record.md").read_text("utf-8")
    assert f"groundref record {command}" in page
    for argument in record_app()[command].assemble_argument_collection(parse_docstring=False):
        for name in argument.names:
            if name.startswith("--"):
                assert name in page, name


def test_every_fault_stands_in_the_page_with_its_size() -> None:
    page = (ROOT / "docs" / "simulate.md").read_text("utf-8")
    rows = re.findall(r"^\| `([a-z-]+)` \| (\w+) \| ([\d.]+) \|", page, re.MULTILINE)
    shown = {name: (unit, float(size)) for name, unit, size in rows}
    assert shown == {name: (fault.unit, fault.default) for name, fault in FAULTS.items()}


def test_the_page_says_which_faults_apply_and_what_is_usual() -> None:
    page = (ROOT / "docs" / "simulate.md").read_text("utf-8")
    applying = dict(re.findall(r"^\| `([a-z-]+)` \| ((?:`[a-z-]+` )+)\|$", page, re.M))
    assert {kind: set(re.findall(r"`([a-z-]+)`", names)) for kind, names in applying.items()} == {
        kind: set(names) for kind, names in APPLYING.items()
    }
    number = r" ([\d,]+) \|"
    rows = re.findall(rf"^\| `([a-z-]+)` \| [a-z ,]+ \|{number * 4}$", page, re.M)
    shown = {kind: [float(each.replace(",", "")) for each in figures] for kind, *figures in rows}
    assert shown == {
        kind: pytest.approx([one.laps, one.radius / foot, one.height / foot, one.bank / degree])
        for kind, one in USUAL.items()
    }


def test_every_finding_stands_in_its_page_and_the_kinds_that_it_is_looked_for_in() -> None:
    page = (ROOT / "docs" / "findings.md").read_text("utf-8")
    headings = re.findall(r"^### (.*)$", page, re.MULTILINE)
    assert sorted(name for heading in headings for name in heading.split(", ")) == sorted(ERRORS)
    rows = re.findall(r"^\| `([a-z-]+)` \| ((?:`[a-z-]+` ?)+) \|$", page, re.MULTILINE)
    shown = {kind: set(re.findall(r"`([a-z-]+)`", names)) for kind, names in rows}
    assert shown == {kind: set(faults) for kind, faults in APPLIES.items()}


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_links_lead_somewhere(page: Path) -> None:
    for target in re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", page.read_text("utf-8")):
        assert (page.parent / target).exists(), target
