"""What a calculator finds around it: the fuels on offer, and the way to be run.

The registry that a calculator comes from is its environment. One that was imported by hand has that of the process, which the
registry provides: here, on the ground floor, nobody has to import it for that.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Protocol


class Environment(Protocol):
    """What the core asks its surroundings for."""

    def run(self, calculator: Any, raw: Mapping[str, Any]) -> Any:
        """The Result of the calculator, from raw values. Raises InputError and PluginError."""

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
