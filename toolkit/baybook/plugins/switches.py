"""Switch plugins off and on by name: a line each in a small file that a person may edit too. Nothing is imported for it."""

from __future__ import annotations

from pathlib import Path

from ..errors import InputError
from ..files import write_whole
from . import index

HEADER = "# plugins or packages that Baybook does without, a name each line\n"
_INSTEAD = "BAYBOOK_WITHOUT=NAME does the same for one command"


def switch_off(name: str) -> None:
    """Note the name. Raises InputError where the file cannot be written."""
    if name not in index.switched_off_in_file():
        _write([*_lines(), name])


def switch_on(name: str) -> bool:
    """Forget the name; whether it was there. Raises InputError where the file cannot be written."""
    lines = _lines()
    kept = [line for line in lines if line.strip() != name]
    if len(kept) == len(lines):
        return False
    _write(kept)
    return True


def _lines() -> list[str]:
    """The file's lines as they are; those of a new one where there is none. What cannot be read is not written over."""
    path = index.switch_file()
    try:
        with open(path, encoding="utf-8", errors="surrogateescape") as file:
            return file.read().splitlines()
    except (FileNotFoundError, NotADirectoryError):
        return HEADER.splitlines()
    except OSError as error:
        raise InputError.one("", path, f"cannot be read: {error.strerror}", _INSTEAD) from error


def _write(lines: list[str]) -> None:
    path = Path(index.switch_file())
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError.one("", path, f"cannot be written: {error.strerror}", _INSTEAD) from error
    write_whole(path, "".join(f"{line}\n" for line in lines).encode("utf-8", "surrogateescape"))
