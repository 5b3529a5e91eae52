"""The hooks a plugin may implement. Each docstring is enough to write against. Interface version 2."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from .declare import Calculator
    from .kinds import Kind
    from .offers import CardOffer, ChannelOffer, FuelOffer, UnitOffer

INTERFACE = 2
PROJECT = "baybook"
Function = TypeVar("Function", bound=Callable[..., Any])


def hookspec(function: Function) -> Function:
    """Mark the specification of a hook, with the mark that pluggy looks for; pluggy itself need not be loaded for that."""
    return _marked(function, "spec")


def hookimpl(function: Function) -> Function:
    """Mark a plugin's function as the one of its name among these hooks, with the mark that pluggy looks for."""
    return _marked(function, "impl")


def is_marked(thing: object) -> bool:
    """Whether it is a function that a plugin has marked."""
    return callable(thing) and hasattr(thing, f"{PROJECT}_impl")


def _marked(function: Function, how: str) -> Function:
    setattr(function, f"{PROJECT}_{how}", {})
    return function


@hookspec
def baybook_calculators() -> Iterable[Calculator]:  # type: ignore[empty-body]  # a specification has no body
    """Return the calculators that the plugin offers: objects made by the decorator `baybook.api.calculator`.

    Needed only where the module that the entry point names does not declare them itself, or not all of those that it declares
    are to be on offer. Called once when the plugin is first seen or has changed, and again in a process that runs one of them;
    not called while the plugin is switched off. It has no arguments, must return at once and import nothing heavy.

    Example, in the module that the entry point names::

        from baybook.api import hookimpl
        from .calculator import leak_rate

        @hookimpl
        def baybook_calculators():
            return [leak_rate]

    Since interface version 1.
    """


@hookspec
def baybook_cards() -> Iterable[CardOffer]:  # type: ignore[empty-body]
    """Return cards that belong to no calculator: `baybook.api.CardOffer` objects. A calculator's own card needs no hook.

    Called once when the plugin is first seen or has changed, and again in a process that lists or prints cards; the offer's
    `make` is called only for a card that is printed. No arguments.

    Example::

        @hookimpl
        def baybook_cards():
            return [CardOffer("bench-safety", "Safety at the test bench", make_card)]

    Since interface version 1.
    """


@hookspec
def baybook_fuels() -> Iterable[FuelOffer]:  # type: ignore[empty-body]
    """Return the fuel models that the plugin offers: `baybook.api.FuelOffer` objects.

    Called once when the plugin is first seen or has changed, and again in a process that needs one of its fuels; the offer's
    `make` is called with what the user knows of the fuel. No arguments.

    Example::

        @hookimpl
        def baybook_fuels():
            return [FuelOffer("my-test-oil", "the oil of our bench", make_test_oil)]

    Since interface version 1.
    """


@hookspec
def baybook_units() -> Iterable[UnitOffer]:  # type: ignore[empty-body]
    """Return units that the plugin adds: `baybook.api.UnitOffer` objects.

    Called once when the plugin is first seen or has changed; the factors are then kept, so that a command pays nothing.
    A spelling that is taken within the family leaves the whole plugin out. No arguments.

    Example::

        @hookimpl
        def baybook_units():
            return [UnitOffer("flow", "drop/min", "0.05 * millilitre / minute")]

    Since interface version 1.
    """


@hookspec
def baybook_kinds() -> Iterable[Kind]:  # type: ignore[empty-body]
    """Return kinds of quantity that the plugin adds: what `baybook.api.new_kind` made.

    Called once when the plugin is first seen or has changed; kept, so that spec ranges and captures of the kind are
    understood without the plugin. A kind of a new family needs its units too, see `baybook_units`. A name that is taken leaves
    the whole plugin out. No arguments.

    Example::

        TORQUE = new_kind("torque", "torque", "N m", "120 N m")

        @hookimpl
        def baybook_kinds():
            return [TORQUE]

    Since interface version 2.
    """


@hookspec
def baybook_channels() -> Iterable[ChannelOffer]:  # type: ignore[empty-body]
    """Return channels of captures that the plugin's calculators ask for: `baybook.api.ChannelOffer` objects.

    Called once when the plugin is first seen or has changed; kept, so that `baybook capture` finds the column as well. A name
    that is taken leaves the whole plugin out. No arguments.

    Example::

        @hookimpl
        def baybook_channels():
            return [ChannelOffer("torque", "crankshaft torque", "torque", ("torque", "drehmoment"))]

    Since interface version 2.
    """
