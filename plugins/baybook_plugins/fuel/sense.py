"""What a fuel sample says of the fuel in the tank, and what comes before any test that turns the engine.

All reaches are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from baybook.api import Answer, Halt, Message, Question, Sense, Statement, Verdict, joined
from baybook.dataclass import replace

SURE, PLAIN = 0.95, 0.99
"""How sure eye and nose are; of what nobody mistakes. common practice, no source."""
DRAIN = Halt(
    "do not start or crank the engine: drain, flush and fill with known fuel, then mark that repair of tank fuel",
    spoils=True, reason="There is water in the fuel",
)  # fmt: skip
PETROL = Halt(
    "key off and out, no flame, do not switch on, start or crank: drain, flush and fill with known fuel, then mark that repair "
    "of tank fuel",
    spoils=True, reason="There is petrol or another fuel in the tank", off=True, fire=True,
)  # fmt: skip
KNOW = Halt(
    "key off and out, no flame, do not switch on, start or crank while petrol is possible: smell the sample, read the delivery "
    "note; else drain",
    spoils=True, reason="The fuel is too light: petrol in it is possible", off=True, fire=True,
)  # fmt: skip
SEEN_AND_SMELT = "fuel seen and smelt"
OTHER = Question({"tank fuel": 0.5}, 0.005, ("tank fuel",), sought=False, measures=SEEN_AND_SMELT)
SENSE = Sense(
    {
        "density_15 low": Question({"tank fuel": 0.3}, 0.01, ("tank fuel",), measures="density", halt=KNOW),
        "light, its smell known": Question({"tank fuel": 0.3}, 0.01, ("tank fuel",), sought=False, measures="density"),
        "density_15 high": Question({"tank fuel": 0.2}, 0.01, ("tank fuel",)),
        "viscosity_40 low": Question({"tank fuel": 0.3}, 0.01, ("tank fuel",), sought=False, halt=KNOW),
        "viscosity_40 high": Question({"tank fuel": 0.2}, 0.01, ("tank fuel",), sought=False),
        "water": replace(OTHER, halt=DRAIN),
        "another fuel": replace(OTHER, halt=PETROL),
        "seen and smelt": Question({"tank fuel": 0.7}, 0.02, ("tank fuel",), measures=SEEN_AND_SMELT),
    },
    10.0, hands="low side opened", lasting=True,
)  # fmt: skip


def answers(look: str | None, smell: str | None, odd: Sequence[Statement], verdicts: Sequence[Verdict]) -> Iterator[Answer]:
    """What is seen and smelt; a light fuel is a winter grade or petrol, and the smell tells which sooner than a number."""
    said = joined([Message(seen.text) for seen in odd]) if odd else ""
    if smell in ("petrol", "other"):
        yield Answer("another fuel", 1 - PLAIN, said=said)
    elif look == "water":
        yield Answer("water", 1 - PLAIN, said=said)
    elif look is not None or smell is not None:
        yield Answer("seen and smelt", 1 - SURE if odd else SURE, said=said)
    light = next((v.measured.below(v.range.to(v.measured.unit).low or 0.0) for v in verdicts
                  if v.what == "density_15" and v.measured is not None and v.range.low is not None), 0.0)  # fmt: skip
    if smell is not None and light > 0.5:
        yield Answer("density_15 low", 0.5)
        yield Answer("light, its smell known", 1.0 - light)
