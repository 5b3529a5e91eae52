"""How far a rail's pressure may lie above what it should be before the engine has to be off and nothing else is looked at."""

from __future__ import annotations

LEAST, SHARE = 100.0, 0.2
"""bar, and share of what is wanted: the larger counts. A target that has just fallen leaves no more behind for longer than a
moment. Common practice, no source."""


def largest_excess(wanted: float) -> float:
    """What the pressure may lie above what is wanted, both in bar; beyond it the pressure is not under control."""
    return max(LEAST, SHARE * abs(wanted))
