"""Ctrl-C and the system's wish to end, at any moment: one line, the exit code of the signal, nothing half written."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from .processes import COIL, SHEET, baybook

COMMANDS = (["--help"], ["coil", *COIL], ["job", "add", "s.toml", "coil", *COIL])


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM], ids=["Ctrl-C", "ended"])
def test_a_stop_at_any_moment_leaves_one_line(tmp_path: Path, number: signal.Signals) -> None:
    """At moments over the whole run. Before the interpreter has given us the word, its own text is what there is."""
    (tmp_path / "s.toml").write_text(SHEET)
    ready = "import sys; from baybook.start import program; print(end='x', file=sys.stderr, flush=True); sys.exit(program())"
    began = time.monotonic()
    assert baybook("--help", cwd=tmp_path).returncode == 0
    whole = time.monotonic() - began
    codes = []
    for at in range(6):
        running = subprocess.Popen(
            [sys.executable, "-c", ready, *COMMANDS[at % 3]], cwd=tmp_path, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE,
            preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
        )  # fmt: skip
        assert running.stderr is not None
        assert running.stderr.read(1) == b"x"
        time.sleep(max(0.004, 0.8 * whole * at / 6))
        running.send_signal(number)
        told = running.communicate(timeout=60)[1].decode()
        codes.append(running.returncode)
        said = "stopped; nothing was written\n"
        assert (running.returncode, told) in [
            (128 + number, said),
            (128 + number, "stopped; written before: s.toml\n"),
            (0, ""),
        ]
    assert 128 + number in codes
    assert [name for name in os.listdir(tmp_path) if name != "s.toml"] == []


def program(code: str) -> subprocess.CompletedProcess[str]:
    """What a process of its own did; Ctrl-C reaches it as it does one in the foreground, wherever the tests run."""
    return subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=False,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
    )  # fmt: skip


def test_a_second_ctrl_c_does_not_disturb_the_first(tmp_path: Path) -> None:
    code = (
        "import sys, time, os, signal; from baybook import start\n"
        "def answer(arguments):\n"
        "    try: os.kill(os.getpid(), signal.SIGINT); time.sleep(9)\n"
        "    finally: os.kill(os.getpid(), signal.SIGINT); time.sleep(0.1); print('cleaned up', flush=True)\n"
        "start._answer = answer; sys.exit(start.program())"
    )
    ran = program(code)
    assert (ran.returncode, ran.stdout, ran.stderr) == (130, "cleaned up\n", "stopped; nothing was written\n")


def test_a_stop_within_a_callback_of_pythons_own_is_not_lost(tmp_path: Path) -> None:
    """Where an exception is only printed, as in what a weak reference calls."""
    code = (
        "import sys, os, signal, weakref; from baybook import start\n"
        "class Thing: pass\n"
        "def answer(arguments):\n"
        "    thing = Thing(); kept = weakref.ref(thing, lambda _: os.kill(os.getpid(), signal.SIGTERM)); del thing\n"
        "    print('went on', flush=True); return 0\n"
        "start._answer = answer; sys.exit(start.program())"
    )
    ran = program(code)
    assert (ran.returncode, ran.stdout, ran.stderr) == (143, "", "stopped; nothing was written\n")


def test_a_second_ctrl_c_ends_a_cleaning_up_that_takes_longer_than_a_moment() -> None:
    code = (
        "import sys, time, os, signal; from baybook import start\n"
        "def answer(arguments):\n"
        "    try: os.kill(os.getpid(), signal.SIGINT); time.sleep(9)\n"
        "    finally:\n"
        "        now = time.monotonic(); time.monotonic = lambda: now + 3.0\n"
        "        os.kill(os.getpid(), signal.SIGINT); time.sleep(0.1); print('cleaned up', flush=True)\n"
        "start._answer = answer; sys.exit(start.program())"
    )
    ran = program(code)
    assert (ran.returncode, ran.stdout, ran.stderr) == (130, "", "stopped; nothing was written\n")


def test_what_else_fails_within_a_callback_is_printed_as_python_does_and_stops_nothing() -> None:
    code = (
        "import sys, weakref; from baybook import start\n"
        "class Thing: pass\n"
        "def answer(arguments):\n"
        "    thing = Thing(); kept = weakref.ref(thing, lambda _: 1 / 0); del thing\n"
        "    print('went on', flush=True); return 0\n"
        "start._answer = answer; sys.exit(start.program())"
    )
    ran = program(code)
    assert (ran.returncode, ran.stdout) == (0, "went on\n")
    assert ran.stderr.startswith("Exception ignored") and ran.stderr.rstrip().endswith("ZeroDivisionError: division by zero")
