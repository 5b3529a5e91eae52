"""A vehicle of the invented workshop, and its tests as evidence."""

from __future__ import annotations

import pytest

from baybook.jobs.offered import senses
from baybook.places.conclusion import Conclusion
from baybook.places.evidence import Evidence
from baybook.places.hypotheses import Belief
from baybook.places.system import SystemMap

SENSES = senses()
HOLD, RETURNS, COIL, REGULATOR = (SENSES[name] for name in ("hold", "returns", "coil", "regulator"))
BAD, GOOD = 0.001, 0.999
VAN = {
    "low_pressure": ["tank pump"], "filter": True, "inlet_valve": True, "outlet_valve": "rail", "injector_bleed": False,
    "pump_elements": 3, "injectors": 4, "returns": "separate", "open_at_rest": [],
}  # fmt: skip


@pytest.fixture
def van() -> SystemMap:
    return SystemMap.from_table(VAN)


def hold(step: int, conforms: float, **answers: bool) -> Evidence:
    return Evidence(step, "hold", conforms, HOLD, answers=answers)


def returns(step: int, *bad: int, of: int = 4) -> list[Evidence]:
    """All injectors' returns, collected at rail pressure in one go."""
    return [
        Evidence(step, "returns", BAD if n in bad else GOOD, RETURNS, object=f"injector {n}", answers={"pressure": True},
                 shares=frozenset({f"collection {step}"}))
        for n in range(1, of + 1)
    ]  # fmt: skip


def coil(step: int, on: str, conforms: float) -> Evidence:
    return Evidence(step, "coil", conforms, COIL, next(iter(COIL.questions)), on)


def regulator(step: int, on: str = "inlet valve", *bad: str) -> list[Evidence]:
    """The regulator's four questions, the named ones bad."""
    return [
        Evidence(step, "regulator", BAD if word in bad else GOOD, REGULATOR, word, on)
        for word in ("low", "high", "control", "current")
    ]


def reading(step: int, what: str, conforms: float, word: str = "", on: str = "", **answers: bool) -> Evidence:
    return Evidence(step, what, conforms, SENSES[what], word, on, answers=answers)


def believing(chances: dict[tuple[str, ...], float], found: Conclusion) -> Conclusion:
    """A conclusion in which just this is believed at the end: by the names of the places at fault, () for no fault."""
    every = found.history.hypotheses
    weights = [chances.get(tuple(sorted(every.members(at))), 0.0) for at in range(len(every.sets))]
    assert sum(weights) == pytest.approx(1.0)
    vars(found.history.epochs[-1])["end"] = Belief(every, tuple(weights))
    return found
