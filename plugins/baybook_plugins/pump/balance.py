"""What a pump sweeps and gives, and what is taken, with every error; flows as cylinders at low pressure measure them."""

from __future__ import annotations

from typing import Any

from baybook.api import Estimate, Reading, find_fuel, propagate
from baybook_physics import pump as physics

AMBIENT = 0.101325
"""MPa, absolute."""


def per_turn(
    displacement: Reading | None, elements: int | None, bore: Reading | None, stroke: Reading | None, lifts: int, off: int
) -> Estimate | None:
    """What the elements at work sweep in a turn of the pump, cm3."""
    share = 1.0 if elements is None else (elements - off) / elements
    if displacement is not None:
        return propagate(lambda v: {"v": v * share}, {"v": "cm3/rev"}, v=displacement.to("cm3/rev"))["v"]
    if elements is None or bore is None or stroke is None:
        return None
    return propagate(
        lambda d, h: {"v": physics.displacement(elements - off, d, h, lifts)}, {"v": "cm3/rev"}, d=bore.to("mm"),
        h=stroke.to("mm"),
    )["v"]  # fmt: skip


def compressed(fuel: str, pressure: Reading, temperature: Reading, dead: Reading | None) -> dict[str, Estimate]:
    """Compression from ambient to the rail, with the modulus' own error, and what it leaves of a dead volume."""
    model = find_fuel(fuel)
    where = temperature.number("°C"), AMBIENT + pressure.number("MPa")
    error = Estimate.of(1.0, "", model.relative_uncertainty("isothermal_modulus", where[0], (AMBIENT + where[1]) / 2))

    def compression(p: float, t: float, k: float) -> dict[str, float]:
        return {"compression": (model.density(t, AMBIENT + p) / model.density(t, AMBIENT)) ** k}

    found = propagate(compression, {"compression": "1"}, p=pressure.to("MPa"), t=temperature.to("°C"), k=error)
    if dead is not None:
        found |= propagate(
            lambda e, c: {"compression_efficiency": physics.by_inlet(e, c), "compression_at_rail": physics.by_outlet(e, c)},
            {"compression_efficiency": "1", "compression_at_rail": "1"}, e=dead.to("1"), c=found["compression"],
        )  # fmt: skip
    return found


def sound_pump(counted: str) -> Any:
    """What a sound pump gives, at low pressure: an efficiency counted in rail volume is brought there by compression."""
    return lambda v, n, i, eta, c: physics.delivery(v, n * i, eta) * (c if counted == "outlet" else 1.0)


def given(turns: dict[str, Any], efficiency: Reading, counted: str, squeezed: Estimate | None) -> dict[str, Estimate]:
    """What a sound pump gives, at both states where compression is known."""
    inputs = {**turns, "eta": efficiency.to("1"), "c": squeezed or Estimate.of(1.0, "")}
    sound = sound_pump(counted)
    found = propagate(
        lambda **k: {"delivery": sound(**k), "delivery_at_rail": sound(**k) / k["c"]},
        {"delivery": "mL/min", "delivery_at_rail": "mL/min"}, **inputs,
    )  # fmt: skip
    return found if squeezed is not None else {"delivery": found["delivery"]}


def balanced(
    turns: dict[str, Any], efficiency: Reading, counted: str, squeezed: Estimate | None, flows: tuple[Any, ...]
) -> dict[str, Estimate]:
    """What is taken, against what a sound pump gives and against what is swept."""
    inputs = {**turns, "eta": efficiency.to("1"), "c": squeezed or Estimate.of(1.0, ""), "flows": flows}
    sound = sound_pump(counted)

    def balance(v: float, n: float, i: float, eta: float, c: float, flows: tuple[float, ...]) -> dict[str, float]:
        taken = sum(flows)
        came = taken / physics.delivery(v, n * i, 1.0)
        return {
            "taken": taken, "surplus": sound(v, n, i, eta, c) - taken, "efficiency_found": came, "efficiency_at_rail": came / c,
        }  # fmt: skip

    names = {"taken": "mL/min", "surplus": "mL/min", "efficiency_found": "1", "efficiency_at_rail": "1"}
    found = propagate(balance, names, **inputs)
    return {name: one for name, one in found.items() if squeezed is not None or name != "efficiency_at_rail"}
