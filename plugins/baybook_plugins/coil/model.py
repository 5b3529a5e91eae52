"""Resistance and current of a solenoid coil, from what a meter shows.

Plain floats in and out: ohm, volt, ampere, degrees Celsius; duty and relative values as
fractions of one; seconds and henry for the ripple.
"""

from __future__ import annotations

from math import exp, hypot, log, sqrt
from typing import NamedTuple

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


def meter_u(reading: float, accuracy: float, digits: float, resolution: float) -> float:
    """Return the standard uncertainty of a meter specified as +-(accuracy x reading + digits).

    A maker's accuracy is a limit, anywhere within which the error may lie: the rectangular
    distribution of JCGM 100:2008 4.3.7, half-width over sqrt(3). ``accuracy`` is a fraction;
    ``digits`` counts steps of ``resolution``, which has the reading's unit.
    """
    return (accuracy * abs(reading) + digits * resolution) / sqrt(3)


def steady_current(supply: float, resistance: float) -> float:
    """Return U/R: the current after some five time constants with the supply held on."""
    return supply / resistance


class Pulsed(NamedTuple):
    """Current of a coil pulsed at a duty with a freewheel diode; ``continuous`` if never zero."""

    mean: float
    continuous: bool


def mean_current(duty: float, supply: float, resistance: float, diode: float) -> Pulsed:
    """Return (D U - (1 - D) Vf)/R, the mean when the current never falls to zero between pulses.

    Over one steady period the inductance takes up no net voltage, so the mean voltage on the coil
    (U while on, -Vf while the diode carries the current) equals R times the mean current. Where
    the formula goes below zero the current cannot be continuous: mean 0 and ``continuous`` False.
    Without the inductance and frequency a positive value is no proof of continuity: `ripple` is.
    """
    mean = (duty * supply - (1 - duty) * diode) / resistance
    return Pulsed(max(mean, 0.0), mean > 0)


def rise(time: float, inductance: float, resistance: float) -> float:
    """Return the share of U/R reached a time after switching on: 1 - exp(-t R/L)."""
    return 1 - exp(-time * resistance / inductance)


class Ripple(NamedTuple):
    """Lowest, highest and mean current of a steady period; ``continuous`` if never zero."""

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
    on, off = 1 - rise(duty * period, inductance, resistance), 1 - rise((1 - duty) * period, inductance, resistance)
    target, drop = supply / resistance, diode / resistance
    high = (target * (1 - on) - drop * (1 - off) * on) / (1 - on * off)
    low = (high + drop) * off - drop
    if low >= 0:
        return Ripple(low, high, duty * target - (1 - duty) * drop, True)
    high = target * (1 - on)
    carried = tau * log((high + drop) / drop) / period
    return Ripple(0.0, high, duty * target - carried * drop, False)


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
    if coil < max(1.96 * u, 0.1 * (low or 0.0)):
        return "short" if low is not None and coil + 1.96 * u < low else "unresolved"
    return "readable"


def reading_u(typed: float | None, meter: float | None, implied: float) -> float:
    """Combine what is known of a reading's error, each a standard uncertainty.

    A meter's specification covers its last digit, so it replaces the half digit ``implied`` by
    the way a number was written; an uncertainty that was ``typed`` is kept beside it.
    """
    known = [u for u in (typed, meter) if u is not None]
    return hypot(*known) if known else implied


def resistances(reading: float, leads: float, temperature: float, spec_temperature: float) -> dict[str, float]:
    """Give `resistance`, of the coil alone as it is, and `resistance_at_spec_temperature`."""
    return {
        "resistance": reading - leads,
        "resistance_at_spec_temperature": resistance_at(reading, leads, temperature, spec_temperature),
    }


def currents(
    reading: float, leads: float, circuit: float, supply: float, duty: float, diode: float, measured: float
) -> dict[str, float]:
    """Give `full_current`, `mean_current` and `current_difference` (measured less mean), from the coil as it is now.

    circuit: resistance of wiring, driver and shunt in series with the coil.
    """
    whole = reading - leads + circuit
    mean = mean_current(duty, supply, whole, diode).mean
    return {"full_current": steady_current(supply, whole), "mean_current": mean, "current_difference": measured - mean}


def ripples(
    reading: float,
    leads: float,
    circuit: float,
    supply: float,
    duty: float,
    diode: float,
    inductance: float,
    frequency: float,
    measured: float,
) -> dict[str, float]:
    """Give `lowest_current`, `highest_current`, `mean_current` and `current_difference` of a period, continuous or not."""
    found = ripple(duty, supply, reading - leads + circuit, diode, inductance, frequency)
    return {
        "lowest_current": found.low,
        "highest_current": found.high,
        "mean_current": found.mean,
        "current_difference": measured - found.mean,
    }
