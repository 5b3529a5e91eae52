"""What drops, insulation and output stage say, at the stage of the part whose circuit it is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from baybook.api import Estimate, Finding, Meaning, Message, Statement, Verdict, Word

from .circuits import Circuit

OUTSIDE = Statement("{what}: {value} is outside {range}", "indicated")
OUTSIDE_SAYS = "{what}: {value} is outside {range}: {says}"
SECTION = "section {index}: {value} is outside {range}: {says}"
UNSURE = Statement("{what}: {value} is too uncertain to be judged against {range}", "undecided", "read it more closely")
NOTHING_DUE = Statement(
    "no current flows where {work} is due: open circuit, no supply or ground, or not driven", "indicated",
    "key off, rail seen to fall to zero: leads to its own pins; then the voltage across them while it should run (at_part, "
    "battery), which parts the part itself from what its voltage comes through",
)  # fmt: skip
OPEN_ITSELF = "{volts} stand across its own pins and no current flows where {work} is due: the part itself is open"
ITSELF = Message("key off, rail seen to fall to zero, plug off: measure the part's own resistance")
NO_WINDING = ("rail-sensor", "control-unit")
EXCHANGE = Message("read voltage and current once more with another meter; then the part by exchange")
SILENT = Statement(
    "{volts} stand across its own pins: where it does nothing all the same, it is the part itself", "undecided",
    "read the current by clamp meanwhile, leads fitted with the key off: none means that the part itself is open",
)  # fmt: skip
NOT_THERE = Statement(
    "of {battery} at the battery {volts} stand across its own pins: open, or not driven, on the way to it", "indicated",
    "key off, rail seen to fall to zero: see whether both wires lead through; then whether supply, ground and drive are there",
)  # fmt: skip
DEAD_WIRE = Statement(
    "a voltage drop says something only under load, and no current that loads its wires is known to flow",
    "undecided",
    "read the current by clamp while the circuit is driven or loaded, leads fitted with the key off; then the drop again",
)  # fmt: skip
BETWEEN = Message("read the sections in between, current flowing, leads fitted with the key off")
GAP = Statement("a section was not read, and what it drops is not in the sum", "undecided", BETWEEN)
ELSEWHERE = Statement("{lost} of what the battery loses lies in no section that was read", "indicated", BETWEEN)
GOOD = Statement(
    "supply and ground arrive: {drop} at the current of work is within {range}", "cleared",
    "the part itself: its coil (calculator coil), then the hydraulic side",
)  # fmt: skip
MEAN = Statement(
    "a plain meter shows the mean of a wire that pulses, about supply × (1 − duty): {volts} may be that, and no drop of the "
    "output stage", "undecided",
    "read the low level of the pulse by oscilloscope, against ground; where the supply is switched, its high level against "
    "supply; leads fitted with the key off; type that as driver, with the duty",
)  # fmt: skip
SEE_ALSO = Message("drop along both wires under current; then the part")
DRIVES = Statement("the output stage drops no more than it may", "undecided", SEE_ALSO)
DRY = "no pin leads to the housing, cold and dry as it is; heat, wet and movement may change that"


def findings(
    circuit: Circuit, found: Mapping[str, Any], verdicts: Sequence[Verdict], meanings: Sequence[Meaning]
) -> tuple[Finding, ...]:
    """What is wrong, else what is open, else what is right."""
    mean = () if circuit.mean is None else (MEAN.finding(volts=circuit.mean),)
    judged = [verdict for verdict in verdicts if not (mean and verdict.what == "driver_drop")]
    wrong = tuple(_wrong(circuit, found, judged, meanings))
    return (*mean, *(wrong or tuple(_open(circuit, judged)) or tuple(_right(circuit, judged))))


def _wrong(
    circuit: Circuit, found: Mapping[str, Any], verdicts: Sequence[Verdict], meanings: Sequence[Meaning]
) -> Iterator[Finding]:
    yield from _at_rest(circuit)
    outside = [verdict for verdict in verdicts if verdict.verdict == "outside"]
    for verdict in outside:
        if not (circuit.from_ends and circuit.arrives is False and not circuit.flows):
            yield _outside(verdict, next((meaning for meaning in meanings if meaning.output == verdict.what), None))
    unexplained: Estimate | None = found.get("unexplained")
    if outside and unexplained is not None and unexplained.low > 0:
        yield ELSEWHERE.finding(lost=unexplained)


def _at_rest(circuit: Circuit) -> Iterator[Finding]:
    """What no current, and the voltage across the pins while none is known to flow, say together."""
    volts, battery, due = circuit.at_part or "", circuit.battery or "", circuit.work_current or Message("one")
    if circuit.dead and circuit.arrives:
        then = EXCHANGE if circuit.part in NO_WINDING else ITSELF
        yield Statement(OPEN_ITSELF, "indicated", then).finding(volts=volts, work=due)
    elif circuit.arrives is False and not circuit.flows:
        yield NOT_THERE.finding(volts=volts, battery=battery)
    elif circuit.dead:
        yield NOTHING_DUE.finding(work=due)


def _outside(verdict: Verdict, meant: Meaning | None) -> Finding:
    what = Word(verdict.what, capital=True)
    if meant is None:
        return OUTSIDE.on(verdict, what=what)
    told = {"what": what} if verdict.index is None else {"index": verdict.index}
    said = Statement(OUTSIDE_SAYS if verdict.index is None else SECTION, "indicated", meant.next_test)
    return said.on(verdict, says=Message(meant.says), **told)


def _open(circuit: Circuit, verdicts: Sequence[Verdict]) -> Iterator[Finding]:
    if circuit.arrives and not circuit.flows:
        yield SILENT.finding(volts=circuit.at_part or "")
    elif any(verdict.probability is None for verdict in verdicts):
        yield (GAP if circuit.flows else DEAD_WIRE).finding()
    for verdict in verdicts:
        if verdict.verdict == "undecided" and verdict.probability is not None:
            yield UNSURE.on(verdict, what=Word(verdict.what, capital=True))


def _right(circuit: Circuit, verdicts: Sequence[Verdict]) -> Iterator[Finding]:
    judged = {verdict.what: verdict for verdict in verdicts}
    along = judged.get("drop_at_work")
    if along is not None:
        yield GOOD.finding(drop=along.measured or "", range=along.range)
    elif "driver_drop" in judged:
        yield DRIVES.finding()
    if "insulation" in judged or circuit.over_range:
        yield Statement(DRY, "undecided", "" if along is not None else SEE_ALSO).finding()
