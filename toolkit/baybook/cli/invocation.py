"""Calls a command of the command line's library and gives its exit code, so that all else that goes wrong is raised.

The library's own way ends the process where a pipe is closed, and turns Ctrl-C into an exit code that the caller may lose.
"""

from __future__ import annotations

import contextlib
import os
from typing import Any

import typer

from ..errors import BaybookError


def is_completion(name: str) -> bool:
    """Whether a shell asks what may come next."""
    return f"_{name.upper()}_COMPLETE" in os.environ


def call(command: Any, arguments: list[str], name: str) -> int:
    """Run it. Raises typer's usage errors, and whatever the command raises; what goes wrong in a completion offers nothing."""
    if is_completion(name):
        with contextlib.suppress(BaybookError, typer.TyperException):
            return int(command.main(arguments, prog_name=name, standalone_mode=False) or 0)
        return 0
    try:
        with command.make_context(name, list(arguments)) as context:
            command.invoke(context)
    except typer.Exit as leaving:
        return int(leaving.exit_code)
    return 0
