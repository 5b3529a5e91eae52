"""What a plugin's code may change of the process is put back after it: the folder, the locale, the mask of new files."""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def contained() -> Iterator[None]:
    """Put back what is changed inside. What one process cannot contain (patched modules, threads) stays as the plugin made it."""
    import _locale

    folder = _folder()
    locale = _locale.setlocale(_locale.LC_ALL)
    mask = os.umask(0o022)
    os.umask(mask)
    limit = sys.getrecursionlimit()
    try:
        yield
    finally:
        if folder is not None and _folder() != folder:
            with contextlib.suppress(OSError):
                os.chdir(folder)
        with contextlib.suppress(_locale.Error):
            if _locale.setlocale(_locale.LC_ALL) != locale:
                _locale.setlocale(_locale.LC_ALL, locale)
        os.umask(mask)
        sys.setrecursionlimit(limit)


def _folder() -> str | None:
    try:
        return os.getcwd()
    except OSError:
        return None
