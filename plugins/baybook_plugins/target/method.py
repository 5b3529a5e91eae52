"""How actual and target pressure are read, and what their outcome says of which places. Common practice, no source."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from baybook.api import (
    BEFORE_RUNNING,
    PRESSURE_HIGH,
    PRESSURE_LOW,
    REGULATED,
    STARVED,
    Action,
    Answer,
    Condition,
    Estimate,
    HoldPoint,
    Need,
    Procedure,
    Question,
    Sense,
    Verdict,
)

BELOW, ABOVE = "below target", "above target"
SURE = 0.98
"""That a median of many rows is no current, or is one."""
PROCEDURE = Procedure(
    entry=(
        Condition("The complaint shows while the engine runs or cranks."),
        Condition("In a drive a second person reads.", otherwise="log it, and read afterwards"),
        Condition("The band that the maker allows is known.", reads=("band",)),
    ),
    steps=(
        Action("Stop; connect logger, clear of belts, fan.", tool="a scan tool or logger", hands="wiring", state="stopped"),
        BEFORE_RUNNING,
        HoldPoint("Stand clear, hands off."),
        Action("Run or drive in the condition of the complaint.", state="running"),
        Action("Read target and actual at the same moment.", reads=("target", "actual")),
        Action("Or log both, with speed, duty, supply pressure.", reads=("capture",)),
        Action("Read the lowest supply pressure.", reads=("supply",)),
        Action("Note what the control asks for.", reads=("asked",)),
    ),
    end=(Action("Stop the engine.", state="stopped"), Action("Switch key off; take logger away; clear.", hands="wiring")),
)
# a control that believes its sensor shows a target that is met: only one that does not tell what it is told is seen
_SENSOR = {"rail sensor": 0.25, "rail sensor wiring": 0.3}
_CURRENTS = {f"{valve} current": valve for valve in ("inlet valve", "outlet valve")}
OPEN_CIRCUIT = 0.5
"""Of what is wrong with a valve's circuit: that no current flows at all; less current is not seen here."""
SENSE = Sense(
    {
        BELOW: Question({**PRESSURE_LOW, **_SENSOR}, measures="rail pressure low", spares=REGULATED),
        ABOVE: Question({**PRESSURE_HIGH, **_SENSOR}, measures="rail pressure high", spares=REGULATED),
        "supply_pressure low": Question(STARVED, sought=False, measures="feed pressure low"),
        "supply_pressure high": Question(
            {"overflow valve": 0.7, "return line": 0.6}, sought=False, measures="feed pressure high"
        ),
        **{
            question: Question(
                {f"{valve} {part}": OPEN_CIRCUIT for part in ("coil", "wiring", "driver")}, 0.005, sought=False,
                measures=f"whether current flows in the {valve}",
            )
            for question, valve in _CURRENTS.items()
        },
    },
    10.0,
    turning=True,
    needs=(
        Need("load", "was it read under load, not at idle or cranking?", met=0.6, left=0.5, of=(BELOW, "supply_pressure low")),
    ),
)  # fmt: skip


def answers(verdicts: Sequence[Verdict], currents: Sequence[tuple[str, Estimate, Estimate, bool]]) -> Iterator[Answer]:
    """Whether the pressure is below, or above, its target at the worst of the points: they are one look at the same places.

    What is at fault makes it one or the other: where it is below, that it is not above says nothing. currents: of the valves.
    """
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
    bad = [word for word, chance in chances.items() if chance < 0.5]
    for word, chance in chances.items():
        if word in bad or not bad:
            yield Answer(word, chance, said=word)
    for question, valve in _CURRENTS.items():
        dead = [none for name, _, _, none in currents if name == valve]
        if dead:
            yield Answer(question, 1.0 - SURE if any(dead) else SURE, said=question)
