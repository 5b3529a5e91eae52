"""How actual and target pressure are read, and what their outcome says of which places. Common practice, no source."""

from __future__ import annotations

from baybook.api import (
    BEFORE_RUNNING,
    PRESSURE_HIGH,
    PRESSURE_LOW,
    REGULATED,
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

BELOW, ABOVE = "below target", "above target"
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
        "supply_pressure low": Question(STARVED, sought=False, measures="feed pressure low"),
        "supply_pressure high": Question(
            {"overflow valve": 0.7, "return line": 0.6}, sought=False, measures="feed pressure high"
        ),
    },
    10.0,
    turning=True,
)  # fmt: skip


def answers(verdicts: list[Verdict]) -> tuple[Answer, ...]:
    """Whether the pressure is below, and above, its target at the worst of the points: they are one look at the same places."""
    chances: dict[str, float] = {}
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
    return tuple(Answer(word, chance, said=word) for word, chance in chances.items())
