"""Drops and resistances of a circuit, as plain numbers: volt, ampere, ohm, m, mm2, °C."""

from __future__ import annotations

from baybook_physics.wire import resistance


def at_work(drop: float, current: float, work: float) -> float:
    """A drop at another current: U = R I."""
    return drop / current * work


def clean(current: float, length: float, section: float, temperature: float) -> float:
    """What the copper alone drops."""
    return float(current * resistance(length, section, temperature))
