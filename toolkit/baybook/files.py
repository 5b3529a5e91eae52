"""Write files whole or not at all, and none over another without being told to."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from .errors import InputError


def check_ending(path: Path, ending: str, *, option: str = "") -> None:
    """Raises InputError where the file's name does not end in `ending` (".pdf"), in upper or lower case."""
    if path.suffix.lower() != ending:
        raise InputError.one(option, path, f"does not end in {ending}", f"give a file name, such as job{ending}")


def check_target(path: Path, *, force: bool, option: str = "") -> None:
    """Raises InputError where the file exists (without force), is no file, or its folder does not exist: before any work."""
    if path.is_dir():
        raise InputError.one(option, path, "is a folder", "give a file name")
    target = _written(path, option)
    if target.exists() and not force:
        raise InputError.one(option, path, "exists already", "give another name, or --force to write over it")
    if not target.parent.is_dir():
        raise InputError.one(option, path, "lies in a folder that does not exist", "make the folder first")


def write_whole(path: Path, content: bytes) -> None:
    """Write beside the target and move it there in one step; a link stays, and what it leads to is written. Who may read a
    file that exists stays as it was.

    Raises InputError for what is no file, such as a device or a pipe, where the move would put a file in its place; and for a
    folder that cannot be written to.
    """
    target = _written(path, "")
    mode = target.stat().st_mode & 0o777 if target.exists() else 0o666 & ~_umask()
    try:
        handle, scratch = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name[:40]}.")
    except OSError as error:
        why = f"cannot be written: {error.strerror}"
        raise InputError.one("", path, why, "give a name in a folder that you may write to") from error
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        os.chmod(scratch, mode)
        os.replace(scratch, target)
    except BaseException as error:
        os.unlink(scratch)
        if isinstance(error, OSError):
            why = f"cannot be written: {error.strerror}"
            raise InputError.one("", path, why, "give a name on a disk that has room for it") from error
        raise


def _written(path: Path, option: str) -> Path:
    """The file that `path` is or leads to, which need not exist yet. Raises InputError where something else is there."""
    target = Path(os.path.realpath(path))
    if target.is_symlink() or (target.exists() and not target.is_file()):  # still a link: links that lead in a circle
        raise InputError.one(option, path, "is no file that can be written whole", "give the name of a file")
    return target


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
