"""Resistance of a coil cold and hot, worked out by the calculator `coil` for each temperature."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from baybook.cards.data import Axis, Card, Caution, Cell, Chart, Number, Section, Series, Table
from baybook.result import Result
from baybook.running import calculate
from baybook_cards.general.common import RUNNING, number

NOMINALS = (0.3, 0.5, 1.0, 2.0, 2.5, 3.0, 5.0)
"""Resistances at the spec's temperature, in ohm: a spread of usual ones (common practice, no source)."""
TEMPERATURES = (-20, 0, 20, 40, 60, 80, 100)
"""Coil temperatures in °C."""
SPEC_TEMPERATURE = 20
"""The temperature that most data are given for (common practice, no source)."""
PULSE = Caution(
    "caution", "Key off, plug off, then measure: never put a meter's ohm range on a live wire.", ("M002",), "Key off, plug off."
)


def resistance(nominal: float, temperature: float, spec_temperature: float) -> float:
    """What a coil of `nominal` ohm at `spec_temperature` reads at `temperature` (°C)."""
    result: Result = calculate(
        "coil", reading=f"{nominal:g} ± 0 ohm", temperature=f"{spec_temperature:g} ± 0 °C",
        spec_temperature=f"{temperature:g} °C",
    )  # fmt: skip
    return result["resistance_at_spec_temperature"].to("ohm").value


def known_of(inputs: Mapping[str, Any]) -> dict[str, float]:
    """What `card` takes, from the inputs of `coil`: the range and the temperature that it is given for."""
    found: dict[str, float] = {}
    if "limit" in inputs:
        ohm = inputs["limit"].to("ohm")
        found = {name: limit for name, limit in (("low", ohm.low), ("high", ohm.high)) if limit is not None}
    if "spec_temperature" in inputs:
        found["spec_temperature"] = inputs["spec_temperature"].number("°C")
    return found


def in_short(reference: float) -> Section:
    """The change with temperature in a few lines."""
    shares = [(t, 100 * resistance(1.0, t, reference)) for t in (0, 60, 100)]
    lines = tuple(f"{t} °C: {share:.0f} % of the value at {reference:g} °C" for t, share in shares)
    return Section("Change with temperature", short=lines, priority=1)


def card(known: Mapping[str, float] | None = None) -> Card:
    """The table; `known` may hold this vehicle's `low` and `high` (ohm) and `spec_temperature` (°C)."""
    given = dict(known or {})
    reference = float(given.get("spec_temperature", SPEC_TEMPERATURE))
    own = tuple(float(given[name]) for name in ("low", "high") if name in given)
    nominals = own or NOMINALS
    found = {nominal: [resistance(nominal, t, reference) for t in TEMPERATURES] for nominal in nominals}
    rows: list[tuple[Cell, ...]] = [
        (Number(t, 0, "°C"), *(Number(found[nominal][index], 2) for nominal in nominals))
        for index, t in enumerate(TEMPERATURES)
    ]
    title = f"Reads, in ohm; given at {reference:g} °C"
    chart = Chart(
        "Change with temperature",
        Axis("coil temperature", "°C"),
        Axis(f"share of the value at {reference:g} °C", "%"),
        (Series("", tuple(map(float, TEMPERATURES)), tuple(100 * resistance(1.0, t, reference) for t in TEMPERATURES)),),
        priority=3,
    )
    return Card(
        name="coil-table",
        title="Coil resistance, cold and hot",
        side="control",
        cautions=(RUNNING, PULSE),
        front=(Table(title, ("coil at", *(number(n, "ohm") for n in nominals)), tuple(rows), priority=2), RULES),
        back=(in_short(reference), chart),
        sources=("Copper, IEC 60028; worked out by the calculator coil",),
        limits_origin="the data for this vehicle; write down where they stand",
        command="baybook coil --ask",
    )


RULES = Section(
    "How to use it",
    items=(
        "Take the leads' own resistance off first: hold the tips together and read.",
        "Measure at the coil's own pins, plug off.",
        "Take the coil's temperature, not the air's, unless it stood overnight.",
        "Compare with the range of the data at the temperature the data name.",
    ),
    numbered=True,
    priority=2,
)
