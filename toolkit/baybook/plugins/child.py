"""Ask plugins in a process of their own: each within a time limit, and the process replaced when one hangs or ends it."""

from __future__ import annotations

import contextlib
import json
import os
import queue
import signal
import subprocess
import sys
import threading
from typing import Any

SECONDS = 5.0  # for a plugin to be imported and to answer; BAYBOOK_PLUGIN_SECONDS changes it
START_SECONDS = 30.0  # for the asking process itself, which on a cold disk has to read the core first
PATIENCE = 1.0  # after which a person is told what is being waited for


class NotStarted(Exception):
    """The asking process itself does not start."""


def ask(modules: list[str]) -> list[dict[str, Any]]:
    """What each module offers (`calculators`, `cards`, `fuels`, `units`, `files`), or the `reason` why it cannot be used."""
    answers: list[dict[str, Any]] = []
    try:
        while len(answers) < len(modules):
            answers += _ask_in_one_process(modules[len(answers) :])
    except NotStarted as error:
        answers += [{"reason": f"the process that asks plugins did not start: {error}"}] * (len(modules) - len(answers))
    return answers


def time_limit() -> float:
    """Seconds that a plugin has to answer."""
    try:
        return max(0.1, float(os.environ.get("BAYBOOK_PLUGIN_SECONDS", SECONDS)))
    except ValueError:
        return SECONDS


def _ask_in_one_process(modules: list[str]) -> list[dict[str, Any]]:
    """Answers up to and including the first module that hangs or ends the process. Raises NotStarted."""
    process = _start()
    lines: queue.Queue[str] = queue.Queue()
    reader = threading.Thread(target=_pass_on, args=(process.stdout, lines), daemon=True)
    reader.start()
    answers: list[dict[str, Any]] = []
    try:
        if _next(lines, START_SECONDS) != '"ready"\n':
            with contextlib.suppress(subprocess.TimeoutExpired):
                process.wait(1.0)  # its output ends a moment before it does
            raise NotStarted(f"exit code {process.returncode}")
        for module in modules:
            answers.append(_one(process.stdin, lines, module))
            if answers[-1].get("gone"):
                break
    finally:
        _end(process, reader)
    return answers


def _start() -> subprocess.Popen[str]:
    path = os.pathsep.join(folder for folder in sys.path if folder)
    try:
        return subprocess.Popen(
            # -P: no file of the folder that we happen to be in can stand in for a module
            [sys.executable, "-P", "-m", "baybook.plugins.asking"],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, encoding="utf-8",
            env={**os.environ, "PYTHONPATH": path}, start_new_session=True,
        )  # fmt: skip
    except OSError as error:
        raise NotStarted(str(error)) from error


def _end(process: subprocess.Popen[str], reader: threading.Thread) -> None:
    """End the process and whatever it started."""
    with contextlib.suppress(OSError):
        os.killpg(process.pid, signal.SIGKILL) if hasattr(os, "killpg") else process.kill()
    process.wait()
    with contextlib.suppress(OSError):
        process.stdin.close()  # type: ignore[union-attr]  # made with a pipe
    reader.join(1.0)  # something that left the group may hold the pipe open; then the thread, a daemon, is left behind
    if not reader.is_alive():
        process.stdout.close()  # type: ignore[union-attr]  # made with a pipe


def _pass_on(stream: Any, lines: queue.Queue[str]) -> None:
    for line in stream:
        lines.put(line)
    lines.put("")


def _next(lines: queue.Queue[str], seconds: float) -> str:
    try:
        return lines.get(timeout=seconds)
    except queue.Empty:
        return ""


def _one(stdin: Any, lines: queue.Queue[str], module: str) -> dict[str, Any]:
    try:
        stdin.write(module + "\n")
        stdin.flush()
        line = _patiently(lines, module, time_limit())
    except queue.Empty:
        return {"reason": f"did not answer within {time_limit():g} s; baybook plugins refresh asks again", "gone": True}
    except OSError:
        line = ""
    if not line:
        return {"reason": "ended the process that imported it", "gone": True}
    answer: dict[str, Any] = json.loads(line)
    return answer


def _patiently(lines: queue.Queue[str], module: str, seconds: float) -> str:
    """The next line. Raises queue.Empty after `seconds`; a person at a terminal is told before."""
    first = min(PATIENCE, seconds)
    try:
        return lines.get(timeout=first)
    except queue.Empty:
        if seconds > first and sys.stderr.isatty():
            print(f"waiting up to {seconds:g} s for the plugin {module} …", file=sys.stderr)
        return lines.get(timeout=max(seconds - first, 0.01))
