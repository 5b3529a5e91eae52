"""What is on offer in this environment, from the index; a plugin is imported only when something of it is used."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING, Any

from .errors import BaybookError, InputError, PluginError
from .plugins import index
from .plugins.index import Index

if TYPE_CHECKING:
    from .declare import Calculator
    from .plugins.loading import Offers


@dataclass(frozen=True)
class Listed:
    """A calculator as the index lists it."""

    plugin: str
    name: str
    stage: str
    side: str
    title: str
    summary: str


class Registry:
    """The accepted plugins' offers."""

    def __init__(self, found: Index) -> None:
        self.index = found
        index.add_units(found)

    def listed(self) -> list[Listed]:
        """Every calculator on offer, without importing its plugin."""
        return [Listed(*row) for row in self.index.of("calculator")]

    def left_out(self) -> list[str]:
        """A line for every plugin that is left out, with the cause, and what else a person should know of the index."""
        return self.index.complaints()

    def calculator(self, name: str) -> Calculator:
        """The calculator of that name. Raises InputError with a near name where there is none."""
        found: Calculator = self._offer("calculator", name.replace("_", "-"))
        return found

    def fuel_names(self) -> list[str]:
        """The names of all fuels on offer."""
        return [row[1] for row in self.index.of("fuel")]

    def fuel(self, name: str) -> Any:
        """The FuelOffer of that name. Raises InputError."""
        return self._offer("fuel", name)

    def cards(self) -> list[tuple[str, str]]:
        """(name, title) of every card on offer that belongs to no calculator."""
        return [(row[1], row[2]) for row in self.index.of("card")]

    def card(self, name: str) -> Any:
        """The CardOffer of that name. Raises InputError."""
        return self._offer("card", name)

    def why_absent(self, name: str) -> str:
        """What to do where a plugin of that name is installed and not in use; "" where there is none."""
        states = {row[0]: row[4] for row in self.index.of("plugin") if row[4] != "accepted"}
        if states.get(name) == "switched off":
            return f"the plugin {name} is switched off, see baybook plugins on"
        return f"the plugin {name} is left out, and baybook plugins show {name} says why" if name in states else ""

    def _offer(self, what: str, name: str) -> Any:
        words, offers = self._offers(self._plugin_offering(what, name))
        for offer in getattr(offers, f"{what}s"):
            if offer.name == name:
                return replace(offer, origin=words) if what == "calculator" else _guarded(words, what, offer)
        raise PluginError(f"{words} offers the {what} {name} no more; baybook plugins refresh asks it again")

    def _plugin_offering(self, what: str, name: str) -> str:
        owners = {row[1]: row[0] for row in self.index.of(what)}
        if name in owners:
            return owners[name]
        from difflib import get_close_matches

        close = get_close_matches(name, list(owners), n=1)
        known = ", ".join(sorted(owners)) or "none: nothing is installed"
        near = f"did you mean {close[0]}?" if close else f"use one of {known}"
        would_do = self.why_absent(name) or near
        raise InputError.one("", name, f"is not a {what} that is known", would_do)

    def _offers(self, plugin: str) -> tuple[str, Offers]:
        """How the plugin is named to a person, and what it offers, from its module imported into this process."""
        from .plugins.loading import load_offers

        accepted = {row[0]: row for row in self.index.of("plugin") if row[4] == "accepted"}
        name, distribution, version, module, *_ = accepted[plugin]
        words = f"plugin {distribution} {version} [{name}]"
        try:
            return words, load_offers(module)
        except PluginError as error:
            raise PluginError(f"{words} {error}") from error


def _guarded(words: str, what: str, offer: Any) -> Any:
    """The card or fuel offer, with a `make` whose faults are told as the plugin's."""

    def make(**known: Any) -> Any:
        try:
            made = offer.make(**known)
        except BaybookError:
            raise
        except (Exception, SystemExit) as error:
            raise PluginError(f"{words}: {what} {offer.name} failed: {type(error).__name__}: {error}") from error
        wanted = _what_is_made(what)
        if not isinstance(made, wanted):
            raise PluginError(f"{words}: {what} {offer.name} gives {type(made).__name__}, not a {wanted.__name__}")
        return made

    return replace(offer, make=make)


def _what_is_made(what: str) -> type:
    if what == "card":
        from .cards.data import Card

        return Card
    from .fuels import FuelModel

    return FuelModel


@cache
def registry() -> Registry:
    """The registry of this process; the index is built first where it is missing or stale."""
    found = index.read()
    if found is None:
        from .plugins.building import build

        found = build()
    return Registry(found)


def find_fuel(name: str, **known: Any) -> Any:
    """The fuel model of that name, or of a TOML file that describes one, made with what is known of the fuel.

    known: what the model's maker takes, such as density and viscosity readings. Raises InputError for an unknown name or a
    file that cannot be used.
    """
    if name.endswith(".toml"):
        from .fuels import fuel_from_file

        return fuel_from_file(name)
    return registry().fuel(name).make(**known)
