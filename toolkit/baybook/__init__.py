"""Baybook: a bay-side handbook for the person who diagnoses common-rail diesel fuel systems.

`baybook.calculate(name, **inputs)` works a calculator out; `baybook.api` holds what a plugin's author uses.
Nothing is imported here until it is asked for: every command pays for this file.
"""

from __future__ import annotations

from .version import __version__

__all__ = ["__version__", "calculate"]

TYPE_CHECKING = False  # typing costs 5 ms; type checkers know this name
if TYPE_CHECKING:
    from .registry import calculate


def __getattr__(name: str) -> object:
    if name == "calculate":
        from .registry import calculate

        return calculate
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
