"""Whose circuit it is: its stage, how it is called, and what the readings say of its places. Common practice, no source."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from baybook import inputs
from baybook.api import (
    NONE_FLOWS,
    SHUT_OFF,
    SHUT_OFF_BY,
    UNDRIVEN,
    Answer,
    Message,
    Question,
    Reading,
    Sense,
    Verdict,
    at_parts,
)
from baybook.dataclass import replace

PARTS = (*inputs.DRIVEN, "rail-sensor", "tank-pump", "intermediate-pump", "control-unit")
MEASURED = 0.01
"""False alarm rate of what is measured at the place itself."""
ALONG_IT = ("drop_at_work", "section_drop")
DEAD = 0.05
"""Below this share of the current at work none flows. common practice, no source."""
WHOLE, NOTHING = 0.8, 0.1
"""Of the battery's voltage: from this on it arrives across the pins, up to that it does not. common practice, no source."""
NO_CURRENT = Message("no current where one is due")
ARRIVES = Message("the voltage stands across its own pins")
OPEN_PART = Message("voltage and no current: the part itself is open")
NO_VOLTAGE = Message("no voltage across its own pins")


KIND: Mapping[str, str] = {
    "injector": "an injector", "inlet-valve": "a valve", "outlet-valve": "a valve", "rail-sensor": "the sensor",
    "tank-pump": "a pump", "intermediate-pump": "a pump", "control-unit": "the unit",
}  # fmt: skip
OPEN: Mapping[str, Mapping[str, float]] = {
    "an injector": UNDRIVEN,
    "a valve": {"{object} coil": 0.85, "{object} wiring": 0.85, "{object} driver": 0.85, "control unit": 0.2},
    "a pump": {"{object}": 0.7, "{object} wiring": 0.8},
    "the sensor": {"rail sensor": 0.6, "rail sensor wiring": 0.85, "control unit": 0.3},
    "the unit": {"control unit": 0.6},
}  # fmt: skip
"""What keeps the current from flowing, by the kind of part: the part itself, or what its voltage comes through."""
ON_ITS_WAY: Mapping[str, Mapping[str, float]] = {
    "an injector": {
        **SHUT_OFF_BY, "{object} wiring": 0.97, "injector driver": 0.95, "speed and phase sensors": 0.95, "control unit": 0.5,
    },
    "a valve": {"{object} wiring": 0.97, "{object} driver": 0.97, "control unit": 0.5},
    "a pump": {"{object} wiring": 0.97},
    "the sensor": {"rail sensor wiring": 0.97, "control unit": 0.5},
    "the unit": {"control unit": 0.6},
}  # fmt: skip
"""Of these only what lies before its pins: while no current flows, the whole voltage stands over the place that is open."""
ITSELF: Mapping[str, str] = {
    "an injector": "{object} coil", "a valve": "{object} coil", "a pump": "{object}", "the sensor": "{object}",
}  # fmt: skip
"""What is open where the voltage stands across the pins and no current flows."""
CURRENT: Mapping[str, str] = {
    "an injector": "coil current", "a valve": "coil current", "a pump": "supply pump current low",
    "the sensor": "sensor current", "the unit": "unit current",
}  # fmt: skip
LOAD, LOADS = 0.1, ("an injector", "a valve", "a pump")
"""A that such a part draws at least: less makes no drop that tells. common practice, no source."""
SURE, IN_A_CIRCUIT = 0.99, 0.95
"""How sure it is that a circuit without current is open or not driven, or where it is; and that a voltage read across the pins
arrives where nobody read the current, and a bad joint passes it. Common practice, no source."""


ALONG = Question(
    {"{object} wiring": 0.85}, MEASURED, ("{object} wiring",), measures="wiring voltage drop",
    brings={"current of {object}": "current_change"},
)  # fmt: skip


def named(part: str) -> str:
    """The pattern of the places that a part of that word is."""
    return "injector *" if part == "injector" else part.replace("-", " ")


def _of(kind: str, reach: Mapping[str, float], measures: str, *direct: str, sought: bool = True) -> Question:
    """A question that is asked of circuits of that kind."""
    on = tuple(named(part) for part, its in KIND.items() if its == kind)
    at_once = SHUT_OFF if kind == "an injector" and not direct else ""
    return Question(reach, MEASURED, direct, measures=measures, on=on, sought=sought, at_once=at_once)


SENSE = Sense(
    {
        "drop_at_work": ALONG,
        "section_drop": ALONG,
        **{f"current of {kind}": _of(kind, reach, CURRENT[kind]) for kind, reach in OPEN.items()},
        **{f"voltage at {kind}": _of(kind, reach, "voltage at the pins") for kind, reach in ON_ITS_WAY.items()},
        **{f"open: {kind}": _of(kind, {one: 0.9}, "open part", one, sought=False) for kind, one in ITSELF.items()},
        "insulation": Question({"{object} wiring": 0.5, "{object} coil": 0.5}, MEASURED),
        "driver_drop": Question({"{all} driver": 0.85}, MEASURED, ("{all} driver",)),
        "unit's supply": Question({"control unit": 0.6}, MEASURED, ("control unit",), measures="control unit supply"),
    },
    12.0,
    hands="live wiring",
    turning=True,
    objects=at_parts(*(named(part) for part in PARTS)),
)


class Circuit(NamedTuple):
    """Whose circuit it is, and what is known of its current and of the voltage across the part's own pins.

    mean: a voltage across its output stage that may be the mean of its pulses, and no drop. from_ends: whether its drop is what
    is lost from the battery to those pins, no section being read.
    """

    part: str
    number: int | None
    current: Reading | None
    work_current: Reading | None
    battery: Reading | None
    at_part: Reading | None
    over_range: bool
    gaps: bool
    from_ends: bool
    mean: Reading | None

    @property
    def flows(self) -> bool:
        """Whether a current is known to flow that loads its wires."""
        least = LOAD if self.work_current is None and KIND[self.part] in LOADS else 0.0
        low, high = self.current.to("A").interval if self.current else (0.0, 0.0)
        return low > 0 and high > least and not self.dead

    @property
    def dead(self) -> bool:
        """Whether none flows where one is due."""
        if self.current is None:
            return False
        due = self.work_current.number("A") if self.work_current else None
        return self.current.interval[0] <= 0 if due is None else self.current.number("A") < DEAD * due

    @property
    def arrives(self) -> bool | None:
        """Whether the battery's voltage stands across the part's own pins; None where nobody read it, or only some does."""
        if self.battery is None or self.at_part is None:
            return None
        share = self.at_part.number("V") / self.battery.number("V")
        return True if share >= WHOLE else False if share <= NOTHING else None

    def counting(self, verdict: Verdict) -> Verdict:
        """A verdict as it counts: a small drop that no current is known to make, or with a section unread, decides nothing."""
        if self.mean is not None and verdict.what == "driver_drop":
            return replace(verdict, verdict="undecided", probability=None, way="")
        along = verdict.what in (*ALONG_IT, "driver_drop")
        whole = self.flows and not (self.gaps and verdict.what == "drop_at_work")
        if along and verdict.verdict == "within" and not whole:
            return replace(verdict, verdict="undecided", probability=None)
        return verdict


def answers(circuit: Circuit, verdicts: Sequence[Verdict]) -> Iterator[Answer]:
    """To the questions of places that do not bear the circuit's name, and what current and voltage say of a circuit at rest."""
    part, kind = circuit.part, KIND[circuit.part]
    for verdict in verdicts:
        if verdict.probability is not None and part == "control-unit" and verdict.what in ALONG_IT:
            yield Answer("unit's supply", verdict.probability)
    if circuit.dead:
        yield Answer(f"current of {kind}", 1 - SURE, said=NO_CURRENT, shows=NONE_FLOWS)
    dropping = any(verdict.what in ALONG_IT and verdict.verdict == "outside" for verdict in verdicts)
    if circuit.flows or circuit.arrives is None or (circuit.arrives and dropping):
        return  # where some of it is lost on the way a current flows, whoever read it
    sure = SURE if circuit.dead else IN_A_CIRCUIT
    yield Answer(f"voltage at {kind}", sure if circuit.arrives else 1 - sure, said=ARRIVES if circuit.arrives else NO_VOLTAGE)
    if circuit.dead and circuit.arrives and kind in ITSELF:
        yield Answer(f"open: {kind}", 1 - SURE, said=OPEN_PART)
    if not circuit.arrives and circuit.from_ends:
        yield Answer("drop_at_work")  # all of it is lost because the circuit is open: that is no drop along its wire
