"""Actual against target pressure: where it parts, how fast, and whether the control asks for more."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any

from baybook import inputs
from baybook.api import (
    HIGH_PRESSURE,
    MAKERS_DATA,
    RUNAWAY,
    RUNNING_ENGINE,
    Choice,
    Example,
    Meaning,
    Message,
    Output,
    Problem,
    Reading,
    Result,
    SpecRange,
    Step,
    calculator,
    duration,
    judge,
    readings,
    spec_range,
)

from .demand import ASKS, KINDS_OF_INLET
from .findings import findings
from .method import DECIDED, PROCEDURE, SENSE, answers, far_above, under_load
from .points import from_capture, from_table

ALSO = ("rpm", "low", "d_mv", "i_mv", "d_pcv", "i_pcv")

NO_SUPPLY = Message(
    "No column of this capture is plainly the supply pressure: its limit judged nothing, and nothing of the supply is cleared. "
    'Name the column: --column low="…".'
)
UNREAD = Message("No supply pressure was given: its limit judged nothing, and nothing of the supply is cleared.")


def pairs(
    actual: tuple[Reading, ...] | None, target: tuple[Reading, ...] | None, capture: Any, supply: Reading | None
) -> Iterator[Problem]:
    """A table or a capture, and in a table a target for each reading."""
    if capture is not None and (actual or target):
        yield Problem("capture", str(capture), "is given as well as a table", "give one of the two")
    if capture is not None and supply:
        yield Problem("supply", supply.text, "is for a table; a capture has its own", "leave it out")
    if capture is None and not actual:
        yield Problem("actual", None, "is missing", "give actual and target pressures, such as 290 bar; 410 bar, or a capture")
    if capture is None and len(actual or ()) != len(target or ()):
        why = f"has {len(target or ())} pressures for {len(actual or ())} actual ones"
        yield Problem("target", None, why, "give one target for each actual pressure")


@calculator(
    title="Actual against target pressure",
    stage="generation",
    side="hydraulic",
    proves="Whether the pressure that the sensor tells follows the pressure that the control wants. Not whether the sensor is "
    "right, and not which part is at fault.",
    cautions=(HIGH_PRESSURE, RUNNING_ENGINE, MAKERS_DATA),
    sources=(
        "Guard band: ISO 14253-1:2017, JCGM 106:2012, 8.3; mean of correlated readings: JCGM 100:2008, 4.2, by parts.",
        "What the control asks for, by duty or current of inlet and outlet valve: common practice, no source.",
        "How long a target has to stand still before a deviation counts: common practice, no source.",
    ),
    outputs={
        "deviation": Output("pressure difference", "actual less target, the lasting mean farthest away", "d", each="point"),
        "target_pressure": Output("gauge pressure", "what the control wants", "p_t", each="point"),
        "actual_pressure": Output("gauge pressure", "what the sensor tells", "p_a", each="point"),
        "begins": Output("time", "when that mean begins", always=False, at_least=0.0, each="point"),
        "parting": Output("pressure rate", "how fast actual moves away from target", always=False, each="point"),
        "swing": Output("pressure difference", "swing to either side of the mean", always=False, at_least=0.0, each="point"),
        "period": Output("time", "of a swing that is slower than any stroke", always=False, at_least=0.0, each="point"),
        "parts_at": Output("time", "when the first mean beyond the band begins", always=False, at_least=0.0),
        "supply_pressure": Output("gauge pressure", "lowest lasting supply pressure", "p_s", always=False),
        "demand": Output("word", "what the control asks for where pressure is farthest away", always=False),
    },
    formulas=("d = p_a - p_t",),
    examples=(
        Example(
            inputs={
                "actual": ["291 ± 1 bar", "262.9 ± 1 bar"],
                "target": ["320 ± 0 bar", "320 ± 0 bar"],
                "supply": "4.1 ± 0.1 bar",
            },
            outputs={"deviation": ((-29.0, -57.1), "bar", 1e-9), "supply_pressure": (4.1, "bar", 1e-9)},
            source="Plain arithmetic",
        ),
    ),
    procedure=PROCEDURE,
    sense=SENSE,
    meanings=(
        Meaning(
            "actual below the band",
            "the control does not get the pressure that it asks for, or does not ask",
            "read duty and current of the valves in the same condition (calculator regulator)",
            verdict="below",
            output="deviation",
        ),
        Meaning(
            "actual above the band",
            "pressure is not let off, or more is asked for than the target says",
            "engine off, do not restart before the rail sensor is looked at; then duty and current of the valves "
            "(calculator regulator)",
            verdict="above",
            output="deviation",
        ),
        Meaning(
            "in the band at every point",
            "in these conditions the control gets what it asks for, as far as the sensor is right",
            "repeat in the condition of the complaint",
            verdict="within",
            output="deviation",
        ),
        Meaning(
            "target met, supply pressure below its limit",
            "the pump is starved; what is in reserve makes up for it",
            "filter, lines, supply pumps under load (calculator supply)",
            verdict="below",
            output="supply_pressure",
            stage="supply",
        ),
        Meaning(
            "undecided",
            "the band ends within the uncertainty of the readings",
            "read both again at the same moment, steadier, longer or finer",
            verdict="undecided",
            output="deviation",
        ),
    ),
    rules=(pairs,),
)
def target(
    actual: Annotated[
        tuple[Reading, ...] | None,
        readings(
            "gauge pressure",
            "actual pressures at several points",
            symbol="p_a",
            at_least="-1 bar",
            at_most="4000 bar",
            usual="302; 795 bar",
        ),
    ],
    target: Annotated[
        tuple[Reading, ...] | None,
        readings(
            "gauge pressure",
            "target pressures at the same points",
            symbol="p_t",
            at_least="-1 bar",
            at_most="4000 bar",
            usual="300; 800 bar",
        ),
    ],
    capture: Annotated[Any | None, inputs.capture("a log of both, in place of the table", "rail", "set", also=ALSO)],
    band: Annotated[
        SpecRange | None,
        spec_range(
            "pressure difference", "how far actual may be from target", judges="deviation", needs="both", usual="-25 to 25 bar"
        ),
    ],
    settle: Annotated[
        Reading,
        duration(
            "how long a change of target may take to be followed", exact=True, at_least="0.1 s", at_most="60 s", default="2 s"
        ),
    ],
    lasting: Annotated[
        Reading,
        duration("how long a deviation has to last to count", exact=True, at_least="0.05 s", at_most="60 s", default="1 s"),
    ],
    supply: Annotated[Reading | None, inputs.SUPPLY_PRESSURE.but(help="lowest supply pressure meanwhile", usual="4.1 bar")],
    supply_limit: Annotated[SpecRange | None, inputs.SUPPLY_LIMIT],
    asked: Annotated[str | None, Choice("what the control asks for meanwhile, where it was seen", words=ASKS)],
    inlet_kind: Annotated[str, Choice("what the inlet valve does without current", words=KINDS_OF_INLET, default="open")],
) -> Result:
    """Compare actual with target pressure over a drive or at several points.

    In a capture only rows count in which the engine turns and the target has stood still for the time of settle; of each such
    stretch the mean over the time of lasting that is farthest from the target is judged. Actual is what the sensor tells, as
    the control sees it: a sensor that is wrong shows a target that is met.
    """
    ends = band.to("bar") if band else None
    points = (
        from_table(actual or (), target or (), supply)
        if capture is None
        else from_capture(capture, settle, lasting, inlet_kind, (ends.low, ends.high) if ends else (None, None))
    )
    outputs: dict[str, Any] = dict(points.outputs())
    verdicts = [judge("deviation", point.deviation, band, index=n) for n, point in enumerate(points.each, 1)] if band else []
    fed = judge("supply_pressure", points.supply, supply_limit) if points.supply and supply_limit else None
    if when := next((point.parts for point in points.each if point.parts), None):
        outputs["parts_at"] = when
    if points.supply:
        outputs["supply_pressure"] = points.supply
    worst = max(points.each, key=lambda point: abs(point.deviation.value))
    if demand := asked or worst.demand:
        outputs["demand"] = demand
    farthest = Message("point {n}, the farthest from its target", n=points.each.index(worst) + 1)
    working = Step("d", numbers={"p_a": worst.actual, "p_t": worst.target}, result=worst.deviation, title=farthest)
    return Result(
        outputs,
        steps=() if capture else (working,),
        verdicts=(*verdicts, *([fed] if fed else [])),
        findings=findings(points, band, verdicts, asked or "", fed),
        notes=(*points.notes, *([NO_SUPPLY if capture else UNREAD] if supply_limit and not points.supply else [])),
        plots=points.plots,
        answers=tuple(answers(verdicts[: len(points.each)], worst.currents, points.each, band)),
        warnings=(RUNAWAY.first,) if far_above(points.each) >= DECIDED else (),
        met={} if (loaded := under_load(points)) is None else {"load": loaded},
    )
