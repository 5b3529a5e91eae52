"""What drops, insulation and output stage say, at the stage of the part whose circuit it is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple, cast

from baybook.api import Estimate, Finding, Meaning, Message, Reading, Verdict, Word
from baybook.dataclass import replace

from .circuits import CALLED, STAGE

DEAD = 0.05
"""Below this share of the current at work none flows. common practice, no source."""
OF_PART = "{part}: {said}"
OF_NUMBER = "{part} {number}: {said}"
OUTSIDE = "{what}: {value} is outside {range}"
OUTSIDE_SAYS = "{what}: {value} is outside {range}: {says}"
SECTION = "section {index}: {value} is outside {range}: {says}"
UNSURE = "{what}: {value} is too uncertain to be judged against {range}"
NOTHING_DUE = "no current flows where {work} is due: open circuit, no supply or ground, or not driven"
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


class Circuit(NamedTuple):
    """Whose circuit it is, and what current is known of it."""

    part: str
    number: int | None
    current: Reading | None
    work_current: Reading | None
    over_range: bool
    gaps: bool

    @property
    def flows(self) -> bool:
        """Whether a current is known to flow."""
        return self.current is not None and self.current.interval[0] > 0 and not self.dead

    @property
    def dead(self) -> bool:
        """Whether none flows where one is due."""
        if self.current is None:
            return False
        due = self.work_current.number("A") if self.work_current else None
        return self.current.interval[0] <= 0 if due is None else self.current.number("A") < DEAD * due

    def counting(self, verdict: Verdict) -> Verdict:
        """A verdict as it counts: a small drop that no current is known to make, or with a section unread, decides nothing."""
        along = verdict.what in ("drop_at_work", "section_drop", "driver_drop")
        whole = self.flows and not (self.gaps and verdict.what == "drop_at_work")
        if along and verdict.verdict == "within" and not whole:
            return replace(verdict, verdict="undecided", probability=None)
        return verdict

    def finding(self, said: str, strength: str, then: str = "") -> Finding:
        """A finding at the stage of its part, control side."""
        told: dict[str, Any] = {"part": CALLED[self.part], "said": Message.of(said)}
        whole = Message(OF_PART, **told) if self.number is None else Message(OF_NUMBER, number=self.number, **told)
        return Finding(cast(Any, STAGE[self.part]), "control", whole, cast(Any, strength), then)


def findings(
    circuit: Circuit, found: Mapping[str, Any], verdicts: Sequence[Verdict], meanings: Sequence[Meaning]
) -> tuple[Finding, ...]:
    """What is wrong, else what is open, else what is right."""
    wrong = tuple(_wrong(circuit, found, verdicts, meanings))
    return wrong or tuple(_open(circuit, verdicts)) or tuple(_right(circuit, verdicts))


def _wrong(
    circuit: Circuit, found: Mapping[str, Any], verdicts: Sequence[Verdict], meanings: Sequence[Meaning]
) -> Iterator[Finding]:
    if circuit.dead:
        due = circuit.work_current or Message("one")
        yield circuit.finding(Message(NOTHING_DUE, work=due), "indicated", PATH)
    for verdict in verdicts:
        if verdict.verdict == "outside":
            meant = next((m for m in meanings if m.output == verdict.what), None)
            then = meant.next_test if meant else ""
            yield circuit.finding(_said(verdict, meant), "indicated", then)
    unexplained: Estimate | None = found.get("unexplained")
    if unexplained is not None and unexplained.low > 0 and any(v.verdict == "outside" for v in verdicts):
        yield circuit.finding(Message(ELSEWHERE, lost=unexplained), "indicated", BETWEEN)


def _said(verdict: Verdict, meant: Meaning | None) -> Message:
    told: dict[str, Any] = {"value": verdict.measured, "range": verdict.range}
    if meant is None:
        return Message(OUTSIDE, what=Word(verdict.what, capital=True), **told)
    if verdict.index is not None:
        return Message(SECTION, index=verdict.index, says=Message(meant.says), **told)
    return Message(OUTSIDE_SAYS, what=Word(verdict.what, capital=True), says=Message(meant.says), **told)


def _open(circuit: Circuit, verdicts: Sequence[Verdict]) -> Iterator[Finding]:
    if any(verdict.probability is None for verdict in verdicts):
        yield circuit.finding(GAP, "undecided", BETWEEN) if circuit.flows else circuit.finding(DEAD_WIRE, "undecided", LOAD)
    for verdict in verdicts:
        if verdict.verdict == "undecided" and verdict.probability is not None:
            told: dict[str, Any] = {"value": verdict.measured, "range": verdict.range}
            yield circuit.finding(Message(UNSURE, what=Word(verdict.what, capital=True), **told), "undecided", CLOSER)


def _right(circuit: Circuit, verdicts: Sequence[Verdict]) -> Iterator[Finding]:
    judged = {verdict.what: verdict for verdict in verdicts}
    along = judged.get("drop_at_work")
    if along is not None:
        yield circuit.finding(Message(GOOD, drop=along.measured or "", range=along.range), "cleared", NEXT)
    elif "driver_drop" in judged:
        yield circuit.finding(DRIVES, "undecided", SEE_ALSO)
    if "insulation" in judged or circuit.over_range:
        yield circuit.finding(DRY, "undecided", "" if along is not None else SEE_ALSO)
