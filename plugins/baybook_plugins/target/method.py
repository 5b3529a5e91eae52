"""How actual and target pressure are read, and what their outcome says of which places. Common practice, no source."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from baybook.api import (
    BEFORE_RUNNING,
    FED,
    HUNTING,
    ON_ROAD,
    PRESSURE_HIGH,
    PRESSURE_LOW,
    REGULATED,
    RUNAWAY,
    STARVED,
    Action,
    Answer,
    Condition,
    Estimate,
    Need,
    Question,
    Sense,
    SpecRange,
    Verdict,
    guarded,
)
from baybook_physics.overpressure import largest_excess

from .findings import beyond_band
from .points import Point, Points

BELOW, ABOVE, FAR_ABOVE = "below target", "above target", "rail pressure far above"
MADE, FULL = "full pressure made", 1000.0
"""bar: such a target stands only under load, and what meets it there has its supply, its pump and a tight rail."""
MADE_REACH = {
    **dict.fromkeys(STARVED, 0.9), "air leak": 0.7, "tank fuel": 0.5, "pump drive": 0.97, "pump elements": 0.95,
    "pump outlet": 0.9, "rail and joints": 0.9, "relief valve": 0.9, "outlet valve": 0.8, "inlet valve": 0.8, "injector *": 0.5,
    "control unit": 0.6, "return line": 0.3,
    **{f"{valve} {part}": 0.8 for valve in ("inlet valve", "outlet valve") for part in ("coil", "wiring", "driver")},
}  # fmt: skip
DECIDED = 0.95
HUNTS = "pressure hunts"
SURE = 0.98
"""That a median of many rows is no current, or is one."""
PROCEDURE = guarded(
    entry=(
        Condition("Complaint shows running or cranking."),
        Condition("Maker's band.", reads=("band",)),
    ),
    steps=(
        Action("Connect logger, clear of belts.", tool="a scan tool or logger", hands="high pressure"),
        BEFORE_RUNNING,
        ON_ROAD,
        Action("Run or drive as in complaint.", state="running"),
        Action("Read target, actual at same moment.", reads=("target", "actual")),
        Action("Or log both, with speed, duty, supply pressure.", reads=("capture",)),
        Action("Read lowest supply pressure.", reads=("supply",)),
        Action("Note what the control asks for.", reads=("asked",)),
    ),
    end=(Action("Lock out; take logger off.", hands="high pressure", state="key off"),),
)
_CURRENTS = {f"{valve} current": valve for valve in ("inlet valve", "outlet valve")}
OPEN_CIRCUIT = 0.5
"""Of what is wrong with a valve's circuit: that no current flows at all; less current is not seen here."""
SENSE = Sense(
    {
        BELOW: Question(PRESSURE_LOW, measures="rail pressure low", spares=REGULATED),
        ABOVE: Question(PRESSURE_HIGH, measures="rail pressure high", spares=REGULATED),
        FAR_ABOVE: Question(dict.fromkeys(PRESSURE_HIGH, 0.02), off_map=0.02, sought=False, measures=FAR_ABOVE, halt=RUNAWAY),
        MADE: Question(MADE_REACH, sought=False, measures=MADE),
        HUNTS: HUNTING,
        "supply_pressure low": Question(FED, sought=False, measures="feed pressure low"),
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
        Need("load", "was it read under load, not at idle or cranking?", met=0.6, left=0.5, condition="load",
             cranked="was it read while cranking?", of=(BELOW, "supply_pressure low")),
    ),
)  # fmt: skip


def far_above(points: Iterable[Point]) -> float:
    """The chance that the pressure is not under control at the worst of the points: far above its target."""
    return max(point.deviation.to("bar").above(largest_excess(point.target.to("bar").value)) for point in points)


def under_load(points: Points) -> bool | None:
    """Whether it was read under load: by the speed, or by a target that stands only there; None where neither says so."""
    full = max(point.target.to("bar").value for point in points.each) >= FULL
    return True if full else points.loaded


def answers(
    verdicts: Sequence[Verdict],
    currents: Sequence[tuple[str, Estimate, Estimate, bool]],
    points: Sequence[Point],
    band: SpecRange | None,
) -> Iterator[Answer]:
    """Whether the pressure is below, or above, its target at the worst of the points: they are one look at the same places.

    What is at fault makes it one or the other: where it is below, that it is not above says nothing. Whether it is far above
    needs no band. currents: of the valves.
    """
    yield Answer(FAR_ABOVE, 1.0 - far_above(points), said=FAR_ABOVE)
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
    met = min(chances.get(BELOW, 0.0), chances.get(ABOVE, 0.0))
    if met >= DECIDED and max(point.target.to("bar").value for point in points) >= FULL:
        yield Answer(MADE, met, said=MADE)
    hunts = band is not None and any(point.period is not None and beyond_band(point, band) for point in points)
    if band is not None and any(point.swing for point in points):
        yield Answer(HUNTS, 1.0 - DECIDED if hunts else DECIDED, said=HUNTS)
    chances = {} if hunts else chances  # it goes beyond the band at both ends, whatever its mean
    bad = [word for word, chance in chances.items() if chance < 0.5]
    for word, chance in chances.items():
        if word in bad or not bad:
            yield Answer(word, chance, said=word)
    for question, valve in _CURRENTS.items():
        dead = [none for name, _, _, none in currents if name == valve]
        if dead:
            yield Answer(question, 1.0 - SURE if any(dead) else SURE, said=question)
