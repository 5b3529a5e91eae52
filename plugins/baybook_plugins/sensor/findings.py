"""What a signal says that no pressure gives, and what a zero does not prove."""

from __future__ import annotations

from collections.abc import Iterator

from baybook.api import (
    RUNAWAY,
    Answer,
    Estimate,
    Finding,
    Message,
    Reading,
    Result,
    SpecRange,
    Verdict,
    judge,
)
from baybook.dataclass import replace
from baybook_physics.overpressure import largest_excess

from .method import BEYOND, GROUND_EXPLAINS, NO_SUPPLY, PULLED
from .signal import Signal

STUCK = Message(
    "A zero that stood there all along proves nothing of the sensor at pressure, and nothing of the rail: only a reading that "
    "was seen to fall does."
)


def beyond(result: Result, difference: Estimate, told: float) -> Result:
    """With what a second reading far above what is told (bar) means before anything else."""
    less = difference.to("bar")
    chance = less.below(-largest_excess(told))
    warnings = (*result.warnings, RUNAWAY.first) if chance >= FAR else result.warnings
    return replace(result, warnings=warnings, answers=(*result.answers, Answer(BEYOND, 1.0 - chance)))


FAR = 0.95
"""How sure it is that a second reading lies far above."""
DEAD = 0.5
"""Of the supply that its line is stated for: below it the sensor tells nothing. common practice, no source"""
SURE, PLAIN = 0.99, 0.999
"""How sure it is that ground and zero are one error; that there is no supply, which no meter mistakes. Common practice, no
source."""
EXPLAINED = (
    "The drop along the ground makes {ground} of the {zero} that are told at no pressure: that is the whole of it, so the "
    "ground wire is off and not the sensor."
)
MEND_GROUND = Message("key off, rail seen to fall to zero: plug and splice of the ground wire; then the zero again")


LOW = 0.8
"""Of the supply that its line is stated for: a feed below it at both ends is pulled down. common practice, no source"""
PULLED_DOWN = (
    "The feed has {supply} at the sensor and {reference} at the control unit: the wire between them loses nothing, and what "
    "hangs on this feed, or the unit itself, pulls it down."
)
ONE_BY_ONE = Message(
    "rail seen to fall to zero, key off each time: unplug the other sensors on that feed one by one, this one last; key on, "
    "see with which of them the feed comes up; then their wires to ground, at last the control unit"
)


def weighed(
    signal: Signal, found: dict[str, Estimate], apart: SpecRange | None, supply: Reading | None, nominal: Reading,
    ground_limit: SpecRange | None, reference: Reading | None, empty: SpecRange | None, *, stood: bool,
) -> Result:  # fmt: skip
    """What its readings say together; a signal that no pressure gives comes before every verdict. apart: how far what is shown
    may be from what the plug gives; empty: how far it may be off at zero, where the rail is proven empty. stood: whether it was
    read after standing."""
    verdicts = (*_apart(found, apart), *_in_an_empty_rail(found, empty))
    notes = (STUCK,) if stood else ()
    if supply and reference and pulled_down(supply, reference, nominal):
        told = Message(PULLED_DOWN, supply=supply, reference=reference)
        said = Answer(PULLED, 1 - PLAIN, said=Message("the feed is low at both ends"))
        finding = Finding("storage", "control", told, "indicated", ONE_BY_ONE)
        answered = (said, Answer("supply_voltage"))
        return Result({**found, "state": signal.state}, verdicts, (finding,), notes, answers=answered)
    answers = [*_dead(supply, nominal), *signal.answers]
    further: list[Finding] = []
    zero, ground = found.get("zero_error"), found.get("ground_error")
    if zero and ground and ground_limit and _one(zero, ground) and _off(found, ground_limit):
        answers.append(Answer(GROUND_EXPLAINS, 1 - SURE, said=Message("the ground explains what is told at zero")))
        further.append(Finding("", "", Message(EXPLAINED, ground=ground, zero=zero), "indicated", MEND_GROUND))
    return Result(
        {**found, "state": signal.state}, verdicts, signal.findings, notes, answers=tuple(answers),
        further=tuple(further),
    )  # fmt: skip


def pulled_down(supply: Reading, reference: Reading, nominal: Reading) -> bool:
    """Whether the feed is low, and as low where it leaves the control unit."""
    here, there = supply.to("V"), reference.to("V")
    alike = here.interval[0] <= there.interval[1] and there.interval[0] <= here.interval[1]
    return alike and max(here.interval[1], there.interval[1]) < LOW * nominal.to("V").value


def _apart(found: dict[str, Estimate], apart: SpecRange | None) -> Iterator[Verdict]:
    if apart and "plug_difference" in found:
        yield judge("plug_difference", found["plug_difference"], apart)


def _in_an_empty_rail(found: dict[str, Estimate], limit: SpecRange | None) -> Iterator[Verdict]:
    """The zero of a rail that holds nothing: too much or too little, it is the sensor's circuit."""
    if limit and "zero_error" in found:
        verdict = judge("zero_error", found["zero_error"], limit)
        yield replace(verdict, way="outside" if verdict.verdict == "outside" else "")


def _dead(supply: Reading | None, nominal: Reading) -> Iterator[Answer]:
    """A supply that is none; what is off by a little says less."""
    if supply is not None and supply.interval[1] < DEAD * nominal.to(supply.unit.symbol).value:
        yield Answer(NO_SUPPLY, 1 - PLAIN, said=Message("no supply at its pins"))
        yield Answer("supply_voltage")


def _off(found: dict[str, Estimate], limit: SpecRange) -> bool:
    return judge("ground_voltage", found["ground_voltage"], limit).verdict == "outside"


def _one(zero: Estimate, ground: Estimate) -> bool:
    """Whether the two are one size, within what they are known to."""
    return zero.low > 0.0 and ground.low <= zero.high and zero.low <= ground.high
