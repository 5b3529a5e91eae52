"""Signs, signal words, verdicts and the words of the handbook."""

from __future__ import annotations

from baybook.cards.data import Card, Figure, Section, Table
from baybook_cards.general.common import DATA_FIRST

SIGNALS = Table(
    "Signal words",
    ("Word", "What happens if it is not heeded"),
    (
        ("DANGER", "death or serious injury will follow"),
        ("WARNING", "death or serious injury can follow"),
        ("CAUTION", "minor or moderate injury can follow"),
        ("NOTICE", "no injury; damage, or something to know"),
    ),
    priority=2,
)
VERDICTS = Table(
    "Verdicts on a reading against a spec range",
    ("Verdict", "It means"),
    (
        ("✓\u00a0within", "it conforms, with a probability of at least 95 %"),
        ("✗\u00a0outside", "it does not conform, with a probability of at least 95 %"),
        ("?\u00a0undecided", "the reading is not good enough to tell; measure better or again"),
    ),
    priority=2,
)
WORDS = Table(
    "Words",
    ("Word", "Meaning"),
    (
        ("reading", "a measured value with its unit and what it is good to"),
        ("± 95 %", "the true value lies within, 19 times of 20"),
        ("spec range", "the limits you typed in, with where they come from"),
        ("gauge, absolute", "above the air's pressure; above nothing at all"),
        ("stage", "supply, generation, storage, delivery"),
        ("side", "hydraulic: fuel and metal. control: current and signal"),
        ("inlet valve", "sits before the pump elements, lets fuel in; full pressure: fully open"),
        ("outlet valve", "sits at the pump's outlet or the rail, lets pressure out; full pressure: fully closed"),
        ("duty", "share of time that a coil is switched on"),
        ("return", "what an injector sends back unburnt"),
    ),
    priority=3,
)
NOTATION = Section(
    "How to write a reading",
    items=("350 bar", "350 ± 5 bar", "1.5 MPa ± 1 %", "−0.3 bar for suction", "<= 6 mL/min; where it stands"),
    priority=3,
)


IN_SHORT = Section(
    "Verdicts on a reading against a spec range",
    short=("✓ within: conforms, at least 95 %", "✗ outside: fails, at least 95 %", "? undecided: measure better"),
    priority=1,
)


def card() -> Card:
    """Symbols and words."""
    signs = Figure(
        "signs", "Signs", "Twelve safety signs, each with its meaning beside it: warning triangles, mandatory discs, a "
        "barred ring, and squares for first aid and the telephone.", priority=2,
    )  # fmt: skip
    return Card(
        name="words",
        title="Signs and words",
        cautions=(DATA_FIRST,),
        front=(signs, SIGNALS),
        back=(IN_SHORT, VERDICTS, WORDS, NOTATION),
        sources=(
            "Signs: ISO 7010 and ISO 3864-1, drawn here; the jet sign is our own",
            "Signal words: ANSI Z535.4",
            "Verdicts: JCGM 106:2012, ISO 14253-1",
        ),
    )
