"""Progress on standard error, for reads that take longer than a moment, where a person looks on."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

LARGE = 20_000_000  # bytes; smaller files are read before a bar could be drawn


@contextmanager
def progress(file: str) -> Iterator[Callable[[int, int], None] | None]:
    """A function to be told (done, total) in bytes; None for small files and where nobody looks."""
    try:
        large = os.path.getsize(file) >= LARGE
    except OSError:
        large = False
    if not large or not sys.stderr.isatty():
        yield None
        return
    from rich.progress import Progress

    with Progress(transient=True) as bar:
        task = bar.add_task(f"reading {os.path.basename(file)}")
        yield lambda done, total: bar.update(task, completed=done, total=total)
