"""What a worked-out step says about the places of the vehicle: its verdicts and words as evidence.

The one place where the calculators' inputs and outputs are read as evidence, by their names, until a calculator declares its
sense itself. A calculator that is not here takes no part in the odds; its findings say stage and side.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from math import erf, hypot, sqrt
from typing import Any, TypeAlias

from ..declare import Calculator
from ..places import Evidence, Sense
from ..places.practice import COIL, HOLD, REGULATOR, RETURNS
from ..reading import Reading
from ..result import SURE, Result, Verdict
from .sheet import SheetStep

LOW_RAIL = 100.0
"""bar; below it returns say nothing of the injectors. common practice, no source"""
SHUT: Mapping[str, bool] = {"driven-shut": True, "shut-at-rest": True, "none": True, "open-at-rest": False}
COILS: Mapping[str, str] = {"inlet-valve": "inlet valve", "outlet-valve": "outlet valve"}
Said: TypeAlias = Iterator[Evidence]
Read: TypeAlias = Callable[[str, str], "Reading | None"]
"""An input of the step in a unit; none where it was not given."""


def evidence(step: SheetStep, calculator: Calculator, result: Result) -> tuple[Evidence, ...]:
    """The evidence of a step that was worked out; none where its calculator has no sense, or nothing was judged."""
    known = _OF.get(step.calculator)
    if known is None:
        return ()
    sense, said = known
    shares = frozenset(step.instruments)
    blank = Evidence(step.number, step.calculator, sense=sense, question=next(iter(sense.questions)))

    def read(name: str, unit: str) -> Reading | None:
        record = result.inputs.get(name)
        reading = calculator.parameter(name).field.parse(record["text"]) if record else None
        return reading.to(unit) if isinstance(reading, Reading) and not reading.bound else None

    found = said(blank, step, result, read)
    return tuple(replace(item, shares=item.shares | shares) for item in found)


def unplaced(step: SheetStep, result: Result) -> bool:
    """Whether a step judged something and does not say on which part, so that it cannot count."""
    return step.calculator == "coil" and bool(result.verdicts) and not _coil_object(step, result)


def _hold(blank: Evidence, step: SheetStep, result: Result, read: Read) -> Said:
    valve = SHUT.get(str(_value(result, "outlet_valve")))
    answers = {} if valve is None else {"shut": valve}
    files = re.findall(r"[\w .-]+\.csv", str(step.inputs.get("capture", "")))
    shares = frozenset(f"capture {name.strip()}" for name in files)
    for verdict, chance in _judged(result):
        yield replace(blank, conforms=chance, answers=answers, shares=shares, said=_told(verdict))


def _returns(blank: Evidence, step: SheetStep, result: Result, read: Read) -> Said:
    pressure = read("rail_pressure", "bar")
    answers = {} if pressure is None else {"pressure": pressure.value >= LOW_RAIL}
    for verdict, chance in _judged(result):
        named = re.match(r"injector (\d+)\b", str(verdict.what))
        number = int(named[1]) if named else verdict.index
        if number is not None:
            yield replace(blank, conforms=chance, object=f"injector {number}", answers=answers,
                          shares=frozenset({f"collection {step.number}"}), said=_told(verdict))  # fmt: skip


def _coil(blank: Evidence, step: SheetStep, result: Result, read: Read) -> Said:
    made_on = _coil_object(step, result)
    for verdict, chance in _judged(result):
        if made_on and "resistance_at_spec_temperature" in (verdict.output, verdict.what):
            yield replace(blank, conforms=chance, object=made_on, said=_told(verdict))


def _coil_object(step: SheetStep, result: Result) -> str:
    part, number = _value(result, "part"), _value(result, "number")
    own = f"injector {number}" if part == "injector" and number else COILS.get(str(part), "")
    return step.object.removesuffix(" coil") or own


def _regulator(blank: Evidence, step: SheetStep, result: Result, read: Read) -> Said:
    """Pressure against its target, whether the drives work against a wrong pressure, and what current each valve gets."""
    state = result.outputs.get("pressure_state")
    if state is not None:
        low, high = _beyond(read, "pressure", "target", "pressure_tolerance", "bar")
        yield replace(blank, question="low", conforms=1.0 - low, said=f"pressure {state}")
        yield replace(blank, question="high", conforms=1.0 - high, said=f"pressure {state}")
    for valve in ("inlet", "outlet"):
        asks = str(result.outputs.get(f"{valve}_asks", ""))
        if state in ("low", "high") and asks in ("more pressure", "less pressure"):
            right = asks == ("more pressure" if state == "low" else "less pressure")
            yield replace(blank, question="control", conforms=SURE if right else 1.0 - SURE, said=f"asks for {asks}")
        words = str(result.outputs.get(f"{valve}_current_state", ""))
        if words not in ("", "unknown"):
            off = sum(_beyond(read, f"{valve}_current", f"{valve}_expected_current", "current_tolerance", "A"))
            yield replace(blank, question="current", conforms=max(1.0 - off, 0.0), object=f"{valve} valve", said=words)


def _beyond(read: Read, measured: str, wanted: str, tolerance: str, unit: str) -> tuple[float, float]:
    """The chances that a reading's true value lies below, and above, what is wanted by more than the tolerance.

    Normal, as the calculator takes it; its tolerance is a share of what is wanted.
    """
    found, want = read(measured, unit), read(wanted, unit)
    share = read(tolerance, "1")
    if found is None or want is None or share is None:
        return 0.5, 0.5
    u, off, allowed = hypot(found.half_width, want.half_width) / 2.0, found.value - want.value, abs(want.value) * share.value
    return _below(off + allowed, u), _below(allowed - off, u)


def _below(value: float, u: float) -> float:
    """The chance that what was measured as `value` is below zero."""
    return 0.5 * (1.0 - erf(value / (u * sqrt(2.0)))) if u > 0.0 else float(value < 0.0)


def _value(result: Result, name: str) -> Any:
    return result.inputs.get(name, {}).get("value")


def _judged(result: Result) -> Iterator[tuple[Verdict, float]]:
    """The verdicts with their chance to conform; one without a chance says nothing."""
    for verdict in result.verdicts:
        if verdict.probability is not None:
            yield verdict, verdict.probability


def _told(verdict: Verdict) -> str:
    number = f" {verdict.index}" if verdict.index is not None else ""
    return f"{verdict.what}{number}: {verdict.verdict}"


_OF: Mapping[str, tuple[Sense, Callable[[Evidence, SheetStep, Result, Read], Said]]] = {
    "hold": (HOLD, _hold),
    "returns": (RETURNS, _returns),
    "coil": (COIL, _coil),
    "regulator": (REGULATOR, _regulator),
}
"""Senses by the calculator's name, with what reads its result."""
