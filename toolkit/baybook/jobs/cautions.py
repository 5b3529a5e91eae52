"""The cautions of a test that is to be made."""

from __future__ import annotations

from ..cautions import FLAMMABLE, HIGH_PRESSURE, HIGH_VOLTAGE, MAKERS_DATA, RUNNING_ENGINE, Caution
from ..places import NextTest
from ..registry import registry


def cautions_of(test: NextTest) -> tuple[Caution, ...]:
    """Those of its calculator; of a test that has none yet, the usual ones."""
    if test.test in {listed.name for listed in registry().listed()}:
        return tuple(registry().calculator(test.test).cautions)
    live = (HIGH_VOLTAGE,) if test.hands == "live wiring" else ()
    return HIGH_PRESSURE, *live, RUNNING_ENGINE, FLAMMABLE, MAKERS_DATA
