"""Real processes of the command, for what only a process shows."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

SHEET = 'format = 2\n[job]\nnumber = "1"\n'
COIL = ("--reading", "5.2 ± 0.1 ohm", "--temperature", "20 °C")


def baybook(*arguments: str, cwd: Path, seconds: float = 60, **settings: str) -> subprocess.CompletedProcess[str]:
    """The command in a process of its own, with nothing to read."""
    return subprocess.run(
        [sys.executable, "-m", "baybook", *arguments], cwd=cwd, capture_output=True, text=True, encoding="utf-8",
        timeout=seconds, check=False, stdin=subprocess.DEVNULL, env={**os.environ, **settings},
    )  # fmt: skip


def python(code: str, *arguments: str, cwd: Path, **settings: str) -> subprocess.Popen[str]:
    """A process that runs the code and goes on while we do."""
    return subprocess.Popen(
        [sys.executable, "-c", code, *arguments], cwd=cwd, text=True, encoding="utf-8", stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, env={**os.environ, **settings},
    )  # fmt: skip
