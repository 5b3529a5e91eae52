"""What a calculator finds around it: the fuels on offer, and the way to be run; and what its code may not change there.

The registry that a calculator comes from is its environment. One that was imported by hand has that of the process, which the
registry provides: here, on the ground floor, nobody has to import it for that.
"""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import Any, Protocol


class Environment(Protocol):
    """What the core asks its surroundings for."""

    def run(self, calculator: Any, raw: Mapping[str, Any]) -> Any:
        """The Result of the calculator, from raw values. Raises InputError and PluginError."""

    def touches(self, name: str) -> frozenset[str] | None:
        """Where a hand goes for the calculator of that name (`placing.TOUCHED`), from the index; None where it is not."""

    def fuel_names(self) -> list[str]:
        """The names of all fuels on offer."""

    def channels(self) -> list[Any]:
        """The channels of captures that plugins offer, as the index has them."""

    def find_fuel(self, name: str, **known: Any) -> Any:
        """The fuel model of that name, or of a TOML file. Raises InputError."""


_provided: list[Callable[[], Environment]] = []


def provide(make: Callable[[], Environment]) -> None:
    """Say where the process's environment comes from; it is asked for when it is needed."""
    _provided[:] = [make]


def of_process() -> Environment:
    """The environment of this process. `baybook.api` provides it, so there is one for every plugin."""
    return _provided[0]()


def is_provided() -> bool:
    """Whether there is one: a part of the core that is used by itself has none, and does without plugins."""
    return bool(_provided)


SECONDS = 600.0
"""That a plugin's code may take where the process is a command; BAYBOOK_COMPUTE_SECONDS changes it."""


class TookTooLong(BaseException):
    """A plugin's code took longer than it may: no Exception, so that a plugin that ignores those does not ignore it."""


@contextmanager
def within_time() -> Iterator[None]:
    """Raise TookTooLong inside after SECONDS. Only in a process that is our command, on systems with a timer."""
    if not getattr(sys.modules.get("baybook.start"), "is_program", False) or os.name != "posix":
        yield
        return
    import _signal  # type: ignore[import-not-found,unused-ignore]

    seconds = _seconds()

    def end(number: int, frame: object) -> None:
        raise TookTooLong(f"did not end within {seconds:g} s; BAYBOOK_COMPUTE_SECONDS gives it longer")

    before = _signal.signal(_signal.SIGALRM, end)
    _signal.setitimer(_signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        _signal.setitimer(_signal.ITIMER_REAL, 0.0)
        _signal.signal(_signal.SIGALRM, before)


def _seconds() -> float:
    try:
        return max(0.1, float(os.environ.get("BAYBOOK_COMPUTE_SECONDS", SECONDS)))
    except ValueError:
        return SECONDS


@contextmanager
def contained() -> Iterator[None]:
    """Put back what is changed inside. Patched modules and threads stay as the plugin made them."""
    folder = _folder()
    known: Any = sys.modules.get("_locale")  # where it is not loaded, numbers and dates are as Python begins with them
    locale = known.setlocale(known.LC_ALL) if known else "C"
    mask = os.umask(0o022)
    os.umask(mask)
    limit = sys.getrecursionlimit()
    try:
        yield
    finally:
        if folder is not None and _folder() != folder:
            with contextlib.suppress(OSError):
                os.chdir(folder)
        known = sys.modules.get("_locale")
        if known and known.setlocale(known.LC_ALL) != locale:
            with contextlib.suppress(Exception):  # a locale that is no more
                for category in (known.LC_ALL,) if locale != "C" else (known.LC_NUMERIC, known.LC_TIME, known.LC_COLLATE):
                    known.setlocale(category, locale)
        os.umask(mask)
        sys.setrecursionlimit(limit)


def _folder() -> str | None:
    try:
        return os.getcwd()
    except OSError:
        return None
