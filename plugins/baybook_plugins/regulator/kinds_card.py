"""Regulator logic: inlet valve, outlet valve, both. Facts of the trade: common practice, no source."""

from __future__ import annotations

from typing import Any

from baybook.api import CONTROL_LOSS, HIGH_PRESSURE, RUNNING_ENGINE
from baybook.cards.data import Card, Caution, Figure, Meaning, Section, Table

FIRST = Section(
    "First of all",
    "Know which kind of valve it is. The table is for valves OPEN without current; closed ones turn every line round.",
    priority=2, large=True,
)  # fmt: skip
LOGIC = Table(
    "The usual kinds",
    ("", "Inlet valve", "Outlet valve"),
    (
        ("where", "low side, before the elements", "pump outlet or rail"),
        ("more current", "drives it in: less fuel enters", "drives it in: less escapes"),
        ("so pressure", "▼ falls", "▲ rises"),
        ("full pressure", "fully open", "fully closed"),
        ("current lost", "▲ pressure rises until a relief valve opens, if one is fitted",
         "▼ pressure falls, engine stops or won't start"),
    ),
    priority=2,
)  # fmt: skip
SWITCHING = Section(
    "Which side is switched",
    items=(
        "Often to ground: while it is on, the switched wire reads low.",
        "A duty meter that counts the high time then shows 100 % minus the duty: 30 % on reads 70 %.",
    ),
    priority=3,
)
BOTH = Section(
    "Both fitted",
    items=(
        "The control may lead with one and hold the other: know which one leads in this state.",
        "Some systems trim pressure by opening injectors too briefly to inject: the rail bleeds through the returns.",
    ),
    priority=4,
)
MEANINGS = (
    Meaning("pressure too high, less is asked for, current wrong", "control side",
            "engine off, do not restart: coil, plugs, wiring, driver"),
    Meaning("pressure too high, less is asked for, current right",
            "sensor first; then hydraulic: inlet valve does not close, outlet valve does not open, return blocked",
            "engine off, do not restart: sensor, supply, ground; then valve and return path as the data say"),
    Meaning("pressure too high, less is not asked for", "control: sensor or target",
            "engine off, do not restart: sensor, supply, ground"),
    Meaning("pressure too low, more is asked for, current right", "hydraulic: it can't be made or is lost",
            "supply, closed rail, returns"),
    Meaning("pressure too low, more is not asked for", "control: sensor or target", "sensor against a second reading"),
    Meaning("more is asked for, the current is not there", "control: wiring, driver or coil", "coil, supply under load"),
)  # fmt: skip

IN_SHORT = Section(
    "The usual kinds",
    short=(
        "Know the kind first: this is for valves open without current.",
        "Inlet: more current, pressure falls.",
        "Outlet: more current, pressure rises.",
        "Full pressure: inlet open, outlet closed.",
    ),
    priority=1,
)


VALVES = Figure(
    "valves", "At rest and with current",
    "Inlet valve: at rest open and pressure rises, with current it closes and pressure falls. Outlet valve: at rest open and "
    "pressure falls, with current it closes and pressure rises.", priority=3,
)  # fmt: skip


NEVER_UNPLUG = Caution("danger", "Engine running: never unplug a pressure valve.", ("W-JET",))


def card(**inputs: Any) -> Card:
    """Regulator logic."""
    figure = Figure(
        "regulators", "Where they sit",
        "The fuel's way from the low side through the inlet valve into the pump elements, on into the rail; the outlet "
        "valve lets fuel from the rail back into the return.", priority=3,
    )  # fmt: skip
    return Card(
        name="regulators", title="Pressure valves: which way they work", small=True, stage="generation", side="control",
        cautions=(HIGH_PRESSURE, CONTROL_LOSS, RUNNING_ENGINE), strong=NEVER_UNPLUG, front=(FIRST, LOGIC, figure, IN_SHORT),
        back=(VALVES, SWITCHING, BOTH), meanings=MEANINGS, sources=("Common practice, no source",),
        limits_origin="none on this card", command="baybook regulator --ask", catalogue="baybook_plugins.regulator",
    )  # fmt: skip
