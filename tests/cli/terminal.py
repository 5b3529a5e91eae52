"""A command in a real pseudo-terminal of a given size, and what is on its screen in the end."""

from __future__ import annotations

import fcntl
import os
import pty
import struct
import subprocess
import sys
import termios
from collections.abc import Sequence
from pathlib import Path

ERASED = "\r\x1b[K"
"""Ends a line of progress: what stood before it in the line is gone from the screen."""


def shown(words: Sequence[str], *, rows: int = 24, columns: int = 80, folder: Path | None = None, **settings: str) -> list[str]:
    """Every line that the terminal was sent; the last `rows` - 1 are on the screen, with the prompt below them."""
    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
    kept = {name: value for name, value in os.environ.items() if name != "COLUMNS"}
    running = subprocess.Popen(
        [sys.executable, "-m", "baybook", *words], stdin=theirs, stdout=theirs, stderr=theirs, cwd=folder,
        env={**kept, "PYTHONIOENCODING": "utf-8", **settings},
    )  # fmt: skip
    os.close(theirs)
    seen = b""
    while True:
        try:
            part = os.read(ours, 65536)
        except OSError:  # the other end is closed
            break
        if not part:
            break
        seen += part
    os.close(ours)
    assert running.wait(timeout=60) in (0, 3), seen.decode()
    lines = seen.decode("utf-8").replace("\r\n", "\n").rstrip("\n").split("\n")
    return [line.rpartition(ERASED)[2] for line in lines]
