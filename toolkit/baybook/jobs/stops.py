"""What a job says has to be done before anything else, for the cards that are filled from it."""

from __future__ import annotations

from ..cards.data import Stop
from .evaluation import work_out
from .sheet import Sheet

CORE = "baybook"


def stops_of(sheet: Sheet) -> tuple[Stop, ...]:
    """What comes before any further test in this job, because hands or engine are in danger; each once."""
    outcome = work_out(sheet)
    packages = {worked.step.number: worked.calculator.package for worked in outcome.steps if worked.calculator}
    found: dict[str, Stop] = {}
    for halted in outcome.found.halts:
        found.setdefault(halted.halt.first, Stop(halted.halt.first, halted.step, packages.get(halted.step, CORE)))
    return tuple(found.values())
