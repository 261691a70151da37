"""Write anew what the examples of docs/maneuvers.md print: python -m tests.docs.rewrite_examples.

Only what a command prints is written; commands and text are the page's own. Read the changes before they go
in: the page shows what is true, and that may have become worse.
"""

from __future__ import annotations

import re
import subprocess
import sys
import tempfile
from pathlib import Path

PAGE = Path(__file__).parents[2] / "docs" / "maneuvers.md"
FIRST = "What to talk about first"


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


def rewritten(block: str, folder: str) -> str:
    """Return a block of commands with what they print now."""
    parts = []
    for command in re.findall(r"^\$ (.*)$", block, re.MULTILINE):
        done = subprocess.run(
            [sys.executable, "-m", *command.split()], cwd=folder, capture_output=True, text=True, check=True
        )
        parts.append(f"$ {command}\n{shown(done.stdout)}\n")
    return "".join(parts)


def main() -> None:
    """Rewrite the page."""
    with tempfile.TemporaryDirectory() as folder:
        page = re.sub(
            r"(?<=^```console\n)(.*?)(?=^```$)",
            lambda match: rewritten(match[1], folder),
            PAGE.read_text("utf-8"),
            flags=re.MULTILINE | re.DOTALL,
        )
    PAGE.write_text(page, "utf-8")


if __name__ == "__main__":
    main()
