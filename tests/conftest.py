"""Fixtures for every part: commands run in this process or in one of their own, with a cache that is not the user's."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest


@dataclass(frozen=True)
class Ran:
    """What a command did."""

    code: int
    out: str
    err: str


@pytest.fixture(scope="session", autouse=True)
def own_folders(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Cache and configuration in a temporary folder."""
    folder = tmp_path_factory.mktemp("baybook")
    before = {name: os.environ.get(name) for name in ("BAYBOOK_CACHE", "BAYBOOK_CONFIG")}
    os.environ["BAYBOOK_CACHE"] = str(folder / "cache")
    os.environ["BAYBOOK_CONFIG"] = str(folder / "config")
    yield
    for name, value in before.items():
        if value is None:
            os.environ.pop(name, None)
        else:
            os.environ[name] = value


@pytest.fixture
def command(capsys: pytest.CaptureFixture[str]) -> Callable[..., Ran]:
    """Run a command in this process: command("convert", "300 bar", "psi")."""
    from baybook.cli.main import run
    from baybook.files import written

    def call(*arguments: object) -> Ran:
        written.clear()  # (each process begins without any)
        capsys.readouterr()
        code = run([str(argument) for argument in arguments])
        out, err = capsys.readouterr()
        assert "Traceback" not in err
        return Ran(code, out, err)

    return call


@pytest.fixture
def process(tmp_path: Path) -> Callable[..., Ran]:
    """Run a command in a process of its own, in an empty folder."""

    def call(*arguments: object, stdin: str = "") -> Ran:
        done = subprocess.run(
            [sys.executable, "-m", "baybook", *map(str, arguments)],
            input=stdin, capture_output=True, text=True, encoding="utf-8", cwd=tmp_path, timeout=120,
        )  # fmt: skip
        assert "Traceback" not in done.stderr
        return Ran(done.returncode, done.stdout, done.stderr)

    return call
