"""Switch plugins off and on by name: a line each in a small file that a person may edit too. Nothing is imported for it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from ..changes import changed
from ..errors import InputError
from ..small_files import read_small
from . import index

HEADER = "# plugins or packages that Baybook does without, a name each line\n"
_INSTEAD = "BAYBOOK_WITHOUT=NAME does the same for one command"


def switch_off(name: str) -> None:
    """Note the name. Raises InputError where the file cannot be read or written."""
    _changed(lambda lines: None if name in map(str.strip, lines) else [*lines, name])


def switch_on(name: str) -> bool:
    """Forget the name; whether it was there. Raises InputError where the file cannot be read or written."""

    def without(lines: list[str]) -> list[str] | None:
        kept = [line for line in lines if line.strip() != name]
        return kept if len(kept) < len(lines) else None

    return _changed(without)


def _changed(change: Callable[[list[str]], list[str] | None]) -> bool:
    """Write what `change` makes of the file's lines; whether it changed any. What cannot be read is not written over."""
    path = Path(index.switch_file())
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError.one("", path, f"cannot be written: {error.strerror}", _INSTEAD) from error

    def of_bytes(before: bytes) -> tuple[bytes | None, bool]:
        lines = change((before or HEADER.encode()).decode("utf-8", "surrogateescape").splitlines())
        return None if lines is None else "".join(f"{line}\n" for line in lines).encode(
            "utf-8", "surrogateescape"
        ), lines is not None

    _bytes(path)  # what cannot be read is told as that, before what cannot be written
    return changed(path, _bytes, of_bytes)


def _bytes(path: Path) -> bytes:
    """The file as it is; empty where there is none yet."""
    return read_small(path, hint=_INSTEAD) if path.exists() else b""
