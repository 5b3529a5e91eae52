"""What a plugin may offer beside calculators. Each checks itself when it is made."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from .dataclass import dataclass
from .errors import PluginError

if TYPE_CHECKING:
    from baybook_physics.fuels import FuelModel

    from .cards.data import Card


def _check_name(name: object, what: str) -> None:
    if not isinstance(name, str) or not name or not name.replace("-", "").replace("_", "").isalnum() or len(name) > 60:
        raise PluginError(f"{what} has the name {name!r}; use letters, digits and hyphens")


@dataclass(frozen=True)
class CardOffer:
    """A card of its own: its name, its title, and a function that makes it when it is printed.

    make: the function, or where it is found ("my_plugin.bench_card:card"): its module is then imported when it is printed.
    fills: a calculator's name, where the card draws on its inputs: `make` then gets those that are known of the vehicle,
    by name and as the calculator gets them (readings, spec ranges, words); with none known it is called without.
    """

    name: str
    title: str
    make: Callable[..., Card] | str
    fills: str = ""

    def __post_init__(self) -> None:
        _check_name(self.name, "a card")
        if isinstance(self.make, str):
            object.__setattr__(self, "make", _later(self.name, self.make))

    def made(self, **inputs: Any) -> Card:
        """The card. Raises what its function raises, and ImportError or AttributeError where that is not there."""
        assert callable(self.make)
        return self.make(**inputs)


def _later(card: str, where: str) -> Callable[..., Card]:
    """The function of that module, imported when it is called. Raises PluginError for what names none."""
    module, _, function = where.partition(":")
    if not all(map(str.isidentifier, [*module.split("."), function])):
        raise PluginError(f"the card {card} is made by {where!r}; name it as module:function")

    def make(**inputs: Any) -> Card:
        from importlib import import_module

        made: Card = getattr(import_module(module), function)(**inputs)
        return made

    return make


@dataclass(frozen=True)
class FuelOffer:
    """A fuel by name. make(**known) gives the `FuelModel`; known may hold readings: density, viscosity."""

    name: str
    title: str
    make: Callable[..., FuelModel]

    def __post_init__(self) -> None:
        _check_name(self.name, "a fuel")


@dataclass(frozen=True)
class UnitOffer:
    """A unit: the family it belongs to (a new one is allowed), its symbol, and its size in the words of definitions.txt.

    others: further spellings. Example: UnitOffer("flow", "drop/min", "0.05 * millilitre / minute", ("drops/min",)).
    """

    family: str
    symbol: str
    expression: str
    others: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        fields: tuple[Any, ...] = (self.family, self.symbol, self.expression, *self.others)
        if not all(isinstance(text, str) and text.strip() and len(text) < 100 for text in fields):
            raise PluginError(f"a unit needs short texts for family, symbol and expression, not {fields!r}")


@dataclass(frozen=True)
class ChannelOffer:
    """A channel that a calculator may ask a capture for, and the words in a column's label that leave no doubt that it is it.

    name: as in CaptureFile(channels=…) and --column; what: for a person; kind: of quantity, by its name; words: any of them in
    the label, however it is cased, as a word or the beginning of one; but_not: words that rule the column out.
    Example: ChannelOffer("torque", "crankshaft torque", "torque", ("torque", "drehmoment")).
    """

    name: str
    what: str
    kind: str
    words: tuple[str, ...]
    but_not: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        _check_name(self.name, "a channel")
        texts: tuple[Any, ...] = (self.what, self.kind, *self.words, *self.but_not)
        if not self.words or not all(isinstance(text, str) and text.strip() and len(text) < 100 for text in texts):
            raise PluginError(f"the channel {self.name} needs short texts for what it is, its kind and its words")
