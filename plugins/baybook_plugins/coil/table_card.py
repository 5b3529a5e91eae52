"""Resistance of a coil cold and hot, by copper's rule as the calculator `coil` takes it."""

from __future__ import annotations

from typing import Any

from baybook.api import CONTROL_LOSS, HIGH_PRESSURE, HIGH_VOLTAGE, Message
from baybook.cards.data import Axis, Card, Cell, Chart, Number, Section, Series, Table
from baybook_physics.coil import copper_ratio

NOMINALS = (0.3, 0.5, 1.0, 2.0, 2.5, 3.0, 5.0)
"""Resistances at the spec's temperature, in ohm: a spread of usual ones (common practice, no source)."""
TEMPERATURES = (-20, 0, 20, 40, 60, 80, 100)
"""Coil temperatures in °C."""
SHARE = "{temperature} °C: {share} % of the value at {reference} °C"
SPEC_TEMPERATURE = 20
"""The temperature that most data are given for (common practice, no source)."""


def in_short(reference: float) -> Section:
    """The change with temperature in a few lines."""
    shares = [(t, 100 * copper_ratio(reference, t)) for t in (0, 60, 100)]
    lines = tuple(Message(SHARE, temperature=t, share=round(share), reference=reference) for t, share in shares)
    return Section("Change with temperature", short=lines, priority=1)


def card(**inputs: Any) -> Card:
    """The table; for this vehicle's `limit` and `spec_temperature` where the calculator's inputs hold them."""
    reference = inputs["spec_temperature"].number("°C") if "spec_temperature" in inputs else float(SPEC_TEMPERATURE)
    limit = inputs["limit"].to("ohm") if "limit" in inputs else None
    nominals = tuple(end for end in (limit.low, limit.high) if end is not None) if limit else NOMINALS
    rows: list[tuple[Cell, ...]] = [
        (Number(t, 0, "°C"), *(Number(nominal * copper_ratio(reference, t), 2) for nominal in nominals)) for t in TEMPERATURES
    ]
    title = Message("Reads, in ohm; given at {reference} °C", reference=reference)
    chart = Chart(
        "Change with temperature",
        Axis("coil temperature", "°C"),
        Axis(Message("share of the value at {reference} °C", reference=reference), "%"),
        (Series("", tuple(map(float, TEMPERATURES)), tuple(100 * copper_ratio(reference, t) for t in TEMPERATURES)),),
        priority=3,
    )
    return Card(
        name="coil-table",
        title="Coil resistance, cold and hot",
        side="control",
        cautions=(HIGH_PRESSURE, HIGH_VOLTAGE, CONTROL_LOSS),
        front=(Table(title, ("coil at", *(Number.plain(n, "ohm") for n in nominals)), tuple(rows), priority=2), RULES),
        back=(in_short(reference), chart),
        sources=("Copper, IEC 60028; the rule of the calculator coil",),
        limits_origin="the data for this vehicle; write down where they stand",
        command="baybook coil --ask",
        catalogue="baybook_plugins.coil",
    )


RULES = Section(
    "How to use it",
    items=(
        "Stop, rail seen to fall to zero, key off; then wait as the data say before a plug is opened: stored voltage is not "
        "zero when the rail is.",
        "Take the leads' own resistance off first: hold the tips together and read. Below 1 ohm only four wires tell.",
        "Measure at the coil's own pins, plug off, never in the ohm range on a live wire. Not for piezo injectors: they are no "
        "coil and hold a charge.",
        "Take the coil's temperature, not the air's, unless it stood overnight.",
        "Compare with the range of the data at the temperature the data name. Plug on, clear.",
    ),
    numbered=True,
    priority=2,
)
