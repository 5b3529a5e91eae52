"""Checks across inputs, outputs of a valve, findings and steps: what the declaration calls on."""

from __future__ import annotations

from typing import Any

from baybook.api import (
    Estimate,
    Finding,
    InputError,
    Problem,
    Reading,
    Step,
    propagate,
)

from .fitted import Fitted
from .model import Place, Switched, mean_voltage
from .pointing import Asks, Current, Pointer, Pressure
from .wording import (
    STAGE_OPEN,
    effect,
    full_pressure,
    loss,
    wire_at_full_pressure,
)


def check_given(
    given: dict[str, Any], places: list[Place], pressure: Reading | None, target: Reading | None, supply: Reading | None
) -> None:
    """Raise InputError, with a line for each, when what was given does not go together."""
    problems = []
    for name, value in given.items():
        if value is not None and name.partition("_")[0] not in places:
            problems.append(
                Problem(name, str(value), "belongs to a valve that is not fitted", "leave it out, or give where as both")
            )
    if (pressure is None) != (target is None):
        missing = "target" if target is None else "pressure"
        problems.append(Problem(missing, None, "is missing", "pressure says something only against its target; give both"))
    if supply is None and any(given[name] for name in given if name.endswith("_wire_voltage")):
        problems.append(Problem("supply", None, "is missing", "give it with the wire's voltage, such as 14 V"))
    if problems:
        raise InputError(problems)


def valve_outputs(fitted: Fitted, switched: Switched, supply: Reading | None) -> dict[str, Estimate | str]:
    """What one valve does and what its readings are."""
    valve, place = fitted.valve, fitted.valve.place
    found: dict[str, Estimate | str] = {
        f"{place}_effect": effect(valve),
        f"{place}_full_pressure": full_pressure(valve),
        f"{place}_wire_at_full_pressure": wire_at_full_pressure(valve, switched, supply.number("V") if supply else None),
        f"{place}_loss_of_current": loss(valve),
    }
    share = fitted.share()
    if share:
        found[f"{place}_drive"] = Estimate.of(100 * share.value, "%", 100 * share.u)
    if share and supply:
        found[f"{place}_mean_voltage"] = propagate(
            lambda drive, volts: {"u": mean_voltage(drive, volts, switched)}, {"u": "V"}, drive=share, volts=supply.to("V")
        )["u"]
    if fitted.asks is not Asks.UNKNOWN:
        found[f"{place}_asks"] = fitted.asks.value
    if fitted.current is not Current.UNKNOWN:
        found[f"{place}_current_state"] = fitted.current.value
    return found


def pointed(pointer: Pointer, state: Pressure, asked: Asks) -> list[Finding]:
    """The pointer as findings; where the control does its part, that is a finding of its own."""
    tests = "; ".join(pointer.test_next)
    if pointer.side is None:
        return [Finding("generation", "control", pointer.statement, "undecided", tests)]
    if pointer.side == "control":
        return [Finding("generation", "control", pointer.statement, "indicated", tests)]
    found = [Finding("generation", "hydraulic", f"{pointer.statement} {STAGE_OPEN}", "indicated", tests)]
    if pointer.control_does_its_part:
        words = (
            f"Pressure is {state}, the drive asks for {asked} and the coil gets its current: drive and coil do their part."
        )
        found.append(Finding("generation", "control", words, "cleared", ""))
    return found


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
