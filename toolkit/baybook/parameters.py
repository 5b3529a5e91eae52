"""The parameters of a function, read off the function itself: `inspect` takes longer to load than a calculator to run."""

from __future__ import annotations

from collections.abc import Callable
from types import FunctionType
from typing import Any

REQUIRED: Any = type("Required", (), {"__repr__": lambda self: "REQUIRED"})()
_STARRED = 0x04 | 0x08  # *args and **more, see `co_flags` in the language reference


def parameters_of(function: Callable[..., Any]) -> dict[str, Any]:
    """The name of each parameter in order, with its default, or REQUIRED.

    >>> parameters_of(lambda start, end=3: None)
    {'start': REQUIRED, 'end': 3}
    """
    if not isinstance(function, FunctionType) or hasattr(function, "__wrapped__") or function.__code__.co_flags & _STARRED:
        return _slowly(function)
    code, defaults = function.__code__, function.__defaults__ or ()
    ordered, named = code.co_varnames[: code.co_argcount], code.co_varnames[code.co_argcount :][: code.co_kwonlyargcount]
    filled = (*[REQUIRED] * (len(ordered) - len(defaults)), *defaults)
    by_name = function.__kwdefaults__ or {}
    return {**dict(zip(ordered, filled, strict=True)), **{name: by_name.get(name, REQUIRED) for name in named}}


def _slowly(function: Callable[..., Any]) -> dict[str, Any]:
    """What is no plain function: a wrapped or a partial one, a method, an object that can be called."""
    import inspect

    found = inspect.signature(function).parameters.values()
    return {each.name: REQUIRED if each.default is inspect.Parameter.empty else each.default for each in found}
