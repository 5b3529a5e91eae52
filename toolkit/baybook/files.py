"""Write files whole or not at all, and none over another without being told to."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from .errors import InputError


def check_target(path: Path, *, force: bool, option: str = "") -> None:
    """Raises InputError where the file exists (without force) or its folder does not: before any work is done."""
    if path.is_dir():
        raise InputError.one(option, path, "is a folder", "give a file name")
    if path.exists() and not force:
        raise InputError.one(option, path, "exists already", "give another name, or --force to write over it")
    if not path.absolute().parent.is_dir():
        raise InputError.one(option, path, "lies in a folder that does not exist", "make the folder first")


def write_whole(path: Path, content: bytes) -> None:
    """Write beside the target and move it there in one step."""
    handle, scratch = tempfile.mkstemp(dir=path.absolute().parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        os.chmod(scratch, 0o666 & ~_umask())
        os.replace(scratch, path)
    except BaseException:
        os.unlink(scratch)
        raise


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
