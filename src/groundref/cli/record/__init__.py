"""``groundref record``: the training record. One file a subcommand; `COMMANDS` lists them."""

from __future__ import annotations

from typing import Final

from cyclopts import App

from groundref.cli.record.add import add
from groundref.cli.record.backup import backup
from groundref.cli.record.check import check_
from groundref.cli.record.correct import correct
from groundref.cli.record.export import export
from groundref.cli.record.forget import forget
from groundref.cli.record.import_ import import_
from groundref.cli.record.list import list_
from groundref.cli.record.person import person
from groundref.cli.record.progress import progress
from groundref.cli.record.recompute import recompute
from groundref.cli.record.remark import remark
from groundref.cli.record.restore import restore
from groundref.cli.record.show import show
from groundref.cli.record.sign import sign
from groundref.cli.record.site import site
from groundref.cli.record.verdict import verdict

COMMANDS: Final = (
    (add, "add"),
    (list_, "list"),
    (show, "show"),
    (progress, "progress"),
    (correct, "correct"),
    (remark, "remark"),
    (verdict, "verdict"),
    (sign, "sign"),
    (recompute, "recompute"),
    (site, "site"),
    (person, "person"),
    (export, "export"),
    (import_, "import"),
    (check_, "check"),
    (backup, "backup"),
    (restore, "restore"),
    (forget, "forget"),
)


def record_app() -> App:
    """Return the command `record` with its subcommands."""
    app = App(name="record", help="Keep lessons, and show how a student gets on.", help_format="markdown")
    for command, name in COMMANDS:
        app.command(command, name=name)
    return app
