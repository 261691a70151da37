"""Write anew what the examples of two pages print: python -m tests.docs.rewrite_examples [PAGE.md].

The pages are docs/maneuvers.md and docs/plan.md.

Only what a command prints is written; commands and text are the page's own. Read the changes before they go
in: the page shows what is true, and that may have become worse.
"""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
import tempfile
from functools import partial
from pathlib import Path

DOCS = Path(__file__).parents[2] / "docs"
FIRST = "What to talk about first"
# Of a plan: the caution that numbers do not fit, and these parts of it.
UNFIT = re.compile(r"^- CARE: .* do not fit together.*?(?=^- |^Fit )", re.MULTILINE | re.DOTALL)
# Of a plan with one of these options: what it says of it.
BY_OPTION = {
    "--ladder": r"^The next exercise.*?\n(?=\n)",
    "--landing": r"^- (?:STOP|CARE): .*?(?=^\S)",
    "--winds-aloft": r"^Wind at height.*?(?=^\S)",
}
PARTS = ("What to fly", "Do airspeed, radius and bank fit together?")


def shown(printed: str) -> str:
    """Return of a summary the traffic pattern, or else the maneuver with its first finding; or nothing."""
    if pattern := re.search(r"^Traffic pattern.*$", printed, re.MULTILINE):
        return f"…\n{pattern[0].strip()}\n…"
    head, found, rest = printed.partition(f"\n{FIRST}\n")
    if not found:
        return "…"
    title = next(line for line in reversed(head.splitlines()) if line.strip() and "UTC" not in line)
    finding = []
    for line in rest.splitlines():
        if " UTC" in line or not line.strip():  # laps, size and times, or the next heading
            break
        finding.append(line.rstrip())
    return "\n".join(["…", title.strip(), "…", FIRST, *finding, "…"])


def shown_of_options(command: str, printed: str) -> str:
    """Return of a plan what an option is about; nothing where the command has none of them."""
    found = [
        line
        for option, wanted in BY_OPTION.items()
        if option in command
        for line in re.findall(wanted, printed, re.MULTILINE | re.DOTALL)
    ]
    parts = ("\n".join(map(str.rstrip, part.strip("\n").splitlines())) for part in found)
    return "\n".join(["…", *(part + "\n…" for part in parts)]) if found else ""


def shown_of_a_plan(printed: str) -> str:
    """Return the schedule of a plan and what fits together, or that the numbers do not."""
    parts = [found[0] for found in [UNFIT.search(printed)] if found]
    blocks = re.split(r"\n\s*\n", printed)
    wanted = PARTS if parts else PARTS[:1]
    parts += [block for block in blocks if block.strip().startswith(wanted)]
    return "\n".join(["…", *("\n".join(map(str.rstrip, part.splitlines())) + "\n…" for part in parts)])


def shown_of_both(printed: str) -> str:
    """Return of a debrief what stands there of its plan."""
    part = next(block for block in re.split(r"\n\s*\n", printed) if block.startswith("Plan and flight"))
    return "\n".join(["…", *map(str.rstrip, part.splitlines()), "…"])


def rewritten(block: str, folder: str) -> str:
    """Return a block of commands with what they print now."""
    parts = []
    for command in re.findall(r"^\$ (.*)$", block, re.MULTILINE):
        done = subprocess.run(
            [sys.executable, "-m", *shlex.split(command)],
            cwd=folder,
            capture_output=True,
            text=True,
            check=True,
        )
        show = shown_of_a_plan if command.startswith("groundref plan") else shown
        show = shown_of_both if "--plan " in command else show
        options = shown_of_options(command, done.stdout) if command.startswith("groundref plan") else ""
        parts.append(f"$ {command}\n{options or show(done.stdout)}\n")
    return "".join(parts)


def main() -> None:
    """Rewrite the pages."""
    for name in sys.argv[1:] or ("maneuvers.md", "plan.md"):
        with tempfile.TemporaryDirectory() as folder:
            page = re.sub(
                r"(?<=^```console\n)(.*?)(?=^```$)",
                partial(_anew, folder=folder),
                (DOCS / name).read_text("utf-8"),
                flags=re.MULTILINE | re.DOTALL,
            )
        (DOCS / name).write_text(page, "utf-8")


def _anew(match: re.Match[str], folder: str) -> str:
    return rewritten(match[1], folder)


if __name__ == "__main__":
    main()
