"""What a meter shows of a coil, by the names of the outputs; and what such a resistance looks like."""

from __future__ import annotations

from baybook_physics.coil import mean_current, resistance_at, ripple, steady_current


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


def resistances(reading: float, leads: float, error: float, temperature: float, spec_temperature: float) -> dict[str, float]:
    """Give `resistance`, of the coil alone as it is, and `resistance_at_spec_temperature`.

    error: of the meter, in ohm, in the difference of the two readings.
    """
    alone = reading - leads - error
    return {
        "resistance": alone,
        "resistance_at_spec_temperature": resistance_at(alone, 0.0, temperature, spec_temperature),
    }


def currents(
    reading: float, leads: float, error: float, circuit: float, supply: float, duty: float, diode: float,
    measured: float,
) -> dict[str, float]:  # fmt: skip
    """Give `full_current`, `mean_current` and `current_difference` (measured less mean), from the coil as it is now.

    circuit: resistance of wiring, driver and shunt in series with the coil.
    """
    whole = reading - leads - error + circuit
    mean = mean_current(duty, supply, whole, diode).mean
    return {"full_current": steady_current(supply, whole), "mean_current": mean, "current_difference": measured - mean}


def ripples(
    reading: float,
    leads: float,
    error: float,
    circuit: float,
    supply: float,
    duty: float,
    diode: float,
    inductance: float,
    frequency: float,
    measured: float,
) -> dict[str, float]:
    """Give `lowest_current`, `highest_current`, `mean_current` and `current_difference` of a period, continuous or not."""
    found = ripple(duty, supply, reading - leads - error + circuit, diode, inductance, frequency)
    return {
        "lowest_current": found.low,
        "highest_current": found.high,
        "mean_current": found.mean,
        "current_difference": measured - found.mean,
    }
