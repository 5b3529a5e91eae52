"""Whether a correction accuses the injector, or the cylinder that it works for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Literal, NamedTuple

from baybook.api import Answer, Finding, Message, Place, Question, Sense, Verdict

MEASURED = 0.01
"""False alarm rate of what is measured at the place itself. All reaches here are common practice, no source."""
ONE_OF_SEVERAL = 0.2
"""A weak cylinder brings out its own injector's correction alone, one of four to six."""
COMPRESSION = Place("compression", "delivery", "hydraulic", "the compression of a cylinder", weight=0.5)
SENSE = Sense(
    {
        "correction low": Question(
            {"{object}": 0.5, "{object} coil": 0.03, "{object} wiring": 0.03}, 0.02, off_map=0.03,
            measures="injector quantity correction low",
        ),
        "correction high": Question(
            {"{object}": 0.4, "{object} coil": 0.6, "{object} wiring": 0.6, "compression": ONE_OF_SEVERAL}, 0.03, off_map=0.05,
            measures="injector quantity correction high",
        ),
        "cylinders": Question({"compression": 0.9}, MEASURED, ("compression",), measures="relative compression"),
        "quantity": Question({"{object}": 0.9, "{object} coil": 0.3}, MEASURED, ("{object}",), sought=False),
    },
    10.0, objects=("injector *",), together=True, running=True, places=(COMPRESSION,),
)  # fmt: skip

BLAMED = "Injector {number}: correction of {value} is outside {range}"
CYLINDER = "{what}, and its cylinder compresses {share} only: the cylinder is at fault, not its injector."
INJECTOR = "{what}, and its cylinder compresses as the others do ({share}): the injector gives another quantity, or its drive."
EITHER = "{what}: the injector or the compression of its cylinder; which of them is not shown."
HIDDEN = "Cylinder {number} compresses {share} only, and no correction shows it: the cylinder itself."
QUANTITY = "Injector {number} gives {value} on the bench, outside {range}."
UNSURE = "{what} of injector {numbers} is too uncertain to be judged."
UNSURE_CYLINDER = "Compression of cylinder {numbers} is too uncertain to be judged."
BALANCED = Message("All corrections are within their range: the injectors are balanced. This says nothing of the level of all.")
SOME = Message("The corrections that were read are within; without the missing ones the balance is open.")
ALIKE = Message("The cylinders compress alike: a difference between injectors would not come from them.")
RIGHT = Message("On the bench all injectors give what they should at that point. Another point, and their returns, are open.")
SOME_RIGHT = Message("The injectors that were tested give what they should; the others are open.")
TO_CYLINDER = Message("compression and leakage of that cylinder by gauge, as the data say; valve clearance; no injector yet")
TO_INJECTOR = Message("its return (calculator returns) and the current of its coil (calculator drive); then a bench")
TO_COMPRESSION = Message("relative compression by starter current, injection kept off as the data say (peaks)")
TO_LEVEL = Message("the level: rail pressure against target (calculator target), returns (calculator returns)")
TO_CORRECTIONS = Message("each injector's correction at warm idle (corrections)")
TO_BENCH = Message("have the bench repeat it; then exchange or mend this injector, and enter its code where data ask for it")
CLOSER = Message("read it more closely, or over longer, and judge again")

Compresses = Literal["low", "good", "open"]


class Seen(NamedTuple):
    """Verdicts by what they are on, and whether every injector was read."""

    corrections: Sequence[Verdict]
    cylinders: Sequence[Verdict]
    quantities: Sequence[Verdict]
    all_corrections: bool
    all_quantities: bool

    @property
    def shares(self) -> Mapping[int, Verdict]:
        """The verdicts on compression by cylinder."""
        return {verdict.index or 0: verdict for verdict in self.cylinders}

    def compresses(self, number: int) -> Compresses:
        """What is known of a cylinder's compression; one that is above the range is not low."""
        known = self.shares.get(number)
        if known is None or known.verdict == "undecided":
            return "open"
        return "low" if known.way == "below" else "good"


def findings(seen: Seen) -> tuple[Finding, ...]:
    """What is wrong, else what is open, else what is right."""
    return tuple(_wrong(seen)) or tuple(_open(seen)) or tuple(_right(seen))


def _wrong(seen: Seen) -> Iterator[Finding]:
    outside = [verdict for verdict in seen.corrections if verdict.verdict == "outside"]
    for verdict in outside:
        number = verdict.index or 0
        what = Message(BLAMED, number=number, value=verdict.measured or "", range=verdict.range)
        known = seen.compresses(number)
        if known == "open":
            yield Finding(statement=Message(EITHER, what=what), strength="indicated", next_test=TO_COMPRESSION)
            continue
        said, then = (CYLINDER, TO_CYLINDER) if known == "low" else (INJECTOR, TO_INJECTOR)
        share = seen.shares[number].measured or ""
        yield Finding(statement=Message(said, what=what, share=share), strength="indicated", next_test=then)
    told = {verdict.index for verdict in outside}
    for verdict in seen.cylinders:
        if verdict.way == "below" and verdict.index not in told:
            said_of = Message(HIDDEN, number=verdict.index or 0, share=verdict.measured or "")
            yield Finding(statement=said_of, strength="indicated", next_test=TO_CYLINDER)
    for verdict in seen.quantities:
        if verdict.verdict == "outside":
            gives = Message(QUANTITY, number=verdict.index or 0, value=verdict.measured or "", range=verdict.range)
            yield Finding(statement=gives, strength="indicated", next_test=TO_BENCH)


def _open(seen: Seen) -> Iterator[Finding]:
    each = ((Message("Correction"), seen.corrections), (Message("Quantity"), seen.quantities))
    for what, verdicts in each:
        if unsure := [verdict.index or 0 for verdict in verdicts if verdict.verdict == "undecided"]:
            yield Finding(statement=Message(UNSURE, what=what, numbers=unsure), strength="undecided", next_test=CLOSER)
    if unsure := [verdict.index or 0 for verdict in seen.cylinders if verdict.verdict == "undecided"]:
        yield Finding(statement=Message(UNSURE_CYLINDER, numbers=unsure), strength="undecided", next_test=CLOSER)


def _right(seen: Seen) -> Iterator[Finding]:
    if seen.corrections:
        whole = seen.all_corrections
        yield Finding(statement=BALANCED if whole else SOME, strength="cleared" if whole else "undecided",
                      next_test=TO_LEVEL if whole else TO_CORRECTIONS)  # fmt: skip
    if seen.cylinders:
        yield Finding(statement=ALIKE, strength="undecided", next_test="" if seen.corrections else TO_CORRECTIONS)
    if seen.quantities:
        whole = seen.all_quantities
        yield Finding(statement=RIGHT if whole else SOME_RIGHT, strength="cleared" if whole else "undecided",
                      next_test=TO_LEVEL)  # fmt: skip


def answers(cylinders: Sequence[Verdict]) -> Iterator[Answer]:
    """Whether any cylinder is low: one answer for all, by the worst of them."""
    known = [verdict for verdict in cylinders if verdict.probability is not None and verdict.way != "above"]
    if known:
        worst = min(known, key=lambda verdict: verdict.probability or 0.0)
        yield Answer("cylinders", worst.probability or 0.0, said=f"relative compression: {worst.verdict}")
