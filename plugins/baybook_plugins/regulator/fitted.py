"""One fitted valve with what was read at it."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from math import hypot

from baybook.api import Estimate, Finding, InputError, Message, Problem, Reading, Word, joined
from baybook.dataclass import dataclass
from baybook_physics.pressure_valve import Counts, Switched, Valve, drive_from_voltage

from . import next_tests as tests
from .duty import Clue, Drive, fits_usual_the_other_way, percent, settle
from .states import Asks, Current, Ends, asks, current_state
from .texts import NO_CURRENT, wire_fault
from .valves import Read

# Below this share of the expected current none is flowing, meter zero aside. common practice, no source
NONE_FLOWS = 0.03


@dataclass(frozen=True)
class Fitted:
    """A valve with what was read at it. tolerance: of the current, as a share of the expected one."""

    valve: Valve
    read: Read
    switched: Switched
    counts: Counts
    supply: Reading | None
    tolerance: Reading

    def name(self, *, capital: bool = False) -> Word:
        """Which valve it is."""
        return Word(f"{self.valve.place} valve", capital=capital)

    def said(self, text: Message) -> Message:
        """A sentence of this valve."""
        return Message("{valve}: {text}", valve=self.name(capital=True), text=text)

    @cached_property
    def wire(self) -> Clue | None:
        """The share of time on as the switched wire's mean voltage has it."""
        if self.read.wire_voltage is None or self.supply is None:
            return None
        volts, whole = self.read.wire_voltage.to("V"), self.supply.to("V")
        share = drive_from_voltage(volts.value, whole.value, self.switched)
        u = hypot(volts.u, volts.value / whole.value * whole.u) / whole.value
        return Clue("the mean voltage of the switched wire", min(max(share, 0.0), 1.0), u)

    @cached_property
    def wire_fault(self) -> Message | None:
        """What is wrong with the switched wire's voltage, None for nothing."""
        due = self.read.commanded_duty or self.read.duty
        return wire_fault(self.switched, self.wire.drive, due.number("1")) if self.wire and due else None

    @cached_property
    def drive(self) -> Drive | None:
        """The drive as settled from the readings, None without a duty.

        Raises InputError where the usual duty is given in the other polarity.
        """
        if self.read.duty is None:
            return None
        duty, clues = self.read.duty.to("1"), []
        if commanded := self.read.commanded_duty:
            clues.append(Clue("the duty asked for in live data", commanded.to("1").value, commanded.to("1").u))
        if self.wire and not self.wire_fault:
            clues.append(self.wire)
        drive = settle(duty.value, duty.u, self.counts, self.switched, clues)
        if self.usual and fits_usual_the_other_way(duty.value, drive.share, self.usual):
            raise InputError([self._turned(drive.share or 0.0, self.usual)])
        return drive

    @cached_property
    def usual(self) -> Ends | None:
        """The usual share of time on."""
        usual = self.read.usual_duty.to("1") if self.read.usual_duty else None
        return (usual.low, usual.high) if usual else None

    @cached_property
    def share(self) -> Estimate | None:
        """The share of time on with its uncertainty, where it is settled."""
        if self.read.duty is None or self.drive is None or self.drive.share is None:
            return None
        return Estimate.of(self.drive.share, "1", self.read.duty.to("1").u)

    @cached_property
    def asks(self) -> Asks:
        """What the drive asks for: the command; the wire shows only whether it arrives."""
        commanded = self.read.commanded_duty.to("1") if self.read.commanded_duty else self.share
        return asks(self.valve, commanded.value if commanded else None, self.usual, commanded.u if commanded else 0.0)

    @cached_property
    def current(self) -> Current:
        """The coil's current against the expected one."""
        if self.read.current is None or self.read.expected_current is None:
            return Current.UNKNOWN
        found, due = self.read.current.to("A"), self.read.expected_current.to("A")
        return current_state(self.valve, found.value, due.value, hypot(found.u, due.u), self.tolerance.number("1") * due.value)

    @property
    def no_current(self) -> bool:
        """Whether a current is due and none flows."""
        found, due = self.read.current, self.read.expected_current
        return bool(found and due and found.number("A") < NONE_FLOWS * due.number("A"))

    @property
    def puzzling(self) -> bool:
        """Whether the duty fits the other polarity, or other readings contradict it."""
        return self.drive is not None and self.drive.how in ("contradicted", "complement")

    def find_asks(self) -> Iterator[Message]:
        """What is still to be found out before it is known what this valve's drive asks for."""
        if self.asks is Asks.UNDECIDED:
            yield Message("read the duty of the {valve} more closely: it lies at an end of what is usual", valve=self.name())
        if self.asks is not Asks.UNKNOWN:
            return
        if not (self.read.duty or self.read.commanded_duty):
            yield Message("read the duty of the {valve}: on its switched wire, or what live data ask of it", valve=self.name())
        if self.drive and self.drive.share is None:
            yield tests.POLARITY
        if not self.read.usual_duty:
            yield Message(
                "find the usual duty of the {valve} for this running condition in the maker's data", valve=self.name()
            )

    def find_current(self) -> Iterator[Message]:
        """What is still to be found out before it is known whether this coil obeys."""
        measured, expected = self.read.current, self.read.expected_current
        if self.current is Current.UNDECIDED and measured and expected:
            yield from tests.finer_current(self.name(), measured, expected, self.tolerance)
        if measured is None:
            yield Message(
                "measure the current of the {valve} with a clamp round one wire, fitted with the key off", valve=self.name()
            )
        if expected is None:
            yield Message("find the current that its drive should give the {valve} (calculator coil)", valve=self.name())

    def findings(self) -> Iterator[Finding]:
        """What the readings at this valve say by themselves, the pressure left aside."""
        wire, part = joined(tests.WIRE), f"{self.valve.place} valve"
        if self.wire_fault:
            yield Finding("", "control", self.said(self.wire_fault), "indicated", wire, part=part)
        if self.no_current:
            yield Finding("", "control", self.said(NO_CURRENT), "indicated", wire, part=part)
        if self.drive and self.puzzling:
            yield Finding("", "control", self.said(self.drive.words), "undecided", tests.SCOPE, part=part)

    def _turned(self, share: float, usual: Ends) -> Problem:
        why = f"fits what the meter shows ({self.read.duty}) and not the share of time on ({percent(share):g} %)"
        low, high = (None if end is None else 1 - end for end in (usual[1], usual[0]))
        ends = [f"{word} {percent(end):g} %" for word, end in (("from", low), ("up to", high)) if end is not None]
        hint = (
            f"give the usual share of time on, here {' '.join(ends)}; if the range is that share already, look again which "
            "part of the period the meter counts (meter_counts)"
        )
        return Problem(f"{self.valve.place}_usual_duty", str(self.read.usual_duty), why, hint)
