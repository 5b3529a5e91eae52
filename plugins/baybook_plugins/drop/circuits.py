"""Whose circuit it is: its stage, how it is called, and what the readings say of its places. Common practice, no source."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from baybook.api import Answer, Message, Question, Sense, Verdict

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


ALONG = Question(
    {"{object} wiring": 0.85}, MEASURED, ("{object} wiring",), measures="wiring voltage drop",
    brings={"current of {object}": "current_change"},
)  # fmt: skip
SENSE = Sense(
    {
        "drop_at_work": ALONG,
        "section_drop": ALONG,
        "path": Question({"{object} wiring": 0.7, "{object} driver": 0.6, "injector driver": 0.2}, MEASURED),
        "insulation": Question({"{object} wiring": 0.5, "{object} coil": 0.5}, MEASURED),
        "driver_drop": Question({"{object} driver": 0.85}, MEASURED, ("{object} driver",)),
        "injectors' driver": Question({"injector driver": 0.85}, MEASURED, ("injector driver",)),
        "unit's supply": Question({"control unit": 0.6}, MEASURED, ("control unit",), measures="control unit supply"),
    },
    12.0,
    hands="live wiring",
    turning=True,
    objects={
        "injector *": {"part": "injector", "number": "{n}"},
        **{part.replace("-", " "): {"part": part} for part in PARTS if part != "injector"},
    },
)


def answers(part: str, verdicts: Iterable[Verdict]) -> Iterator[Answer]:
    """To the questions of places that do not bear the circuit's name: the injectors' common driver, the control unit."""
    for verdict in verdicts:
        if verdict.probability is not None and part == "injector" and verdict.what == "driver_drop":
            yield Answer("injectors' driver", verdict.probability)
        elif verdict.probability is not None and part == "control-unit" and verdict.what in ("drop_at_work", "section_drop"):
            yield Answer("unit's supply", verdict.probability)
