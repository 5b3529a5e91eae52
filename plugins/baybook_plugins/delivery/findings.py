"""Whether a correction accuses the injector, or the cylinder that it works for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Literal, NamedTuple

from baybook.api import Answer, Finding, Message, Place, Question, Sense, Statement, Verdict

MEASURED = 0.01
"""False alarm rate of what is measured at the place itself. All reaches here are common practice, no source."""
COMPRESSES = 0.005
"""The same of a cylinder that takes less starter current than the others: hardly anything else does that."""
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
        "cylinders": Question(
            {"compression": 0.9}, COMPRESSES, ("compression",), measures="relative compression", lasting=True
        ),
        "quantity": Question({"{object}": 0.9, "{object} coil": 0.3}, MEASURED, ("{object}",), sought=False, lasting=True),
    },
    10.0, objects=("injector *",), together=True, running=True, places=(COMPRESSION,),
)  # fmt: skip

TO_CYLINDER = Message("compression and leakage of that cylinder by gauge, as the data say; valve clearance; no injector yet")
TO_LEVEL = Message("the level: rail pressure against target (calculator target), returns (calculator returns)")
TO_CORRECTIONS = Message("each injector's correction at warm idle (corrections)")
CLOSER = Message("read it more closely, or over longer, and judge again")
BLAMED = "Injector {number}: correction of {value} is outside {range}"
BY_COMPRESSION = {
    "low": Statement("{what}, and its cylinder compresses {share} only: the cylinder is at fault, not its injector.",
                     "indicated", TO_CYLINDER),
    "good": Statement("{what}, and its cylinder compresses as the others do ({share}): the injector gives another quantity, or "
                      "its drive.", "indicated",
                      "its return (calculator returns) and the current of its coil (calculator drive); then a bench"),
    "open": Statement("{what}: the injector or the compression of its cylinder; which of them is not shown.", "indicated",
                      "relative compression by starter current, injection kept off as the data say (peaks)"),
}  # fmt: skip
"""What a correction outside its range says, by the compression of its cylinder."""
WEAK = Statement("Cylinder {number} compresses {share} only: the cylinder itself.", "indicated", TO_CYLINDER)
HIDDEN = Statement(
    "Cylinder {number} compresses {share} only, and the correction of its injector does not show it: the cylinder itself.",
    "indicated", TO_CYLINDER,
)  # fmt: skip
"""Only where that correction was read in the same step: of other steps this one knows nothing."""
QUANTITY = Statement(
    "Injector {number} gives {value} on the bench, outside {range}.", "indicated",
    "have the bench repeat it; then exchange or mend this injector, and enter its code where data ask for it",
)  # fmt: skip
UNSURE = Statement("{what} of injector {numbers} is too uncertain to be judged.", "undecided", CLOSER)
UNSURE_CYLINDER = Statement("Compression of cylinder {numbers} is too uncertain to be judged.", "undecided", CLOSER)
BALANCED = Statement(
    "All corrections are within their range: the injectors are balanced. This says nothing of the level of all.", "cleared",
    TO_LEVEL,
)  # fmt: skip
SOME = Statement(
    "The corrections that were read are within; without the missing ones the balance is open.", "undecided", TO_CORRECTIONS
)
ALIKE = "The cylinders compress alike: a difference between injectors would not come from them."
RIGHT = Statement(
    "On the bench all injectors give what they should at that point. Another point, and their returns, are open.", "cleared",
    TO_LEVEL,
)  # fmt: skip
SOME_RIGHT = Statement("The injectors that were tested give what they should; the others are open.", "undecided", TO_LEVEL)

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
    blamed = {verdict.index or 0: verdict for verdict in seen.corrections if verdict.verdict == "outside"}
    for number, verdict in blamed.items():
        what = Message(BLAMED, number=number, value=verdict.measured or "", range=verdict.range)
        known = seen.compresses(number)
        share = {} if known == "open" else {"share": seen.shares[number].measured or ""}
        yield BY_COMPRESSION[known].finding(what=what, **share)
    for verdict in seen.cylinders:
        if verdict.way == "below" and verdict.index not in blamed:
            read = any(correction.index == verdict.index for correction in seen.corrections)
            yield (HIDDEN if read else WEAK).on(verdict, share=verdict.measured or "")
    yield from (QUANTITY.on(verdict) for verdict in seen.quantities if verdict.verdict == "outside")


def _open(seen: Seen) -> Iterator[Finding]:
    for what, verdicts in ((Message("Correction"), seen.corrections), (Message("Quantity"), seen.quantities)):
        if numbers := undecided(verdicts):
            yield UNSURE.finding(what=what, numbers=numbers)
    if numbers := undecided(seen.cylinders):
        yield UNSURE_CYLINDER.finding(numbers=numbers)


def undecided(verdicts: Sequence[Verdict]) -> list[int]:
    """The numbers of those that could not be judged."""
    return [verdict.index or 0 for verdict in verdicts if verdict.verdict == "undecided"]


def _right(seen: Seen) -> Iterator[Finding]:
    if seen.corrections:
        yield (BALANCED if seen.all_corrections else SOME).finding()
    if seen.cylinders:
        yield Statement(ALIKE, "undecided", "" if seen.corrections else TO_CORRECTIONS).finding()
    if seen.quantities:
        yield (RIGHT if seen.all_quantities else SOME_RIGHT).finding()


def answers(cylinders: Sequence[Verdict]) -> Iterator[Answer]:
    """Whether any cylinder is low: one answer for all, by the worst of them."""
    known = [verdict for verdict in cylinders if verdict.probability is not None and verdict.way != "above"]
    if known:
        worst = min(known, key=lambda verdict: verdict.probability or 0.0)
        yield Answer("cylinders", worst.probability or 0.0, said=f"relative compression: {worst.verdict}")
