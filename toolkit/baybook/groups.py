"""Groups of inputs: a class whose fields are inputs, so that what belongs together is declared and handed on together."""

from __future__ import annotations

import typing
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from typing import Annotated, Any, NamedTuple

from .dataclass import replace
from .fields import Field
from .parameters import parameters_of


class Of(NamedTuple):
    """Whose inputs a group holds, where one class serves several: `Annotated[Read, Of("inlet", "inlet valve")]`.

    prefix: before the name of each input (`inlet_duty`); words: what stands in its help for `{of}`.
    """

    prefix: str
    words: str


Group = tuple[type, Mapping[str, str]]
"""The class, and for each of its fields the name of the input."""


def inputs_of(function: Callable[..., Any]) -> Iterator[tuple[str, Any]]:
    """Name and annotation of every input of a calculator's function, those of its groups in their place."""
    hints = _hints(function)
    for name in parameters_of(function):
        hint = hints.get(name)
        yield from (dict(_members(hint).values()) or {name: hint}).items()


def groups_of(function: Callable[..., Any]) -> dict[str, Group]:
    """The groups that the function takes, by the parameter's name."""
    hints = _hints(function)
    found = {name: (_class(hint), _members(hint)) for name, hint in hints.items() if name != "return"}
    return {name: (kind, {m: given for m, (given, _) in members.items()}) for name, (kind, members) in found.items() if members}


def grouped(groups: Mapping[str, Group], values: Mapping[str, Any]) -> dict[str, Any]:
    """The values of inputs with those of each group made into one."""
    inside = {name for _, members in groups.values() for name in members.values()}
    made = {name: kind(**{m: values[given] for m, given in members.items()}) for name, (kind, members) in groups.items()}
    return {**{name: value for name, value in values.items() if name not in inside}, **made}


@cache
def _hints(thing: Any) -> dict[str, Any]:
    """The annotations of a function or a class, from the text that they are; each is wanted twice."""
    return typing.get_type_hints(thing, include_extras=True)


def _class(hint: Any) -> Any:
    return typing.get_args(hint)[0] if typing.get_origin(hint) is Annotated else hint


def _members(hint: Any) -> dict[str, tuple[str, Any]]:
    """For each field of a group the name of its input and the annotation; none where the annotation is no group."""
    kind = _class(hint)
    own = getattr(kind, "__annotations__", None) if isinstance(kind, type) else None
    fields = _hints(kind) if own else {}
    of = next((extra for extra in getattr(hint, "__metadata__", ()) if isinstance(extra, Of)), None)
    return {name: _as_input(name, each, of) for name, each in fields.items() if field_of(each) is not None}


def _as_input(name: str, hint: Any, of: Of | None) -> tuple[str, Any]:
    field = field_of(hint)
    if of is None or field is None:
        return name, hint
    annotated: Any = Annotated
    return f"{of.prefix}_{name}", annotated[_class(hint), replace(field, help=field.help.replace("{of}", of.words))]


def field_of(hint: Any) -> Field | None:
    """The field that a parameter is annotated with."""
    return next((extra for extra in getattr(hint, "__metadata__", ()) if isinstance(extra, Field)), None)
