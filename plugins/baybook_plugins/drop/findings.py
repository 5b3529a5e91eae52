"""What drops, insulation and output stage say, at the stage of the part whose circuit it is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, cast

from baybook.api import Estimate, Finding, Meaning, Message, Verdict, Word

from .circuits import CALLED, STAGE, Circuit

OF_PART = "{part}: {said}"
OF_NUMBER = "{part} {number}: {said}"
OUTSIDE = "{what}: {value} is outside {range}"
OUTSIDE_SAYS = "{what}: {value} is outside {range}: {says}"
SECTION = "section {index}: {value} is outside {range}: {says}"
UNSURE = "{what}: {value} is too uncertain to be judged against {range}"
NOTHING_DUE = "no current flows where {work} is due: open circuit, no supply or ground, or not driven"
PINS = Message(
    "key off, rail seen to fall to zero: leads to its own pins; then the voltage across them while it should run (at_part, "
    "battery), which parts the part itself from what its voltage comes through"
)
OPEN_ITSELF = "{volts} stand across its own pins and no current flows where {work} is due: the part itself is open"
SILENT = "{volts} stand across its own pins: where it does nothing all the same, it is the part itself"
ITSELF = Message("key off, rail seen to fall to zero, plug off: measure the part's own resistance")
NO_WINDING = ("rail-sensor", "control-unit")
EXCHANGE = Message("read voltage and current once more with another meter; then the part by exchange")
CLAMP = Message("read the current by clamp meanwhile, leads fitted with the key off: none means that the part itself is open")
NOT_THERE = "of {battery} at the battery {volts} stand across its own pins: open, or not driven, on the way to it"
PATH = Message(
    "key off, rail seen to fall to zero: see whether both wires lead through; then whether supply, ground and drive are there"
)
DEAD_WIRE = Message("a voltage drop says something only where current flows, and none is known to flow")
GAP = Message("a section was not read, and what it drops is not in the sum")
LOAD = Message(
    "read the current by clamp while the circuit is driven or loaded, leads fitted with the key off; then the drop again"
)
ELSEWHERE = "{lost} of what the battery loses lies in no section that was read"
BETWEEN = Message("read the sections in between, current flowing, leads fitted with the key off")
GOOD = "supply and ground arrive: {drop} at the current of work is within {range}"
NEXT = Message("the part itself: its coil (calculator coil), then the hydraulic side")
DRY = Message("no pin leads to the housing, cold and dry as it is; heat, wet and movement may change that")
DRIVES = Message("the output stage drops no more than it may")
SEE_ALSO = Message("drop along both wires under current; then the part")
CLOSER = Message("read it more closely")


def finding(circuit: Circuit, said: str, strength: str, then: str = "") -> Finding:
    """A finding at the stage of its part, control side."""
    told: dict[str, Any] = {"part": CALLED[circuit.part], "said": Message.of(said)}
    whole = Message(OF_PART, **told) if circuit.number is None else Message(OF_NUMBER, number=circuit.number, **told)
    return Finding(cast(Any, STAGE[circuit.part]), "control", whole, cast(Any, strength), then)


def findings(
    circuit: Circuit, found: Mapping[str, Any], verdicts: Sequence[Verdict], meanings: Sequence[Meaning]
) -> tuple[Finding, ...]:
    """What is wrong, else what is open, else what is right."""
    wrong = tuple(_wrong(circuit, found, verdicts, meanings))
    return wrong or tuple(_open(circuit, verdicts)) or tuple(_right(circuit, verdicts))


def _wrong(
    circuit: Circuit, found: Mapping[str, Any], verdicts: Sequence[Verdict], meanings: Sequence[Meaning]
) -> Iterator[Finding]:
    yield from _at_rest(circuit)
    for verdict in verdicts:
        if verdict.verdict == "outside" and not (circuit.from_ends and circuit.arrives is False and not circuit.flows):
            meant = next((m for m in meanings if m.output == verdict.what), None)
            then = meant.next_test if meant else ""
            yield finding(circuit, _said(verdict, meant), "indicated", then)
    unexplained: Estimate | None = found.get("unexplained")
    if unexplained is not None and unexplained.low > 0 and any(v.verdict == "outside" for v in verdicts):
        yield finding(circuit, Message(ELSEWHERE, lost=unexplained), "indicated", BETWEEN)


def _at_rest(circuit: Circuit) -> Iterator[Finding]:
    """What no current, and the voltage across the pins while none is known to flow, say together."""
    due = circuit.work_current or Message("one")
    told: dict[str, Any] = {"volts": circuit.at_part, "battery": circuit.battery, "work": due}
    if circuit.dead and circuit.arrives:
        yield finding(
            circuit,
            Message(OPEN_ITSELF, volts=told["volts"], work=due),
            "indicated",
            EXCHANGE if circuit.part in NO_WINDING else ITSELF,
        )
    elif circuit.arrives is False and not circuit.flows:
        yield finding(circuit, Message(NOT_THERE, volts=told["volts"], battery=told["battery"]), "indicated", PATH)
    elif circuit.dead:
        yield finding(circuit, Message(NOTHING_DUE, work=due), "indicated", PINS)


def _said(verdict: Verdict, meant: Meaning | None) -> Message:
    told: dict[str, Any] = {"value": verdict.measured, "range": verdict.range}
    if meant is None:
        return Message(OUTSIDE, what=Word(verdict.what, capital=True), **told)
    if verdict.index is not None:
        return Message(SECTION, index=verdict.index, says=Message(meant.says), **told)
    return Message(OUTSIDE_SAYS, what=Word(verdict.what, capital=True), says=Message(meant.says), **told)


def _open(circuit: Circuit, verdicts: Sequence[Verdict]) -> Iterator[Finding]:
    if circuit.arrives and not circuit.flows:
        yield finding(circuit, Message(SILENT, volts=cast(Any, circuit.at_part)), "undecided", CLAMP)
    elif any(verdict.probability is None for verdict in verdicts):
        yield finding(circuit, GAP, "undecided", BETWEEN) if circuit.flows else finding(circuit, DEAD_WIRE, "undecided", LOAD)
    for verdict in verdicts:
        if verdict.verdict == "undecided" and verdict.probability is not None:
            told: dict[str, Any] = {"value": verdict.measured, "range": verdict.range}
            yield finding(circuit, Message(UNSURE, what=Word(verdict.what, capital=True), **told), "undecided", CLOSER)


def _right(circuit: Circuit, verdicts: Sequence[Verdict]) -> Iterator[Finding]:
    judged = {verdict.what: verdict for verdict in verdicts}
    along = judged.get("drop_at_work")
    if along is not None:
        yield finding(circuit, Message(GOOD, drop=along.measured or "", range=along.range), "cleared", NEXT)
    elif "driver_drop" in judged:
        yield finding(circuit, DRIVES, "undecided", SEE_ALSO)
    if "insulation" in judged or circuit.over_range:
        yield finding(circuit, DRY, "undecided", "" if along is not None else SEE_ALSO)
