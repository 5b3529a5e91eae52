"""The cautions of a test that is to be made."""

from __future__ import annotations

from ..cautions import FLAMMABLE, HIGH_PRESSURE, HIGH_VOLTAGE, MAKERS_DATA, RUNNING_ENGINE, Caution
from ..places.choice import NextTest
from .offered import offered_tests


def cautions_of(test: NextTest) -> tuple[Caution, ...]:
    """Those of its calculator; of a test that has none yet, the usual ones."""
    if test.test in offered_tests():
        return tuple(offered_tests()[test.test].calculator.cautions)
    live = (HIGH_VOLTAGE,) if test.hands == "live wiring" else ()
    return HIGH_PRESSURE, *live, RUNNING_ENGINE, FLAMMABLE, MAKERS_DATA
