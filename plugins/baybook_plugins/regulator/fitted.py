"""One fitted valve with what was read at it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot
from typing import Any

from baybook.api import Estimate, Finding, Reading

from .duty import Clue, Counts, Drive, settle
from .model import Switched, Valve, drive_from_voltage
from .pointing import COIL, SCOPE, WIRE, Asks, Current, Span, asks, current_state
from .wording import NO_CURRENT_WORDS, wire_fault

# Below this share of the expected current none is flowing, meter zero aside. common practice, no source
NO_CURRENT = 0.03


@dataclass(frozen=True)
class Fitted:
    """A valve, its drive as settled from the readings (None without a duty), what it asks for, and its current.

    wire_fault: what is wrong with the switched wire's voltage, "" for nothing; no_current: a current is due and none flows.
    """

    valve: Valve
    drive: Drive | None
    drive_u: float
    wire_fault: str
    no_current: bool
    asks: Asks
    current: Current

    @classmethod
    def of(
        cls,
        valve: Valve,
        switched: Switched,
        counts: Counts,
        given: Mapping[str, Any],
        supply: Reading | None,
        tolerance: float,
    ) -> Fitted:
        """From what was given under the place's name: duty, usual and commanded duty, current, expected current, wire voltage.

        tolerance: of the current, as a share of the expected one.
        """
        mine = {name.partition("_")[2]: value for name, value in given.items() if name.startswith(valve.place)}
        duty, commanded, usual = (
            mine[name].to("1") if mine[name] else None for name in ("duty", "commanded_duty", "usual_duty")
        )
        wire = _wire_clue(mine["wire_voltage"], supply, switched)
        due = commanded or duty
        fault = wire_fault(switched, wire.drive, due.value) if wire and due else ""
        clues = [Clue("the duty asked for in live data", commanded.value, commanded.u)] if commanded else []
        if wire and not fault:
            clues.append(wire)
        drive = settle(duty.value, duty.u, counts, switched, clues) if duty else None
        # what is asked for is the command; the wire shows only whether it arrives
        asked_share = commanded.value if commanded else (drive.share if drive else None)
        return cls(
            valve, drive, duty.u if duty else 0.0, fault, _none_flows(mine["current"], mine["expected_current"]),
            asks(valve, asked_share, Span(usual.low, usual.high) if usual else None),
            _current(valve, mine["current"], mine["expected_current"], tolerance),
        )  # fmt: skip

    @property
    def puzzling(self) -> bool:
        """Whether the duty fits the other polarity, or other readings contradict it."""
        return self.drive is not None and self.drive.how in ("contradicted", "complement")

    def words(self) -> str:
        """What is known of the drive."""
        return f"{self.valve.place.capitalize()} valve: {self.drive.words if self.drive else 'no duty was read.'}"

    def share(self) -> Estimate | None:
        """The share of time on with its uncertainty, where it is settled."""
        if self.drive is None or self.drive.share is None:
            return None
        return Estimate.of(self.drive.share, "1", self.drive_u)


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
    name, found = f"{fitted.valve.place.capitalize()} valve", []
    if fitted.wire_fault:
        found.append(Finding("generation", "control", f"{name}: {fitted.wire_fault}", "indicated", WIRE))
    if fitted.no_current:
        found.append(Finding("generation", "control", f"{name}: {NO_CURRENT_WORDS}", "indicated", COIL))
    if fitted.puzzling:
        found.append(Finding("generation", "control", fitted.words(), "undecided", SCOPE))
    return found
