"""What a plain meter shows of a wire that pulses: its mean, and no drop. Common practice, no source."""

from __future__ import annotations

from baybook import inputs
from baybook.api import Reading

A_FEW = 3.0
"""V: up to it a reading on a wire that may pulse is taken for the low level of the pulse."""
SUPPLY = (11.0, 15.0)
"""V: what the vehicle feeds, where nobody read it."""
NEAR = 0.15
"""How near to the mean, as a share of it, a reading is that may be the mean."""


def may_be_mean(part: str, driver: Reading | None, duty: Reading | None, battery: Reading | None) -> bool:
    """Whether a voltage across the output stage of a driven coil may be the mean of its pulses, supply x (1 - duty)."""
    if driver is None or part not in inputs.DRIVEN:
        return False
    volts, off = driver.number("V"), None if duty is None else 1.0 - duty.number("1")
    if not off:
        return off is None and volts > A_FEW
    least, most = (battery.number("V"),) * 2 if battery else SUPPLY
    return least * off * (1.0 - NEAR) <= volts <= most * off * (1.0 + NEAR)
