"""Load one plugin and ask it what it offers. Used in the asking process and, for the plugin that a command needs, in ours."""

from __future__ import annotations

import importlib
import itertools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

import pluggy

from .. import hooks
from ..declare import Calculator
from ..errors import PluginError
from ..offers import CardOffer, FuelOffer, UnitOffer

MOST_OFFERS = 500
_TYPES: dict[str, type] = {
    "baybook_calculators": Calculator, "baybook_cards": CardOffer, "baybook_fuels": FuelOffer, "baybook_units": UnitOffer,
}  # fmt: skip


@dataclass(frozen=True)
class Offers:
    """Everything that one plugin offers."""

    calculators: tuple[Calculator, ...] = ()
    cards: tuple[CardOffer, ...] = ()
    fuels: tuple[FuelOffer, ...] = ()
    units: tuple[UnitOffer, ...] = ()
    module: Any = field(default=None, compare=False)


def load_offers(module_name: str) -> Offers:
    """Import the module and collect its offers. Raises PluginError with the reason why it must be left out."""
    try:
        module = importlib.import_module(module_name)
    except (Exception, SystemExit) as error:
        raise PluginError(f"cannot be imported: {_words(error)}") from error
    wanted = getattr(module, "BAYBOOK_INTERFACE", hooks.INTERFACE)
    if wanted != hooks.INTERFACE:
        raise PluginError(f"asks for interface version {wanted}; this is version {hooks.INTERFACE}")
    return collect(module)


def collect(plugin: Any) -> Offers:
    """The offers of a plugin object (a module, or any object with hook implementations). Raises PluginError."""
    manager = pluggy.PluginManager(hooks.PROJECT)
    manager.add_hookspecs(hooks)
    try:
        manager.register(plugin, name="the plugin")
        manager.check_pending()
    except pluggy.PluginValidationError as error:
        raise PluginError(f"has a hook that does not exist or has other arguments: {_words(error)}") from error
    if not manager.get_hookcallers(plugin):
        raise PluginError("offers nothing: it has no function marked with hookimpl")
    found = {hook: tuple(_ask(manager, hook)) for hook in _TYPES}
    return Offers(*found.values(), module=plugin)


def _ask(manager: pluggy.PluginManager, hook: str) -> Iterator[Any]:
    """What the one registered plugin yields. It is used up here: a generator raises only while it runs."""
    try:
        for answer in getattr(manager.hook, hook)():
            if isinstance(answer, str) or not isinstance(answer, Iterable):
                raise PluginError(f"{hook} returned {type(answer).__name__}, not a list")
            offers = list(itertools.islice(answer, MOST_OFFERS + 1))
            if len(offers) > MOST_OFFERS:
                raise PluginError(f"{hook} offers more than {MOST_OFFERS}")
            for offer in offers:
                if not isinstance(offer, _TYPES[hook]):
                    raise PluginError(f"{hook} offers {type(offer).__name__} where {_TYPES[hook].__name__} is wanted")
                yield offer
    except PluginError:
        raise
    except (Exception, SystemExit) as error:
        raise PluginError(f"{hook} failed: {_words(error)}") from error


def _words(error: BaseException) -> str:
    text = " ".join(str(error).split())
    return f"{type(error).__name__}: {text[:200]}" if text else type(error).__name__
