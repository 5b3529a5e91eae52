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
    if displacement is not None:
        share = 1.0 if elements is None else (elements - off) / elements
        return propagate(lambda v: v * share, "cm3/rev", v=displacement.to("cm3/rev"))
    if elements is None or bore is None or stroke is None:
        return None
    at_work = {"d": bore.to("mm"), "h": stroke.to("mm")}
    return propagate(lambda d, h: physics.displacement(elements - off, d, h, lifts), "cm3/rev", **at_work)


def compressed(fuel: str, pressure: Reading, temperature: Reading, dead: Reading | None) -> dict[str, Estimate]:
    """Compression from ambient to the rail, with the modulus' own error, and what it leaves of a dead volume."""
    model = find_fuel(fuel)
    where = temperature.number("°C"), AMBIENT + pressure.number("MPa")
    error = Estimate.of(1.0, "", model.relative_uncertainty("isothermal_modulus", where[0], (AMBIENT + where[1]) / 2))

    def compression(p: float, t: float, k: float) -> float:
        return float((model.density(t, AMBIENT + p) / model.density(t, AMBIENT)) ** k)

    squeezed = propagate(compression, "1", p=pressure.to("MPa"), t=temperature.to("°C"), k=error)
    if dead is None:
        return {"compression": squeezed}
    of_dead: dict[str, Any] = {"dead": dead.to("1"), "compression": squeezed}
    return {
        "compression": squeezed,
        "compression_efficiency": propagate(physics.by_inlet, "1", **of_dead),
        "compression_at_rail": propagate(physics.by_outlet, "1", **of_dead),
    }


def balanced(
    turns: dict[str, Any], efficiency: Reading, counted: str, squeezed: Estimate | None, flows: tuple[Any, ...]
) -> dict[str, Estimate]:
    """What a sound pump gives, at both states where compression is known, and what is taken of it where that is.

    turns: `swept`, `speed` of the engine and `ratio` of its drive.
    """
    units = {"delivery": "mL/min", **({"taken": "mL/min", "surplus": "mL/min", "efficiency_found": "1"} if flows else {})}
    if squeezed is not None:
        units |= {"delivery_at_rail": "mL/min", **({"efficiency_at_rail": "1"} if flows else {})}

    def balance(swept: float, speed: float, ratio: float, eta: float, c: float, flows: tuple[float, ...]) -> dict[str, float]:
        return physics.balance(swept, speed * ratio, eta, c, flows, in_rail_volume=counted == "outlet")

    return propagate(balance, units, **turns, eta=efficiency.to("1"), c=squeezed or Estimate.of(1.0, ""), flows=flows)
