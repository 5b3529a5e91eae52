"""A solenoid coil: copper's resistance over temperature, and the current of a series circuit of resistance and inductance.

Plain floats in and out: ohm, volt, ampere, degrees Celsius; duty and relative values as fractions of one; seconds and henry.
"""

from __future__ import annotations

from math import exp, expm1, log
from typing import NamedTuple

__all__ = [
    "COPPER_ZERO",
    "Pulsed",
    "Ripple",
    "circuit_resistance",
    "copper_ratio",
    "inductance",
    "mean_current",
    "resistance_at",
    "ripple",
    "rise",
    "state",
    "steady_current",
    "undriven",
]

# The temperature (below zero) at which copper's straight line reaches no resistance: copper
# handbooks. It is the same statement as alpha20 = 1/(234.5 + 20) = 0.00393 per K, the value of
# IEC 60028 to its printed digits; the two differ by 0.004 % at 80 C.
COPPER_ZERO = 234.5


def copper_ratio(from_celsius: float, to_celsius: float) -> float:
    """Return R(to)/R(from) of a copper winding, (234.5 + t2)/(234.5 + t1)."""
    return (COPPER_ZERO + to_celsius) / (COPPER_ZERO + from_celsius)


def resistance_at(reading: float, lead: float, coil_celsius: float, spec_celsius: float) -> float:
    """Return the coil alone at the spec's temperature: (reading - lead) times the copper ratio."""
    return (reading - lead) * copper_ratio(coil_celsius, spec_celsius)


def steady_current(supply: float, resistance: float) -> float:
    """Return U/R: the current after some five time constants with the supply held on."""
    return supply / resistance


class Pulsed(NamedTuple):
    """Current of a coil pulsed at a duty with a freewheel diode; `continuous` if never zero."""

    mean: float
    continuous: bool


def mean_current(duty: float, supply: float, resistance: float, diode: float) -> Pulsed:
    """Return (D U - (1 - D) Vf)/R, the mean when the current never falls to zero between pulses.

    Over one steady period the inductance takes up no net voltage, so the mean voltage on the coil
    (U while on, -Vf while the diode carries the current) equals R times the mean current. Where
    the formula goes below zero the current cannot be continuous: mean 0 and `continuous` False.
    Without the inductance and frequency a positive value is no proof of continuity: `ripple` is.
    """
    mean = (duty * supply - (1 - duty) * diode) / resistance
    return Pulsed(max(mean, 0.0), mean > 0)


def rise(time: float, inductance: float, resistance: float) -> float:
    """Return the share of U/R reached a time after switching on: 1 - exp(-t R/L)."""
    return -expm1(-time * resistance / inductance)


class Ripple(NamedTuple):
    """Lowest, highest and mean current of a steady period; `continuous` if never zero."""

    low: float
    high: float
    mean: float
    continuous: bool


def ripple(
    duty: float,
    supply: float,
    resistance: float,
    diode: float,
    inductance: float,
    frequency: float,
) -> Ripple:
    """Return the steady current of a pulsed RL circuit with tau = L/R, ideal switch.

    On: the current heads for U/R; off: for -Vf/R. With a = exp(-D T/tau), b = exp(-(1-D) T/tau)
    a period closes on itself when high = (U/R (1-a) - Vf/R (1-b) a)/(1 - a b). If low would be
    negative the current rests at zero, and the diode carries it for a share s < 1 - D of the
    period only: mean = (D U - s Vf)/R.
    """
    tau, period = inductance / resistance, 1 / frequency
    up, down = rise(duty * period, inductance, resistance), rise((1 - duty) * period, inductance, resistance)
    on, off = exp(-duty * period / tau), exp(-(1 - duty) * period / tau)
    target, drop = supply / resistance, diode / resistance
    high = (target * up - drop * down * on) / rise(period, inductance, resistance)
    low = (high + drop) * off - drop
    if low >= 0:
        return Ripple(low, high, duty * target - (1 - duty) * drop, True)
    high = target * up
    carried = tau * log((high + drop) / drop) / period
    return Ripple(0.0, high, duty * target - carried * drop, False)


def inductance(time: float, current: float, supply: float, resistance: float) -> float:
    """Return the inductance, H, by one point of the rise: R t/ln(U/(U - R i)). ValueError for a current beyond U/R."""
    return resistance * time / log(supply / (supply - resistance * current))


def circuit_resistance(supply: float, duty: float, diode: float, measured: float) -> float:
    """Return the resistance, in ohm, of coil and circuit that carry a mean current at a duty: `mean_current` turned round.

    Raises ZeroDivisionError where no current flows, ValueError where the duty is too short for a current that never rests.
    """
    volts = duty * supply - (1 - duty) * diode
    if volts <= 0:
        raise ValueError("the mean voltage is not positive")
    return volts / measured


def state(coil: float, u: float, low: float | None, high: float | None) -> str:
    """Name what a coil resistance (ohm, lead taken off, with its u) looks like.

    `impossible`: below zero by more than 1.96 u: the lead reading or the meter is wrong.
    `open`: ten times the spec's upper limit, or 10 kohm where no spec is given.
    `short`: certainly below the spec, and not to be told from zero or under a tenth of it.
    `unresolved`: not to be told from zero, but this meter could not tell a good coil either.
    `readable`: anything else; the verdict against the spec then decides.
    The factors of ten and the 10 kohm are common practice, no source.
    """
    if coil < -1.96 * u:
        return "impossible"
    if coil > (10 * high if high is not None else 10_000.0):
        return "open"
    if coil <= max(1.96 * u, 0.1 * (low or 0.0)):
        return "short" if low is not None and coil + 1.96 * u < low else "unresolved"
    return "readable"


DRIVEN = 0.05
NO_CURRENT = 0.03


def undriven(duty: float, current: float) -> bool:
    """Whether a valve's coil gets no current (A) at a duty at which one of some ohm gets 0.1 A and more.

    Below a duty of 5 % nothing is said; less than 0.03 A is none (common practice, no source).
    """
    return duty >= DRIVEN and abs(current) < NO_CURRENT
