"""Change a file that others may change too: two terminals, two computers on one folder. No change is lost or half made.

One waits for the other at a lock beside the file; and before the file is replaced it is compared with what was read, so that
a change that was overtaken all the same (an editor knows of no lock) is made again, or told.
"""

from __future__ import annotations

import contextlib
import os
import socket
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TypeVar

from .errors import InputError
from .files import MARK, Overtaken, target_of, write_whole

T = TypeVar("T")
LOCK_SECONDS = 10.0
"""For which a change waits for another one's end."""
TELL_AFTER = 1.0
"""Seconds of it in silence."""
TRIES = 20
"""How often a change is made again on what somebody else has written meanwhile."""


def changed(
    path: Path, read: Callable[[Path], bytes], change: Callable[[bytes], tuple[bytes | None, T]], *, again: bool = True
) -> T:
    """Read the file, and write what `change` makes of it; what else that gives is returned. None leaves the file as it is.

    again: whether the change is made again on what somebody else wrote meanwhile; else, as after TRIES, it is told.
    Raises InputError, and what `read` and `change` raise; then the file is as it was.
    """
    for _ in range(TRIES if again else 1):
        with locked(path):
            before = read(path)
            content, told = change(before)
            try:
                if content is not None:
                    write_whole(path, content, instead_of=before)
                return told
            except Overtaken:
                continue
    hint = "look at it, and repeat this" if not again else "repeat this when that is over"
    raise InputError.one("", path, "has been changed by somebody else meanwhile; nothing was written", hint)


def as_it_was(before: bytes, text: str) -> bytes:
    """The text in bytes, with the byte-order mark and the ends of lines that the file had."""
    mark = b"\xef\xbb\xbf" if before.startswith(b"\xef\xbb\xbf") else b""
    lines = before.count(b"\n")
    windows = lines > 0 and 2 * before.count(b"\r\n") > lines
    return mark + (text.replace("\n", "\r\n") if windows else text).encode()


@contextmanager
def locked(path: Path) -> Iterator[None]:
    """While one changes a file others wait, on this machine and on others that share the folder.

    The lock is a file beside it that only one can make. One whose process is gone is taken away at once, any other that stays
    for LOCK_SECONDS; whoever was slower than that finds itself overtaken. Where none can be made (a folder that belongs to
    somebody else) the change goes on without: `write_whole(instead_of=…)` tells.
    """
    target = target_of(path, "")
    lock = target.with_name(f"{MARK}{target.name[:40]}.lock")
    own = f"{socket.gethostname()} {os.getpid()} {time.monotonic_ns()}"
    held = _taken(lock, own)
    try:
        yield
    finally:
        if held and _text(lock) == own:
            _gone(lock)


def _taken(lock: Path, own: str) -> bool:
    """Whether the lock is ours; waits for others."""
    seen, told = "", False
    since = time.monotonic()
    while True:
        try:
            with open(lock, "x", encoding="utf-8") as file:
                file.write(own)
            return True
        except FileExistsError:
            pass
        except OSError:
            return False
        holder = _text(lock)
        if holder != seen:
            seen, since = holder, time.monotonic()
        if not told and not _is_dead(holder) and time.monotonic() - since > TELL_AFTER:
            told = True
            _tell(lock)
        if (_is_dead(holder) or time.monotonic() - since > LOCK_SECONDS) and not _gone(lock):
            return False
        time.sleep(0.02)


def _tell(lock: Path) -> None:
    from .cli.output import complain

    complain(f"waiting, {LOCK_SECONDS:g} s at most, for another change of the same file to end ({lock.name})")


def _text(lock: Path) -> str:
    try:
        return lock.read_text(encoding="utf-8", errors="replace")
    except OSError:
        return ""


def _gone(lock: Path) -> bool:
    """Whether the lock is away now."""
    with contextlib.suppress(OSError):
        lock.unlink()
    return not os.path.lexists(lock)


def _is_dead(holder: str) -> bool:
    """Whether the lock is of a process of this machine that has ended."""
    host, _, rest = holder.partition(" ")
    pid = rest.partition(" ")[0]
    if host != socket.gethostname() or not pid.isdigit() or os.name != "posix":
        return False
    try:
        os.kill(int(pid), 0)
    except ProcessLookupError:
        return True
    except OSError:
        return False
    return False
