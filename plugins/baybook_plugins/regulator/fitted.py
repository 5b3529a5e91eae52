"""One fitted valve with what was read at it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot
from typing import NamedTuple

from baybook.api import Estimate, Finding, InputError, Problem, Reading, SpecRange

from . import next_tests as tests
from .duty import Clue, Counts, Drive, fits_usual_the_other_way, percent, settle
from .model import Switched, Valve, drive_from_voltage
from .statements import name
from .states import Asks, Current, Span, asks, current_state
from .wording import NO_CURRENT_WORDS, wire_fault

# Below this share of the expected current none is flowing, meter zero aside. common practice, no source
NO_CURRENT = 0.03


class Read(NamedTuple):
    """What was read at one valve, or is known of it; None where it was not."""

    duty: Reading | None = None
    usual_duty: SpecRange | None = None
    commanded_duty: Reading | None = None
    current: Reading | None = None
    expected_current: Reading | None = None
    wire_voltage: Reading | None = None


@dataclass(frozen=True)
class Fitted:
    """A valve, its drive as settled from the readings (None without a duty), what it asks for, and its current.

    wire_fault: what is wrong with the switched wire's voltage, "" for nothing; no_current: a current is due and none flows.
    """

    valve: Valve
    read: Read
    drive: Drive | None
    drive_u: float
    wire_fault: str
    no_current: bool
    asks: Asks
    current: Current
    tolerance: Reading

    @classmethod
    def of(
        cls, valve: Valve, switched: Switched, counts: Counts, read: Read, supply: Reading | None, tolerance: Reading
    ) -> Fitted:
        """From what was read at the valve.

        tolerance: of the current, as a share of the expected one. Raises InputError where the usual duty is given in the
        other polarity.
        """
        duty, commanded = (item.to("1") if item else None for item in (read.duty, read.commanded_duty))
        usual = read.usual_duty.to("1") if read.usual_duty else None
        wire = _wire_clue(read.wire_voltage, supply, switched)
        due = commanded or duty
        fault = wire_fault(switched, wire.drive, due.value) if wire and due else ""
        clues = [Clue("the duty asked for in live data", commanded.value, commanded.u)] if commanded else []
        if wire and not fault:
            clues.append(wire)
        drive = settle(duty.value, duty.u, counts, switched, clues) if duty else None
        span = Span(usual.low, usual.high) if usual else None
        if duty and drive and span and fits_usual_the_other_way(duty.value, drive.share, span):
            raise InputError([_turned(valve, read, drive.share or 0.0, span)])
        # what is asked for is the command; the wire shows only whether it arrives
        share, u = (commanded.value, commanded.u) if commanded else (drive.share if drive else None, duty.u if duty else 0.0)
        return cls(
            valve, read, drive, duty.u if duty else 0.0, fault, _none_flows(read.current, read.expected_current),
            asks(valve, share, span, u), _current(valve, read.current, read.expected_current, tolerance.number("1")), tolerance,
        )  # fmt: skip

    @property
    def name(self) -> str:
        """Which valve it is."""
        return name(self.valve)

    @property
    def puzzling(self) -> bool:
        """Whether the duty fits the other polarity, or other readings contradict it."""
        return self.drive is not None and self.drive.how in ("contradicted", "complement")

    def words(self) -> str:
        """What is known of the drive."""
        return f"{self.name.capitalize()}: {self.drive.words if self.drive else 'no duty was read.'}"

    def share(self) -> Estimate | None:
        """The share of time on with its uncertainty, where it is settled."""
        if self.drive is None or self.drive.share is None:
            return None
        return Estimate.of(self.drive.share, "1", self.drive_u)

    def find_asks(self) -> Sequence[str]:
        """What is still to be found out before it is known what this valve's drive asks for."""
        if self.asks is Asks.UNDECIDED:
            return (tests.FINER_DUTY.format(self.name),)
        if self.asks is not Asks.UNKNOWN:
            return ()
        lacking = []
        if not (self.read.duty or self.read.commanded_duty):
            lacking.append(tests.READ_DUTY.format(self.name))
        if self.drive and self.drive.share is None:
            lacking.append(tests.POLARITY)
        if not self.read.usual_duty:
            lacking.append(tests.USUAL_DUTY.format(self.name))
        return lacking

    def find_current(self) -> Sequence[str]:
        """What is still to be found out before it is known whether this coil obeys."""
        measured, expected = self.read.current, self.read.expected_current
        if self.current is Current.UNDECIDED and measured and expected:
            return tests.finer_current(self.name, measured, expected, self.tolerance)
        measure = () if self.read.current else (tests.MEASURE_CURRENT.format(self.name),)
        return (*measure, *(() if self.read.expected_current else (tests.EXPECTED_CURRENT.format(self.name),)))


def _turned(valve: Valve, read: Read, share: float, span: Span) -> Problem:
    given = f"{valve.place}_usual_duty"
    why = f"fits what the meter shows ({read.duty}) and not the share of time on ({percent(share)})"
    low, high = (None if end is None else 1 - end for end in (span.high, span.low))
    ends = [f"{word} {percent(end)}" for word, end in (("from", low), ("up to", high)) if end is not None]
    would_do = (
        f"give the usual share of time on, here {' '.join(ends)}; if the range is that share already, "
        f"look again which part of the period the meter counts (meter_counts)"
    )
    return Problem(given, str(read.usual_duty), why, would_do)


def _wire_clue(voltage: Reading | None, supply: Reading | None, switched: Switched) -> Clue | None:
    if voltage is None or supply is None:
        return None
    volts, whole = voltage.to("V"), supply.to("V")
    share = drive_from_voltage(volts.value, whole.value, switched)
    u = hypot(volts.u, volts.value / whole.value * whole.u) / whole.value
    return Clue("the mean voltage of the switched wire", min(max(share, 0.0), 1.0), u)


def _none_flows(measured: Reading | None, expected: Reading | None) -> bool:
    return bool(measured and expected and measured.number("A") < NO_CURRENT * expected.number("A"))


def _current(valve: Valve, measured: Reading | None, expected: Reading | None, tolerance: float) -> Current:
    if measured is None or expected is None:
        return Current.UNKNOWN
    found, due = measured.to("A"), expected.to("A")
    return current_state(valve, found.value, due.value, hypot(found.u, due.u), tolerance * due.value)


def findings(fitted: Fitted) -> list[Finding]:
    """What the readings at one valve say by themselves, the pressure left aside."""
    which, found = fitted.name.capitalize(), []
    if fitted.wire_fault:
        found.append(Finding("generation", "control", f"{which}: {fitted.wire_fault}", "indicated", tests.joined(tests.WIRE)))
    if fitted.no_current:
        found.append(Finding("generation", "control", f"{which}: {NO_CURRENT_WORDS}", "indicated", tests.joined(tests.WIRE)))
    if fitted.puzzling:
        found.append(Finding("generation", "control", fitted.words(), "undecided", tests.SCOPE))
    return found
