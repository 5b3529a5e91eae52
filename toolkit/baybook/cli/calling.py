"""Calls a command of the command line's library and gives its exit code, so that all else that goes wrong is raised.

The library's own way ends the process where a pipe is closed, and turns Ctrl-C into an exit code that the caller may lose.
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from typer._click.core import Command


def call(command: Command, arguments: list[str], name: str) -> int:
    """Run it. Raises typer's usage errors, and whatever the command raises."""
    if f"_{name.upper()}_COMPLETE" in os.environ:  # a shell asks for completions
        return int(command.main(arguments, prog_name=name, standalone_mode=False) or 0)
    try:
        with command.make_context(name, list(arguments)) as context:
            command.invoke(context)
    except typer.Exit as leaving:
        return int(leaving.exit_code)
    return 0
