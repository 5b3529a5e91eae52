"""The map: four stages, two sides, and which test proves what."""

from __future__ import annotations

from baybook.cards.data import Card, Figure, Section, Table
from baybook_cards.general.common import DATA_FIRST, PRACTICE

TESTS = Table(
    "Which test proves which place",
    ("Stage", "Hydraulic side", "Control side"),
    (
        ("supply", "pressure, flow, air (supply, line); the fuel (fuel)", "wires and current of the pump (drop, supply)"),
        ("generation", "pressure reached (cranking, pump); one weak element: ripple", "valve (coil, regulator, drive)"),
        ("storage", "closed rail: how fast pressure falls (hold)", "sensor (sensor), its wires (drop); valve coil (coil)"),
        ("delivery", "returns side by side (returns); balance (delivery)", "coil (coil), current (drive), wires (drop)"),
    ),
    priority=2,
)
RULES = Section(
    "How to go about it",
    items=(
        "Prove where the fault lies before a part is changed.",
        "A reading speaks of every place that could make it so: next comes the test that tells most of them apart.",
        "At each stage ask for the side: is the wrong thing done well (control), or the right thing done badly (hydraulic)?",
        "Write down every reading with what it is good to, and where its limit comes from.",
        "A test that was not taken is untested, not good.",
    ),
    numbered=True,
    priority=3,
)
WORDS = Section(
    "Words of a place",
    items=(
        "✗ proven: at least 95 %, and a test that looked at the place itself came out bad",
        "▲ likely: likelier than not, not yet proof",
        "? open: one of the few that hold 95 % together",
        "– unlikely, or not seen here: another place explains it, or the tests came out good",
        "□ untested: no test looked there",
    ),
    priority=2,
)


IN_SHORT = Section(
    "How to go about it",
    short=("Supply, generation, storage, delivery.", "At each: hydraulic or control?", "Untested is not good."),
    priority=1,
)


def card() -> Card:
    """The map of stages and sides."""
    return Card(
        name="stages",
        title="Where the fault lies: four stages, two sides",
        cautions=(DATA_FIRST,),
        front=(
            Figure(
                "stages",
                "The way of the fuel",
                "Four stages in the order of the fuel's way: supply, generation, storage, delivery. Each has a "
                "hydraulic side above and a control side below.",
                priority=2,
            ),
            TESTS,
        ),
        back=(IN_SHORT, RULES, WORDS),
        sources=(PRACTICE,),
    )
