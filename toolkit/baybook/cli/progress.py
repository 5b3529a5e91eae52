"""What is being done, on standard error, for what takes longer than a second, where a person looks on."""

from __future__ import annotations

import contextlib
import os
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from .output import harmless

if TYPE_CHECKING:
    import threading

PATIENCE = 1.0
"""Seconds without a word."""
AGAIN = 0.5
CLEAR = "\r\x1b[K"
Tell = Callable[[str], None]


@contextmanager
def progress(what: str) -> Iterator[Tell]:
    """A function to be told what is being done. From PATIENCE on it stands in a line, which goes at the end."""
    doing = [what]
    if not sys.stderr.isatty():
        yield lambda text: None
        return
    import threading  # where nobody looks on, nobody pays for it

    done = threading.Event()
    shown = threading.Thread(target=_show, args=(doing, done), daemon=True)
    shown.start()
    try:
        yield lambda text: doing.__setitem__(0, text)
    finally:
        done.set()
        shown.join()


def _show(doing: list[str], done: threading.Event) -> None:
    since = time.monotonic()
    wait = PATIENCE
    while not done.wait(wait):
        wait = AGAIN
        try:
            columns = os.get_terminal_size(sys.stderr.fileno()).columns
        except (OSError, ValueError):
            columns = 0
        room = max(columns or 80, 32) - 12  # one that does not say has the usual
        _write(f"{CLEAR}{' '.join(harmless(doing[0]).split())[:room]} … {time.monotonic() - since:.0f} s")
    if wait == AGAIN:
        _write(CLEAR)


def _write(text: str) -> None:
    """To the terminal itself, whatever the stream is made of."""
    with contextlib.suppress(OSError, ValueError):
        os.write(sys.stderr.fileno(), text.encode(sys.stderr.encoding or "utf-8", "replace"))
