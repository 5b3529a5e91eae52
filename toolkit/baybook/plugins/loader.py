"""Load one plugin and ask it what it offers. Used in the asking process and, for the plugin that a command needs, in ours.

Whether it keeps to the hooks is held against their specifications by pluggy, in the asking process alone: the index has then
accepted it as it is, and a command that works something out does not load pluggy for that again.
"""

from __future__ import annotations

import importlib
import itertools
import sys
from collections.abc import Iterable, Iterator
from contextlib import redirect_stdout
from typing import Any

from .. import hooks
from ..dataclass import dataclass, field
from ..declare import Calculator
from ..environment import contained
from ..errors import PluginError
from ..kinds import Kind
from ..offers import CardOffer, ChannelOffer, FuelOffer, UnitOffer

MOST_OFFERS = 500
LONGEST_TEXT = 500
_TYPES: dict[str, type] = {
    "baybook_calculators": Calculator, "baybook_cards": CardOffer, "baybook_fuels": FuelOffer, "baybook_units": UnitOffer,
    "baybook_kinds": Kind, "baybook_channels": ChannelOffer,
}  # fmt: skip
_TEXTS = ("name", "title", "summary", "stage", "side")


@dataclass(frozen=True)
class Offers:
    """Everything that one plugin offers."""

    calculators: tuple[Calculator, ...] = ()
    cards: tuple[CardOffer, ...] = ()
    fuels: tuple[FuelOffer, ...] = ()
    units: tuple[UnitOffer, ...] = ()
    kinds: tuple[Kind, ...] = ()
    channels: tuple[ChannelOffer, ...] = ()
    module: Any = field(default=None, compare=False)


def load_offers(module_name: str, *, accepted: bool = False) -> Offers:
    """Import the module and collect its offers; what it prints goes to standard error.

    accepted: whether its hooks were found to be the interface's before. Raises PluginError with the reason why it must be left
    out.
    """
    with redirect_stdout(sys.stderr), contained():
        try:
            module = importlib.import_module(module_name)
        except PluginError as error:
            raise PluginError(f"is not declared rightly: {_words(error)}") from error
        except (Exception, SystemExit) as error:
            raise PluginError(f"cannot be imported: {_words(error)}") from error
        wanted = getattr(module, "BAYBOOK_INTERFACE", hooks.INTERFACE)
        if wanted != hooks.INTERFACE:
            raise PluginError(f"asks for interface version {wanted!r:.40}; this is version {hooks.INTERFACE}")
        if not accepted:
            check_hooks(module)
        calculators, cards, fuels, units, kinds, channels = (tuple(_ask(module, hook)) for hook in _TYPES)
        if not any((calculators, cards, fuels, units, kinds, channels)):
            raise PluginError("offers nothing: its hooks return empty lists")
        return Offers(calculators, cards, fuels, units, kinds, channels, module)


def check_hooks(plugin: Any) -> None:
    """Raise PluginError where a plugin's marked functions are not those of `hooks`."""
    import pluggy

    manager = pluggy.PluginManager(hooks.PROJECT)
    manager.add_hookspecs(hooks)
    try:
        manager.register(plugin, name="the plugin")
    except pluggy.PluginValidationError as error:
        raise PluginError(f"has a hook with other arguments than the interface's: {_words(error)}") from error
    callers = manager.get_hookcallers(plugin) or []
    for caller in callers:
        if not caller.has_spec():
            raise PluginError(_unknown_hook(caller.name))
    if not callers and not declared_in(plugin):
        raise PluginError("offers nothing: it has no calculator and no function marked with hookimpl")


def _unknown_hook(name: str) -> str:
    from difflib import get_close_matches

    close = get_close_matches(name, _TYPES, n=1)
    hint = f"did you mean {close[0]}?" if close else f"use {', '.join(_TYPES)}"
    return f"has the hook {name}, which does not exist; {hint}"


def _ask(plugin: Any, hook: str) -> Iterator[Any]:
    """What the plugin yields. It is used up here: a generator raises only while it runs."""
    asked: Any = getattr(plugin, hook, None)
    if not hooks.is_marked(asked):
        if hook == "baybook_calculators":
            for calculator in declared_in(plugin):
                _check(hook, calculator)
                yield calculator
        return
    try:
        answer = asked()
        if answer is None:
            raise PluginError(f"{hook} returned nothing; it returns a list of what the plugin offers")
        if isinstance(answer, str) or not isinstance(answer, Iterable):
            raise PluginError(f"{hook} returned {type(answer).__name__}, not a list")
        offers = list(itertools.islice(answer, MOST_OFFERS + 1))
        if len(offers) > MOST_OFFERS:
            raise PluginError(f"{hook} offers more than {MOST_OFFERS}")
        for offer in offers:
            _check(hook, offer)
            yield offer
    except PluginError:
        raise
    except (Exception, SystemExit) as error:
        raise PluginError(f"{hook} failed: {_words(error)}") from error


def declared_in(module: Any) -> list[Calculator]:
    """The calculators that a module declares itself, in its order: they are on offer without a hook."""
    found = [thing for thing in vars(module).values() if isinstance(thing, Calculator)]
    return [calculator for calculator in found if calculator.function.__module__ == module.__name__]


def _check(hook: str, offer: Any) -> None:
    """Refuse an offer of another type, and one whose texts could not be listed."""
    wanted = _TYPES[hook]
    if not isinstance(offer, wanted):
        raise PluginError(f"{hook} offers {type(offer).__name__} where {wanted.__name__} is wanted")
    for attribute in _TEXTS:
        text = getattr(offer, attribute, "")
        if not isinstance(text, str) or len(text) > LONGEST_TEXT or "\ud800" <= max(text, default="") <= "\udfff":
            raise PluginError(f"{hook} offers a {wanted.__name__} whose {attribute} is not a short text: {text!r:.60}")
    name = str(getattr(offer, "name", "a")).replace(" ", "-" if wanted is Kind else " ")
    if not name.replace("-", "").replace("_", "").isalnum() or name.startswith("-"):
        raise PluginError(f"{hook} offers a {wanted.__name__} with the name {name!r}; use letters, digits and hyphens")


def _words(error: BaseException) -> str:
    text = " ".join(str(error).split())
    if isinstance(error, PluginError):
        return text[:300] + place(error)
    return (f"{type(error).__name__}: {text[:200]}" if text else type(error).__name__) + place(error)


def place(error: BaseException) -> str:
    """` (calculator.py, line 52)`: the last line of somebody else's code on the way to the error; "" where there is none."""
    import os
    import traceback

    own = os.path.dirname(os.path.dirname(__file__)) + os.sep
    frames = [frame for frame in traceback.extract_tb(error.__traceback__) if not frame.filename.startswith((own, "<"))]
    others = [frame for frame in frames if os.path.basename(os.path.dirname(frame.filename)) not in ("importlib", "pluggy")]
    return f" ({os.path.basename(others[-1].filename)}, line {others[-1].lineno})" if others else ""
