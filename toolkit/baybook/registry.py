"""What is on offer in this environment, from the index; a plugin is imported only when something of it is used."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING, Any

from .dataclass import replace
from .environment import TookTooLong, contained, provide, within_time
from .errors import BaybookError, InputError, PluginError, in_short
from .offers import CardOffer
from .plugins import index
from .plugins.index import CalculatorRecord, ChannelRecord, Index, OfferRecord, PluginRecord

if TYPE_CHECKING:
    from baybook_physics.fuels import FuelModel

    from .declare import Calculator
    from .plugins.loader import Offers
    from .result import Result


class Registry:
    """The accepted plugins' offers."""

    def __init__(self, found: Index) -> None:
        self.index = found
        index.add_units(found)
        self._made: dict[tuple[str, str], Any] = {}

    def listed(self) -> list[CalculatorRecord]:
        """Every calculator on offer, without importing its plugin."""
        return self.index.calculators()

    def touches(self, name: str) -> frozenset[str] | None:
        """Where a hand goes for the calculator of that name (`placing.TOUCHED`), from the index; None where it is not."""
        found = next((listed.touches for listed in self.listed() if listed.name == name), None)
        return None if found is None else frozenset(filter(None, found.split(",")))

    def offers_calculator(self, name: str) -> bool:
        """Whether a calculator of that very name is on offer."""
        return self.index.owner("calculator", name) is not None

    def left_out(self) -> list[str]:
        """A line for every plugin that is left out, with the cause, and what else a person should know of the index."""
        return self.index.complaints()

    def calculator(self, name: str) -> Calculator:
        """The calculator of that name. Raises InputError with a near name where there is none."""
        found: Calculator = self._offer("calculator", name.replace("_", "-"))
        return found

    def fuel_names(self) -> list[str]:
        """The names of all fuels on offer."""
        return [fuel.name for fuel in self.index.fuels()]

    def channels(self) -> list[ChannelRecord]:
        """The channels of captures that plugins offer."""
        return self.index.channels()

    def fuel(self, name: str) -> Any:
        """The FuelOffer of that name. Raises InputError."""
        return self._offer("fuel", name)

    def find_fuel(self, name: str, **known: Any) -> FuelModel:
        """The fuel model of that name, or of a TOML file that describes one. Raises InputError."""
        if name.endswith(".toml"):
            from baybook_physics.fuels import fuel_from_file

            return fuel_from_file(name)
        made: FuelModel = self.fuel(name).make(**known)
        return made

    def run(self, calculator: Calculator, raw: Mapping[str, Any]) -> Result:
        """Work it out from raw values. Raises InputError and PluginError."""
        from .execution import run

        return run(calculator, raw)

    def cards(self) -> list[tuple[str, str]]:
        """(name, title) of every card on offer that belongs to no calculator."""
        return [(card.name, card.title) for card in self.index.cards()]

    def card(self, name: str) -> Any:
        """The CardOffer of that name. Raises InputError."""
        return self._offer("card", name)

    def why_absent(self, name: str) -> str:
        """What to do where a plugin of that name is installed and not in use; "" where there is none."""
        states = {plugin.name: plugin.state for plugin in self.index.plugins() if plugin.state != "accepted"}
        if states.get(name) == "switched off":
            return f"the plugin {name} is switched off, see baybook plugins on"
        return f"the plugin {name} is left out, and baybook plugins show {name} says why" if name in states else ""

    def _offer(self, what: str, name: str) -> Any:
        if (what, name) not in self._made:
            self._made[what, name] = self._loaded(what, name)
        return self._made[what, name]

    def _loaded(self, what: str, name: str) -> Any:
        plugin = self._plugin_offering(what, name)
        for offer in getattr(self._offers(plugin), f"{what}s"):
            if offer.name == name:
                return self._at_home(plugin, offer)
        raise PluginError(f"{plugin.words()} offers the {what} {name} no more; baybook plugins refresh asks it again")

    def _at_home(self, plugin: PluginRecord, offer: Any) -> Any:
        """The offer as one that comes from here: its faults are told as the plugin's, and a calculator finds our fuels."""
        from .declare import Calculator

        if isinstance(offer, Calculator):
            return replace(offer, origin=plugin.words(), environment=self)
        return _guarded(plugin.words(), "card" if isinstance(offer, CardOffer) else "fuel", offer)

    def _plugin_offering(self, what: str, name: str) -> PluginRecord:
        owner = self.index.owner(what, name)
        if owner is not None:
            return owner
        from difflib import get_close_matches

        offers: list[OfferRecord] = [*self.index.calculators(), *self.index.cards(), *self.index.fuels()]
        names = [offer.name for offer in offers if offer.word == what]
        close = get_close_matches(name, names, n=1)
        known = ", ".join(sorted(names)) or "none: nothing is installed"
        near = f"did you mean {close[0]}?" if close else f"use one of {known}"
        hint = self.why_absent(name) or near
        raise InputError.one("", name, f"is not a {what} that is known", hint)

    def _offers(self, plugin: PluginRecord) -> Offers:
        """What a plugin offers, from its module imported into this process."""
        from .plugins.loader import load_offers

        try:
            return load_offers(plugin.module, accepted=True)
        except PluginError as error:
            raise PluginError(f"{plugin.words()} {error}") from error


def _guarded(words: str, what: str, offer: Any) -> Any:
    """The card or fuel offer, with a `make` whose faults are told as the plugin's."""

    def make(**known: Any) -> Any:
        try:
            with contained(), within_time():
                made = offer.make(**known)
        except PluginError as error:
            raise PluginError(f"{words}: {what} {offer.name}: {error}") from error
        except BaybookError:
            raise
        except TookTooLong as error:
            raise PluginError(f"{words}: {what} {offer.name} {error}") from error
        except (Exception, SystemExit) as error:
            raise PluginError(f"{words}: {what} {offer.name} failed: {in_short(error)}") from error
        wanted = _what_is_made(what)
        if not isinstance(made, wanted):
            raise PluginError(f"{words}: {what} {offer.name} gives {type(made).__name__}, not a {wanted.__name__}")
        return made

    return replace(offer, make=make)


def _what_is_made(what: str) -> type:
    if what == "card":
        from .cards.data import Card

        return Card
    from baybook_physics.fuels import FuelModel

    return FuelModel


@cache
def registry() -> Registry:
    """The registry of this process; the index is built first where it is missing or stale."""
    found = index.read()
    if found is None:
        from .plugins.index_builder import build

        found = build()
    return Registry(found)


provide(registry)


def calculate(name: str, /, **inputs: Any) -> Result:
    """Work out the calculator of that name; inputs as text (`start="350 ± 5 bar"`), readings, or JSON values.

    Raises InputError for an unknown calculator and for wrong inputs, a line for each.

    >>> calculate("convert", reading="1 ± 0 bar", to="kPa")["kPa"].value
    100.0
    """
    known = registry()
    return known.run(known.calculator(name), inputs)


def find_fuel(name: str, **known: Any) -> Any:
    """The fuel model of that name, or of a TOML file that describes one, made with what is known of the fuel.

    known: what the model's maker takes, such as density and viscosity readings. Raises InputError for an unknown name or a
    file that cannot be used.

    >>> round(find_fuel("n-dodecane").density(25.0, 0.101325))  # kg/m3 at 25 °C and atmospheric pressure
    746
    """
    return registry().find_fuel(name, **known)
