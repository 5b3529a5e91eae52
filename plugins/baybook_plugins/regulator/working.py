"""Checks across inputs, outputs of a valve, findings and steps: what the declaration calls on."""

from __future__ import annotations

from math import hypot
from typing import Literal

from baybook.api import (
    Estimate,
    Finding,
    InputError,
    Problem,
    Reading,
    Step,
    propagate,
)

from . import next_tests as tests
from .fitted import Fitted, Read
from .model import Place, Switched, mean_voltage
from .pointing import INDICATES, Picture, Pointer, together_asks, together_current
from .statements import DOES_ITS_PART, SENSOR_NOT_JUDGED, SENSOR_OPEN, STAGE_OPEN
from .states import Asks, Current, pressure_state
from .wording import (
    effect,
    full_pressure,
    loss,
    wire_at_full_pressure,
)


def check_given(
    reads: dict[Place, Read], places: list[Place], pressure: Reading | None, target: Reading | None, supply: Reading | None
) -> None:
    """Raise InputError, with a line for each, when what was given does not go together."""
    problems = [
        Problem(f"{place}_{name}", str(value), "belongs to a valve that is not fitted", "leave it out, or give where as both")
        for place, read in reads.items()
        for name, value in read._asdict().items()
        if value is not None and place not in places
    ]
    if (pressure is None) != (target is None):
        missing = "target" if target is None else "pressure"
        problems.append(Problem(missing, None, "is missing", "pressure says something only against its target; give both"))
    if supply is None and any(read.wire_voltage for read in reads.values()):
        problems.append(Problem("supply", None, "is missing", "give it with the wire's voltage, such as 14 V"))
    if problems:
        raise InputError(problems)


def valve_outputs(fitted: Fitted, switched: Switched, supply: Reading | None) -> dict[str, Estimate | str]:
    """What one valve does and what its readings are."""
    valve, place = fitted.valve, fitted.valve.place
    found: dict[str, Estimate | str] = {}
    if fitted.asks is not Asks.UNKNOWN:
        found[f"{place}_asks"] = fitted.asks.value
    if fitted.current is not Current.UNKNOWN:
        found[f"{place}_current_state"] = fitted.current.value
    share = fitted.share()
    if share:
        found[f"{place}_drive"] = Estimate.of(100 * share.value, "%", 100 * share.u)
    if share and supply:
        found[f"{place}_mean_voltage"] = propagate(
            lambda drive, volts: {"u": mean_voltage(drive, volts, switched)}, {"u": "V"}, drive=share, volts=supply.to("V")
        )["u"]
    return found | {
        f"{place}_effect": effect(valve),
        f"{place}_full_pressure": full_pressure(valve),
        f"{place}_wire_at_full_pressure": wire_at_full_pressure(valve, switched, supply.number("V") if supply else None),
        f"{place}_loss_of_current": loss(valve),
    }


def picture(
    fitted: list[Fitted], pressure: Reading, target: Reading, tolerance: Reading, bleed: bool, sensor_checked: bool
) -> Picture:
    """All that was read, put together. tolerance: of the pressure, as a share of the target."""
    shown, due = pressure.to("bar"), target.to("bar")
    state = pressure_state(shown.value, hypot(shown.u, due.u), due.value, tolerance.number("1") * due.value)
    current = together_current([each.current for each in fitted], state)
    return Picture(
        [each.valve for each in fitted], state, together_asks([each.asks for each in fitted]), current, bleed, sensor_checked,
        whose=", ".join(each.name for each in fitted if each.current is current),
        find_asks=tuple(dict.fromkeys(test for each in fitted for test in each.find_asks())),
        find_current=tuple(dict.fromkeys(test for each in fitted for test in each.find_current())),
        current_flows=not any(each.no_current for each in fitted),
    )  # fmt: skip


def pointed(pointer: Pointer, seen: Picture) -> list[Finding]:
    """The pointer as findings, no stronger than it is; where the control does its part, that is a finding of its own.

    Hydraulic with the stage open stands as undecided: any of the four stages may be at its root.
    """
    next_test = tests.joined(pointer.test_next)
    if pointer.sensor_open:
        return [
            Finding("storage", "control", SENSOR_OPEN, "undecided", tests.SENSOR),
            Finding("generation", "hydraulic", pointer.statement, "undecided", next_test),
        ]
    strength: Literal["indicated", "undecided"] = (
        "indicated" if pointer.strength == INDICATES and not pointer.stage_open else "undecided"
    )
    side: Literal["hydraulic", "control"] = "hydraulic" if pointer.side == "hydraulic" else "control"
    statement = f"{pointer.statement} {STAGE_OPEN}" if pointer.stage_open else pointer.statement
    found = [Finding("generation", side, statement, strength, next_test)]
    if pointer.control_does_its_part:
        found.append(Finding("generation", "control", _cleared(seen), "cleared"))
    return found


def _cleared(seen: Picture) -> str:
    said = DOES_ITS_PART.format(seen.asked)
    return said if seen.sensor_checked else f"{said} {SENSOR_NOT_JUDGED}"


def voltage_steps(
    fitted: list[Fitted], outputs: dict[str, Estimate | str], switched: Switched, supply: Reading | None
) -> tuple[Step, ...]:
    """The mean voltage on each switched wire, worked out."""
    formula = "U_w = U · (1 - D)" if switched is Switched.GROUND else "U_w = U · D"
    worked = []
    for each in fitted:
        found, share = outputs.get(f"{each.valve.place}_mean_voltage"), each.share()
        if found and share and supply:
            worked.append(
                Step(f"{each.valve.place} valve's switched wire", formula, {"U": supply, "D": f"{share.value:.3g}"}, found)
            )
    return tuple(worked)
