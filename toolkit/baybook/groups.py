"""Groups of inputs: a class whose fields are inputs, so that what belongs together is declared and handed on together."""

from __future__ import annotations

import inspect
import typing
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from .fields import Field


def inputs_of(function: Callable[..., Any]) -> Iterator[tuple[str, Any]]:
    """Name and annotation of every input of a calculator's function, those of its groups in their place."""
    hints = typing.get_type_hints(function, include_extras=True)
    for name in inspect.signature(function).parameters:
        hint = hints.get(name)
        yield from (_members(hint) or {name: hint}).items()


def groups_of(function: Callable[..., Any]) -> dict[str, tuple[type, tuple[str, ...]]]:
    """The groups that the function takes: by the parameter's name the class and the names of its inputs."""
    hints = typing.get_type_hints(function, include_extras=True)
    found = {name: (hint, tuple(_members(hint))) for name, hint in hints.items() if name != "return"}
    return {name: (hint, members) for name, (hint, members) in found.items() if members}


def grouped(groups: Mapping[str, tuple[type, tuple[str, ...]]], values: Mapping[str, Any]) -> dict[str, Any]:
    """The values of inputs with those of each group made into one."""
    inside = {name for _, members in groups.values() for name in members}
    made = {name: hint(**{member: values[member] for member in members}) for name, (hint, members) in groups.items()}
    return {**{name: value for name, value in values.items() if name not in inside}, **made}


def _members(hint: Any) -> dict[str, Any]:
    """The inputs of a group, by name; none where the annotation is no group."""
    if not isinstance(hint, type):
        return {}
    hints = typing.get_type_hints(hint, include_extras=True) if getattr(hint, "__annotations__", None) else {}
    return {name: given for name, given in hints.items() if field_of(given) is not None}


def field_of(hint: Any) -> Field | None:
    """The field that a parameter is annotated with."""
    return next((extra for extra in getattr(hint, "__metadata__", ()) if isinstance(extra, Field)), None)
