"""Calls a command of the command line's library and gives its exit code, so that all else that goes wrong is raised.

The library's own way ends the process where a pipe is closed, and turns Ctrl-C into an exit code that the caller may lose.
"""

from __future__ import annotations

import contextlib
import io
import os
from collections.abc import Iterator
from typing import Any

import typer

from ..errors import BaybookError


def is_completion(name: str) -> bool:
    """Whether a shell asks what may come next."""
    return f"_{name.upper()}_COMPLETE" in os.environ


def call(command: Any, arguments: list[str], name: str) -> int:
    """Run it. Raises typer's usage errors, and whatever the command raises; what goes wrong in a completion offers nothing."""
    if is_completion(name):
        with contextlib.suppress(BaybookError, typer.TyperException), _word_of_bash(name):
            return int(command.main(arguments, prog_name=name, standalone_mode=False) or 0)
        return 0
    try:
        with command.make_context(name, list(arguments)) as context:
            command.invoke(context)
    except typer.Exit as leaving:
        return int(leaving.exit_code)
    return 0


@contextlib.contextmanager
def _word_of_bash(name: str) -> Iterator[None]:
    """Bash takes @ for a word of its own and replaces from there on: put the word together, answer with that piece alone."""
    words = os.environ.get("COMP_WORDS", "").split("\n")
    at = os.environ.get("COMP_CWORD", "")
    if os.environ[f"_{name.upper()}_COMPLETE"] != "complete_bash" or "@" not in words or not at.isdigit():
        yield
        return
    joined: list[str] = []
    for word in words[: int(at) + 1]:
        if joined and (word == "@" or joined[-1].endswith("@")):
            joined[-1] += word
        else:
            joined.append(word)
    os.environ |= {"COMP_WORDS": "\n".join(joined), "COMP_CWORD": str(len(joined) - 1)}
    answer = io.StringIO()
    try:
        with contextlib.redirect_stdout(answer):
            yield
    finally:  # the library ends the process
        print("\n".join(line[line.find("@") :] for line in answer.getvalue().splitlines()))
