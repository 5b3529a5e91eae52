"""Whose circuit it is: its stage, how it is called, and what the readings say of its places. Common practice, no source."""

from __future__ import annotations

from collections.abc import Mapping

from baybook.api import Message, Question, Sense, Senses

PARTS: Mapping[str, str] = {
    "injector": "an injector's",
    "inlet-valve": "the inlet pressure-control valve's",
    "outlet-valve": "the outlet pressure-control valve's",
    "rail-sensor": "the rail pressure sensor's",
    "tank-pump": "the electric pump's in the tank",
    "intermediate-pump": "the electric pump's in the line",
    "control-unit": "supply and ground of the control unit",
}
STAGE: Mapping[str, str] = {
    "injector": "delivery", "inlet-valve": "generation", "outlet-valve": "generation", "rail-sensor": "storage",
    "tank-pump": "supply", "intermediate-pump": "supply", "control-unit": "generation",
}  # fmt: skip
CALLED: Mapping[str, Message] = {
    "injector": Message("Injector"),
    "inlet-valve": Message("Inlet valve"),
    "outlet-valve": Message("Outlet valve"),
    "rail-sensor": Message("Rail sensor"),
    "tank-pump": Message("Tank pump"),
    "intermediate-pump": Message("Intermediate pump"),
    "control-unit": Message("Control unit"),
}
MEASURED = 0.01
"""False alarm rate of what is measured at the place itself."""


def _sense(wiring: str, driver: str, objects: Mapping[str, Mapping[str, str]]) -> Sense:
    """What each reading says of the wiring, and of the output stage that drives it."""
    along = Question({wiring: 0.85}, MEASURED, (wiring,))
    return Sense(
        {
            "drop_at_work": along,
            "section_drop": along,
            "path": Question({wiring: 0.7, driver: 0.6}, MEASURED),
            "insulation": Question({wiring: 0.5, "{object} coil": 0.5} if "{" in wiring else {wiring: 0.5}, MEASURED),
            "driver_drop": Question({driver: 0.85}, MEASURED, (driver,)),
        },
        12.0, hands="live wiring", objects=objects,
    )  # fmt: skip


WIRED = {part.replace("-", " "): {"part": part} for part in PARTS if part not in ("injector", "control-unit")}
SENSES = Senses(
    "part",
    {
        "injector": _sense("{object} wiring", "injector driver", {"injector *": {"part": "injector", "number": "{n}"}}),
        "control-unit": _sense("control unit", "control unit", {"control unit": {"part": "control-unit"}}),
    },
    _sense("{object} wiring", "{object} driver", WIRED),
)
