"""Write files whole or not at all, and none over another without being told to."""

from __future__ import annotations

import contextlib
import os
import shutil
import tempfile
import time
from pathlib import Path

from .errors import BaybookError, InputError

MARK = ".baybook-"
"""What the name of every file that is only there for a moment begins with."""
LITTER_SECONDS = 600.0
"""After which such a file is one that a killed run left: none takes that long to write."""
written: list[str] = []
"""What this process has put in place, for what is said of it when it is stopped."""


class Overtaken(BaybookError):
    """The file is no more what was read: somebody else has written it meanwhile."""


def check_ending(path: Path, ending: str, *, option: str = "") -> None:
    """Raises InputError where the file's name does not end in `ending` (".pdf"), in upper or lower case."""
    if path.suffix.lower() != ending:
        raise InputError.one(option, path, f"does not end in {ending}", f"give a file name, such as job{ending}")


def check_target(path: Path, *, force: bool, option: str = "") -> None:
    """Raises InputError where the file exists (without force), is no file, or its folder does not exist: before any work."""
    if path.is_dir():
        raise InputError.one(option, path, "is a folder", "give a file name")
    target = target_of(path, option)
    if target.exists() and not force:
        raise InputError.one(option, path, "exists already", "give another name, or --force to write over it")
    if not target.parent.is_dir():
        raise InputError.one(option, path, "lies in a folder that does not exist", "make the folder first")


def write_whole(path: Path, content: bytes, *, instead_of: bytes | None = None, own: bool = False) -> None:
    """Write beside the target and move it there in one step; a link stays, and what it leads to is written. Who may read a
    file that exists stays as it was. It has reached the disk before it takes the other's place.

    own: it is Baybook's own and nothing that a person waits for.
    instead_of: what was read of the file and led to this content; Overtaken is raised where it is that no more.
    Raises InputError for what is no file, such as a device or a pipe, where the move would put a file in its place; for one
    that is marked read-only; and for a folder that cannot be written to.
    """
    target = target_of(path, "")
    mode = target.stat().st_mode & 0o777 if target.exists() else 0o666 & ~_umask()
    if not mode & 0o222:
        raise InputError.one("", path, "is marked read-only", "let it be written to, or give another name")
    clear_litter(target.parent, f"{MARK}{target.name[:40]}.")
    try:
        handle, scratch = tempfile.mkstemp(dir=target.parent, prefix=f"{MARK}{target.name[:40]}.")
    except OSError as error:
        why = f"cannot be written: {error.strerror}"
        raise InputError.one("", path, why, "give a name in a folder that you may write to") from error
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(scratch, mode)
        if instead_of is not None and _now(target) != instead_of:
            raise Overtaken(f"{path} has been written by somebody else meanwhile")
        os.replace(scratch, target)
        if not own:
            written.append(str(path))
    except BaseException as error:
        with contextlib.suppress(OSError):
            os.unlink(scratch)
        if isinstance(error, OSError):
            why = f"cannot be written: {error.strerror}"
            raise InputError.one("", path, why, "give a name on a disk that has room for it") from error
        raise
    _settle(target.parent)


def _now(target: Path) -> bytes | None:
    try:
        return target.read_bytes()
    except FileNotFoundError:
        return b""


def _settle(folder: Path) -> None:
    """Let the move reach the disk, where folders can be told so."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def clear_litter(folder: Path, prefix: str) -> None:
    """Take away what killed runs left in a folder under names that begin so: files and folders, a while ago."""
    with contextlib.suppress(OSError):
        for entry in os.scandir(folder):
            if (
                not entry.name.startswith(prefix)
                or abs(time.time() - entry.stat(follow_symlinks=False).st_mtime) <= LITTER_SECONDS
            ):
                continue
            if entry.is_dir(follow_symlinks=False):
                shutil.rmtree(entry.path, ignore_errors=True)
            else:
                os.unlink(entry.path)


def target_of(path: Path, option: str) -> Path:
    """The file that `path` is or leads to, which need not exist yet. Raises InputError where something else is there."""
    target = Path(os.path.realpath(path))
    if target.is_symlink() or (target.exists() and not target.is_file()):  # still a link: links that lead in a circle
        raise InputError.one(option, path, "is no file that can be written whole", "give the name of a file")
    return target


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
