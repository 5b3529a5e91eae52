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

from .model import COPPER_ZERO, meter_u, reading_u

LEADS_LEFT_IN = (
    "No lead resistance was taken off. Leads have some 0.1 to 0.3 ohm (common practice), which matters on a coil of a few ohm: "
    "touch the tips together, read, and give it as leads (0 ohm if the meter was zeroed so)."
)


def check_given(
    reading: Reading | None,
    over_range: bool,
    temperature: Reading | None,
    digits: int,
    resolution: Reading | None,
    supply: Reading | None,
    measured: Reading | None,
    current_limit: SpecRange | None,
) -> None:
    """Raise InputError, with a line for each, when what was given does not go together."""
    problems = []
    if over_range and reading is not None:
        problems.append(Problem("over_range", "yes", "and a reading cannot both be", "leave one of them out"))
    if not over_range and reading is None:
        problems.append(Problem("reading", None, "is missing", "give what the meter shows, such as 3.1 ohm, or over_range"))
    if reading is not None and temperature is None:
        would_do = "give the coil's, such as 40 ± 8 °C; after a night's standing it is the air's"
        problems.append(Problem("temperature", None, "is missing", would_do))
    if digits and resolution is None:
        problems.append(Problem("meter_resolution", None, "is missing", "give what one digit is worth, such as 0.1 ohm"))
    if supply is None and (measured or current_limit):
        problems.append(
            Problem("supply", None, "is missing", "give the voltage at the coil while it is driven, such as 13.8 V")
        )
    if problems:
        raise InputError(problems)


def with_meter(reading: Reading, accuracy: Reading | None, digits: int, resolution: Reading | None) -> Estimate:
    """The reading in ohm with its own error and the meter's; without both, half its last digit."""
    read = reading.to("ohm")
    meter = None
    if accuracy or resolution:
        step = resolution.number("ohm") if resolution else 0.0
        meter = meter_u(read.value, accuracy.number("1") if accuracy else 0.0, digits, step)
    return Estimate.of(read.value, "ohm", reading_u(None if read.assumed else read.u, meter, read.u))


def notes(reading: Reading, leads: Reading | None, meter: Reading | None, trapped: str) -> tuple[str, ...]:
    """What was taken for granted, and what the bare reading would have been taken for."""
    said = [LEADS_LEFT_IN] if leads is None else []
    if meter and (reading.assumed or (leads and leads.assumed)):
        said.append("The meter's accuracy stands in for the last digit of what it showed.")
    return (*said, trapped) if trapped else tuple(said)


def resistance_steps(
    found: dict[str, Estimate], read: Estimate, lead: Estimate, temperature: Reading, spec_temperature: Reading
) -> tuple[Step, ...]:
    """Leads taken off, then copper corrected."""
    t, t_s = f"{temperature.number('°C'):g}", f"{spec_temperature.number('°C'):g}"
    warm: dict[str, Estimate | str] = {"R": found["resistance"], "t": t, "t_s": t_s}
    return (
        Step("the coil alone", "R = reading - leads", {"reading": read, "leads": lead}, found["resistance"]),
        Step(
            "at the spec's temperature", f"R_s = R · ({COPPER_ZERO} + t_s) / ({COPPER_ZERO} + t)", warm,
            found["resistance_at_spec_temperature"],
        ),
    )  # fmt: skip
