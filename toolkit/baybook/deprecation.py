"""How a public name goes: for a version of the interface it still works, and its author is told what to use instead."""

from __future__ import annotations

import sys
import warnings
from collections.abc import Mapping
from typing import Any

Deprecations = Mapping[str, tuple[str, str]]
"""For each old name: since which version of Baybook, and the public name to use."""


def deprecated(module: str, names: Deprecations, name: str) -> Any:
    """A module's `__getattr__`: what stands for a deprecated name, with a DeprecationWarning at the line that says it.

    Raises AttributeError for any other name.
    """
    if name not in names:
        raise AttributeError(f"module {module!r} has no attribute {name!r}")
    since, use = names[name]
    # 1 is here, 2 the module's __getattr__, 3 the author's line; Python leaves out the frames of its own import
    warnings.warn(f"{module}.{name} is deprecated since Baybook {since}; use {module}.{use}", DeprecationWarning, stacklevel=3)
    return getattr(sys.modules[module], use)
