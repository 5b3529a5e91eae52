"""Captures: what loggers and oscilloscopes write, read with care and reported honestly.

`read_capture` reads a file; `inspect` tells what is in one from its beginning; `describe` puts a report in words.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .inspection import Inspection, inspect
    from .model import Capture, Channel, Column, Dialect, Dropped, Gap, Missing, Report, TimeAxis
    from .reader import read_capture
    from .report import describe, describe_inspection

__all__ = [
    "Capture",
    "Channel",
    "Column",
    "Dialect",
    "Dropped",
    "Gap",
    "Inspection",
    "Missing",
    "Report",
    "TimeAxis",
    "describe",
    "describe_inspection",
    "inspect",
    "read_capture",
]

_HOME = {
    "describe": "report",
    "describe_inspection": "report",
    "Inspection": "inspection",
    "inspect": "inspection",
    "read_capture": "reader",
}


def __getattr__(name: str) -> Any:
    # loaded when asked for: a calculator that only might be given a capture does not pay for the reader
    if name not in __all__:
        raise AttributeError(name)
    value = getattr(import_module(f".{_HOME.get(name, 'model')}", __name__), name)
    globals()[name] = value
    return value
