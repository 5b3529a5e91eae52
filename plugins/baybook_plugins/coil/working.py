"""Checks across inputs, the meter's error, notes and steps: what the declaration calls on."""

from __future__ import annotations

from baybook.api import (
    Estimate,
    InputError,
    Problem,
    Reading,
    SpecRange,
    Step,
)

from .meter import FEW_OHM, Meter, Winding
from .model import COPPER_ZERO

LEADS_LEFT_IN = (
    "What the leads have was not said: 0 to 0.3 ohm was taken (common practice). Touch the tips together, read, and give it as "
    "leads (0 ohm if the meter was zeroed so, 0 ± 0 ohm with four wires)."
)


STANDS_IN = "The meter's accuracy stands in for the last digit of what it showed."
SAME_METER = "Coil and leads were taken as read on the same meter: its error counts once in their difference."
FOUR_WIRES = (
    "Below 1 ohm the contact of two tips is as large as a fault: judge such a coil with four wires only (leads 0 ± 0 ohm), and "
    "take this for no more than a first look."
)
PIEZO = "Not for piezo injectors: they are no coil, hold their charge, and are not measured with an ohmmeter."


def check_given(
    reading: Reading | None,
    over_range: bool,
    temperature: Reading | None,
    meter: Meter,
    supply: Reading | None,
    measured: Reading | None,
    current_limit: SpecRange | None,
    part: str | None,
    number: int | None,
) -> None:
    """Raise InputError, with a line for each, when what was given does not go together."""
    problems = []
    if over_range and reading is not None:
        problems.append(Problem("over_range", "yes", "and a reading cannot both be", "leave one of them out"))
    if not over_range and reading is None and not (supply and measured):
        would_do = "give what the meter shows, such as 3.1 ohm, or over_range; or supply, duty and measured_current alone"
        problems.append(Problem("reading", None, "is missing", would_do))
    if reading is not None and temperature is None:
        would_do = "give the coil's, such as 40 ± 8 °C; after a night's standing it is the air's"
        problems.append(Problem("temperature", None, "is missing", would_do))
    if meter.digits and meter.resolution is None:
        problems.append(Problem("meter_resolution", None, "is missing", "give what one digit is worth, such as 0.1 ohm"))
    if supply is None and (measured or current_limit):
        problems.append(
            Problem("supply", None, "is missing", "give the voltage at the coil while it is driven, such as 13.8 V")
        )
    if number is not None and part is None:
        problems.append(Problem("part", None, "is missing", "say whose coil has this number, such as injector"))
    if problems:
        raise InputError(problems)


def notes(reading: Reading, leads: Reading | None, meter: Meter, ohm: float, part: str | None, trapped: str) -> tuple[str, ...]:
    """What was taken for granted, and what the bare reading would have been taken for; ohm: of the coil alone."""
    said = [PIEZO] if part == "injector" else []
    if ohm < FEW_OHM and not (leads and leads.number("ohm") == leads.u == 0 and not leads.assumed):
        said.append(FOUR_WIRES)
    if leads is None:
        said.append(LEADS_LEFT_IN)
    elif meter.accuracy or meter.digits:
        said.append(SAME_METER)
    if (meter.digits or meter.resolution) and (reading.assumed or (leads and leads.assumed)):
        said.append(STANDS_IN)
    return (*said, trapped) if trapped else tuple(said)


def resistance_steps(winding: Winding, temperature: Reading, spec_temperature: Reading) -> tuple[Step, ...]:
    """Leads taken off, then copper corrected."""
    found, t, t_s = winding.found, f"{temperature.number('°C'):g}", f"{spec_temperature.number('°C'):g}"
    warm: dict[str, Estimate | str] = {"R": found["resistance"], "t": t, "t_s": t_s}
    taken = {"reading": winding.reading, "leads": winding.leads}
    return (
        Step("the coil alone", "R = reading - leads", taken, found["resistance"]),
        Step(
            "at the spec's temperature", f"R_s = R · ({COPPER_ZERO} + t_s) / ({COPPER_ZERO} + t)", warm,
            found["resistance_at_spec_temperature"],
        ),
    )  # fmt: skip
