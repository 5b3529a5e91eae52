"""How actual and target pressure are read, and what their outcome says of which places. Common practice, no source."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from baybook.api import (
    BEFORE_RUNNING,
    PRESSURE_HIGH,
    PRESSURE_LOW,
    REGULATED,
    RUNAWAY,
    STARVED,
    Action,
    Answer,
    Condition,
    HoldPoint,
    Procedure,
    Question,
    Sense,
    Verdict,
)
from baybook_physics.overpressure import largest_excess

from .points import Point

BELOW, ABOVE, FAR_ABOVE = "below target", "above target", "rail pressure far above"
MADE, FULL = "full pressure made", 1000.0
"""bar: such a target stands only under load, and what meets it there has its supply, its pump and a tight rail."""
MADE_REACH = {
    **dict.fromkeys(STARVED, 0.9), "air leak": 0.7, "tank fuel": 0.5, "pump drive": 0.97, "pump elements": 0.95,
    "pump outlet": 0.9, "rail and joints": 0.9, "relief valve": 0.9, "outlet valve": 0.8, "inlet valve": 0.8, "injector *": 0.5,
    "control unit": 0.6, "return line": 0.3,
    **{f"{valve} {part}": 0.8 for valve in ("inlet valve", "outlet valve") for part in ("coil", "wiring", "driver")},
}  # fmt: skip
SURE = 0.95
PROCEDURE = Procedure(
    entry=(
        Condition("The complaint shows while the engine runs or cranks."),
        Condition("In a drive a second person reads.", otherwise="log it, and read afterwards"),
        Condition("The band that the maker allows is known.", reads=("band",)),
    ),
    steps=(
        Action("Connect the logger; tie it clear of belts, fan.", tool="a scan tool or logger"),
        BEFORE_RUNNING,
        Action("Run or drive in the condition of the complaint.", state="running"),
        HoldPoint("Stand clear, hands off."),
        Action("Read target and actual at the same moment.", reads=("target", "actual")),
        Action("Or log both, with speed, duty, supply pressure.", reads=("capture",)),
        Action("Read the lowest supply pressure.", reads=("supply",)),
        Action("Note what the control asks for.", reads=("asked",)),
    ),
    end=(Action("Stop the engine.", state="stopped"), Action("Take the logger away; clear.")),
)
SENSE = Sense(
    {
        BELOW: Question(PRESSURE_LOW, measures="rail pressure low", spares=REGULATED),
        ABOVE: Question(PRESSURE_HIGH, measures="rail pressure high", spares=REGULATED),
        FAR_ABOVE: Question(dict.fromkeys(PRESSURE_HIGH, 0.02), off_map=0.02, sought=False, measures=FAR_ABOVE, halt=RUNAWAY),
        MADE: Question(MADE_REACH, sought=False, measures=MADE),
        "supply_pressure low": Question(STARVED, sought=False, measures="feed pressure low"),
        "supply_pressure high": Question(
            {"overflow valve": 0.7, "return line": 0.6}, sought=False, measures="feed pressure high"
        ),
    },
    10.0,
    turning=True,
)  # fmt: skip


def far_above(points: Iterable[Point]) -> float:
    """The chance that the pressure is not under control at the worst of the points: far above its target."""
    return max(point.deviation.to("bar").above(largest_excess(point.target.to("bar").value)) for point in points)


def answers(verdicts: list[Verdict], points: Sequence[Point]) -> tuple[Answer, ...]:
    """Whether the pressure is below, and above, its target at the worst of the points: they are one look at the same places.

    Whether it is far above needs no band.
    """
    chances: dict[str, float] = {FAR_ABOVE: 1.0 - far_above(points)}
    for verdict in verdicts:
        measured = verdict.measured
        if measured is None:
            continue
        limits = verdict.range.to(measured.unit)
        for word, beyond in (
            (BELOW, 0.0 if limits.low is None else measured.below(limits.low)),
            (ABOVE, 0.0 if limits.high is None else measured.above(limits.high)),
        ):
            chances[word] = min(chances.get(word, 1.0), 1.0 - beyond)
    if {BELOW, ABOVE} <= set(chances) and max(point.target.to("bar").value for point in points) >= FULL:
        chances[MADE] = min(chances[BELOW], chances[ABOVE])
    return tuple(Answer(word, chance, said=word) for word, chance in chances.items() if word != MADE or chance >= SURE)
