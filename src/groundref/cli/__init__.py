"""The command line: one command a file, and one table of exit codes."""

from groundref.cli.main import main

__all__ = ["main"]
