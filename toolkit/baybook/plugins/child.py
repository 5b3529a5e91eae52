"""Ask plugins what they offer, all of them in one process of their own; where one hangs or ends it, another asks the rest."""

from __future__ import annotations

import contextlib
import json
import os
import signal
import subprocess
import sys
import tempfile
from typing import IO, Any

SECONDS = 5.0  # for a plugin to be imported and to answer; BAYBOOK_PLUGIN_SECONDS changes it
START_SECONDS = 30.0  # for the asking process itself, which on a cold disk has to read the core first
PATIENCE = 1.0  # after which a person is told what is being waited for
Answer = dict[str, Any]


def ask(modules: list[str]) -> list[Answer]:
    """What each module offers (`calculators`, `cards`, `fuels`, `units`, `files`), or the `reason` why it cannot be used."""
    answers: list[Answer] = []
    while len(answers) < len(modules):
        rest = modules[len(answers) :]
        with tempfile.TemporaryFile(buffering=0) as told:  # no pipe: what a plugin leaves behind would hold it open
            ended = _ended(rest, told)
            told.seek(0)
            ready, *lines = told.read().decode("utf-8", "replace").splitlines() or [""]
        if ready != "ready":
            return answers + [{"reason": f"the process that asks plugins did not start: {ended}"}] * len(rest)
        got = [json.loads(line) for line in lines if line.startswith("{")]
        answers += got
        if len(got) < len(rest):
            answers.append({"reason": _failure(hung=len(lines) > len(got) or not ended)})
    return answers


def time_limit() -> float:
    """Seconds that a plugin has to answer."""
    try:
        return max(0.1, float(os.environ.get("BAYBOOK_PLUGIN_SECONDS", SECONDS)))
    except ValueError:
        return SECONDS


def _failure(*, hung: bool) -> str:
    """Why the first module without an answer has none. A watch in the asking process writes where it was when it ended it."""
    if hung:
        return f"did not answer within {time_limit():g} s; baybook plugins refresh asks again"
    return "ended the process that imported it"


def _ended(modules: list[str], told: IO[bytes]) -> str:
    """Let a process answer into the file. How it ended; "" where it had to be ended, which its own watch should have done."""
    path = os.pathsep.join(folder for folder in sys.path if folder)
    # -P: no file of the folder that we happen to be in can stand in for a module
    command = [sys.executable, "-P", "-m", "baybook.plugins.query", str(time_limit()), *modules]
    try:
        process = subprocess.Popen(
            command, stdin=subprocess.DEVNULL, stdout=told, stderr=subprocess.DEVNULL,
            env={**os.environ, "PYTHONPATH": path}, start_new_session=True,
        )  # fmt: skip
    except OSError as error:
        return str(error)
    try:
        return f"exit code {_wait(process, modules)}"
    except subprocess.TimeoutExpired:
        return ""
    finally:  # with whatever it started
        with contextlib.suppress(OSError):
            os.killpg(process.pid, signal.SIGKILL) if hasattr(os, "killpg") else process.kill()
        process.wait()


def _wait(process: subprocess.Popen[bytes], modules: list[str]) -> int:
    """Its exit code; a person at a terminal is told what is waited for. Raises TimeoutExpired."""
    with contextlib.suppress(subprocess.TimeoutExpired):
        return process.wait(PATIENCE)
    if sys.stderr.isatty():
        names = modules[0] if len(modules) == 1 else f"{modules[0]} and {len(modules) - 1} more"
        print(f"waiting up to {time_limit():g} s for the plugin {names} …", file=sys.stderr)
    return process.wait(START_SECONDS + len(modules) * (time_limit() + 1.0))
