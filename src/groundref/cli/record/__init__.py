"""``groundref record``: the training record. One file a subcommand; `COMMANDS` lists them."""

from __future__ import annotations

from typing import Final

from cyclopts import App

# Module and function of each.
COMMANDS: Final = {
    "add": "add:add",
    "list": "list:list_",
    "show": "show:show",
    "progress": "progress:progress",
    "correct": "correct:correct",
    "remark": "remark:remark",
    "verdict": "verdict:verdict",
    "sign": "sign:sign",
    "recompute": "recompute:recompute",
    "site": "site:site",
    "person": "person:person",
    "export": "export:export",
    "import": "import_:import_",
    "check": "check:check_",
    "backup": "backup:backup",
    "restore": "restore:restore",
    "forget": "forget:forget",
}


def record_app() -> App:
    """Return the command `record` with its subcommands."""
    app = App(name="record", help="Keep lessons, and show how a student gets on.", help_format="markdown")
    for name, place in COMMANDS.items():
        app.command(f"groundref.cli.record.{place}", name=name)
    return app
