"""Standard input and output as a process meets them: full, closed, in another encoding, left by who read them, stopped."""

from __future__ import annotations

import io
import json
import os
import pty
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from baybook.start import make_ready

ROOT = Path(__file__).parents[2]
SHEET = str(ROOT / "data_demo" / "wagtail_uneven_idle.toml")
COIL = ["coil", "--reading", "5.2 ± 0.1 ohm", "--temperature", "20 °C"]
ASSORTED = [  # the quick way, the short way, the library's; smaller and larger than what waits to be written
    ["--version"], ["--help"], ["units"], ["convert", "300 bar", "psi"], COIL, [*COIL, "--json"],
    ["job", "run", SHEET, "--steps"],
]  # fmt: skip
LOST = re.compile(r"standard output: cannot be written to, and what was to be printed is lost: [\w ]+; send it to a file .*\n")


def baybook(*arguments: str, shell: str = "", cwd: Path | None = None, **settings: str) -> subprocess.CompletedProcess[bytes]:
    """The command, `shell` behind it (">/dev/full"), in a process of its own."""
    line = f'exec "$0" -m baybook "$@" {shell}'
    return subprocess.run(
        ["sh", "-c", line, sys.executable, *arguments], capture_output=True, timeout=120, check=False, cwd=cwd,
        env={**os.environ, **settings}, stdin=subprocess.DEVNULL,
    )  # fmt: skip


@pytest.mark.parametrize("arguments", ASSORTED, ids=" ".join)
@pytest.mark.parametrize("shell", [">/dev/full", ">&-"])
def test_output_that_is_lost_is_told_in_a_line(arguments: list[str], shell: str) -> None:
    ran = baybook(*arguments, shell=shell)
    assert (ran.returncode, ran.stdout) == (2, b"")
    assert LOST.fullmatch(ran.stderr.decode()), ran.stderr


def test_an_error_that_does_not_fit_on_a_full_disk_is_told_beside_it() -> None:
    ran = baybook("convert", "300 s", "psi", "--json", shell=">/dev/full")
    assert ran.returncode == 2
    assert ran.stderr.decode().startswith('TO: "psi" is a unit of pressure')


@pytest.mark.parametrize("shell", [">/dev/full", ">&-", ">/dev/full 2>&1", ">&- 2>&-"])
def test_what_was_written_is_never_called_a_failure(tmp_path: Path, shell: str) -> None:
    assert baybook("job", "new", "van.toml", shell=shell, cwd=tmp_path).returncode == 0
    assert baybook("job", "add", "van.toml", "coil", shell=shell, cwd=tmp_path).returncode == 0
    ran = baybook("job", "add", "van.toml", *COIL, shell=shell, cwd=tmp_path)
    assert ran.returncode == 0
    assert ran.stderr.decode() == ("" if "2>" in shell else "step 2 (coil) added\n")
    assert baybook("job", "run", "van.toml", cwd=tmp_path).stdout.count(b"\nStep ") == 2


def test_errors_that_cannot_be_told_keep_their_exit_code() -> None:
    for shell in ("2>/dev/full", "2>&-", ">&- 2>&-"):
        assert baybook("convert", "300 s", "psi", shell=shell).returncode == 2
    assert baybook(*COIL, shell="2>&-").returncode == 0


@pytest.mark.parametrize("arguments", ASSORTED, ids=" ".join)
@pytest.mark.parametrize("unbuffered", ["", "1"])
def test_who_has_seen_enough_changes_no_exit_code(arguments: list[str], unbuffered: str) -> None:
    reader, writer = os.pipe()
    os.close(reader)
    done = subprocess.run(
        [sys.executable, "-m", "baybook", *arguments], stdout=writer, stderr=subprocess.PIPE, timeout=120, check=False,
        env={**os.environ, "PYTHONUNBUFFERED": unbuffered},
    )  # fmt: skip
    os.close(writer)
    assert (done.returncode, done.stderr) == (0, b"")


def test_a_verdict_to_fail_on_stays_one_where_nobody_reads() -> None:
    """A reader that leaves early must not turn 3 into 0."""
    reader, writer = os.pipe()
    os.close(reader)
    arguments = [*COIL, "--limit", "<= 3 ohm", "--fail-on", "outside"]
    for typed in (arguments, [*arguments[:-2], "--fail-on=outside"]):  # both ways of the command line
        done = subprocess.run([sys.executable, "-m", "baybook", *typed], stdout=writer, timeout=120, check=False)
        assert done.returncode == 3
    os.close(writer)


@pytest.mark.parametrize("arguments", ASSORTED, ids=" ".join)
def test_every_encoding_takes_every_output(arguments: list[str]) -> None:
    """What an encoding has is kept; the rest is told in plain letters; JSON loses nothing."""
    here = baybook(*arguments).stdout.decode()
    for encoding in ("ascii", "latin-1", "cp1252", "cp437"):
        ran = baybook(*arguments, PYTHONIOENCODING=encoding)
        assert (ran.returncode, ran.stderr) == (0, b"")
        if "--help" in arguments and encoding == "ascii":
            continue  # typer's echo writes UTF-8 wherever ASCII is asked for, as an unset locale is what asks for it
        there = ran.stdout.decode(encoding)
        if "--json" in arguments:
            assert json.loads(there) == json.loads(here)
        else:
            assert len(there.splitlines()) == len(here.splitlines())
            assert there.count("?") == here.count("?")  # no character was given up


def test_signs_that_an_encoding_has_not_are_spelled_out() -> None:
    ran = baybook("convert", "300 ± 1 bar", "psi", PYTHONIOENCODING="ascii")
    assert ran.stdout == b"  psi  4351 psi  95 %: 4337 ... 4366\n"
    told = baybook("convert", "5 ± 1 Ω", "psi", PYTHONIOENCODING="ascii")
    assert told.stderr.startswith(b'TO: "psi" is a unit of pressure, and 5 +- 1 ohm is a')


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_a_sheet_is_made_whatever_the_encoding(tmp_path: Path, encoding: str) -> None:
    ran = baybook("job", "new", "x.toml", "--set", "vehicle=Ωa", cwd=tmp_path, PYTHONIOENCODING=encoding, PYTHONUTF8="1")
    assert (ran.returncode, ran.stderr) == (0, b"")
    assert 'vehicle = "Ωa"' in (tmp_path / "x.toml").read_text(encoding="utf-8")


def test_closed_standard_input_has_nothing_to_give() -> None:
    asked = baybook("convert", "--ask", shell="<&-")
    assert asked.returncode == 2
    assert asked.stderr.decode().splitlines()[-1].startswith("--ask: the input ended before every question was answered")
    read = baybook("convert", "--from", "-", shell="<&-")
    assert read.returncode == 2
    assert read.stderr.decode() == "--from: standard input holds nothing; give the inputs as JSON\n"


STOPS: dict[str, Callable[[Path], list[str]]] = {
    "calculator": lambda _: ["coil", "--ask"],
    "job add": lambda folder: ["job", "add", str(folder / "van.toml"), "coil", "--ask"],
}


@pytest.mark.parametrize("where", STOPS)
def test_ctrl_c_at_a_question_stops_with_a_line(tmp_path: Path, where: str) -> None:
    assert baybook("job", "new", "van.toml", cwd=tmp_path).returncode == 0
    before = (tmp_path / "van.toml").read_bytes()
    ours, theirs = pty.openpty()
    running = subprocess.Popen(
        [sys.executable, "-m", "baybook", *STOPS[where](tmp_path)],
        stdin=theirs, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),  # (ignored where the checks run in the background)
    )  # fmt: skip
    assert running.stderr is not None
    shown = b""
    while not shown.endswith(b": "):  # the first question
        shown += os.read(running.stderr.fileno(), 1000)
    time.sleep(0.1)
    running.send_signal(signal.SIGINT)
    out, told = running.communicate(timeout=60)
    os.close(ours)
    os.close(theirs)
    assert (running.returncode, out, told) == (130, b"", b"\nstopped; nothing was written\n")
    assert (tmp_path / "van.toml").read_bytes() == before


def test_what_is_refused_is_worked_out_once(monkeypatch: pytest.MonkeyPatch, capsys: Any) -> None:
    """A refusal from inside the calculation: the short way tells it and does not leave it to the ordinary way."""
    from dataclasses import replace

    from baybook import start
    from baybook.errors import InputError
    from baybook.registry import Registry, registry

    worked = []

    def refuses(**_: Any) -> None:
        worked.append(1)
        raise InputError.one("reading", "5.2 ohm", "is refused", "give another")

    known = replace(registry().calculator("coil"), function=refuses)
    monkeypatch.setattr(Registry, "calculator", lambda *_: known)
    monkeypatch.setattr(sys, "argv", ["baybook", *COIL])
    assert start.main() == 2
    assert worked == [1]
    assert capsys.readouterr().err == '--reading: "5.2 ohm" is refused; give another\n'


def test_a_stream_of_somebody_elses_is_left_as_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    own = io.StringIO()
    monkeypatch.setattr("sys.stdout", own)
    monkeypatch.setattr("sys.stderr", io.StringIO())
    make_ready()
    print("20 °C")
    assert sys.stdout is own and own.getvalue() == "20 °C\n"
