"""A common return: all injectors together, and with one of them shut off at a time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Annotated

from baybook.api import (
    FLAMMABLE,
    HIGH_PRESSURE,
    HIGH_VOLTAGE,
    MAKERS_DATA,
    RUNNING_ENGINE,
    Answer,
    Choice,
    Example,
    Meaning,
    Message,
    Need,
    Output,
    Problem,
    Question,
    Reading,
    Result,
    Sense,
    SpecRange,
    calculator,
    duration,
    gauge_pressure,
    judge,
    judge_each,
    readings,
    spec_range,
    volume,
)

from .answers import DRY, answers
from .common_findings import findings
from .findings import Circumstances, missing, standing_out
from .shares import Shares, collected
from .states import AT_REST, CONDITIONS, of_state
from .ways_procedure import COMMON

SENSE = Sense(
    {
        "total high": Question({"injector *": 0.75}),
        "": Question({"{object}": 0.45}, direct=("{object}",)),
        "dry": DRY,
    },
    45.0, hands="low side opened", objects=("injector *",), together=True, turning=True,
    needs=(Need("pressure", "at which rail pressure were the returns collected?", met=0.6, left=0.3, input="rail_pressure",
                of=("", "total high")),),
    fitted={"returns": ("common",)},
)  # fmt: skip
"""The reach is common practice, no source: a leak at rest, half of the faults, is in no injector's share."""
MAKE_UP = Message(
    "While one is shut off the others inject and return more, so each share reads low, and alike: compare shares with each "
    "other rather than with a number."
)
STAYS = Message("What leaks at rest stays, whichever is shut off: it is in the rest, which may be less, and belongs to no one.")
DROWNS = Message("its share drowns in the readings")
ONCE = Message(
    "All working was collected once: whether the engine still ran alike at the end is not known; collect it again then."
)


DRIFT = 0.15
"""Of the total: all working that differs by more was not collected alike. common practice, no source"""


def alike_with_all(total: Sequence[Reading | None]) -> Iterator[Problem]:
    """All working returns alike each time; else they were not all working, or the engine did not run alike."""
    ends = [one.to("mL").interval for one in total if one is not None]
    least, most = min(high for _, high in ends), max(low for low, _ in ends)
    if most - least > DRIFT * most:
        given = "; ".join(one.text for one in total if one is not None)
        hint = "give those with one shut off as without; if all worked, let the engine settle and collect again"
        yield Problem("total", given, "differ by too much to be of all working each time", hint)


def one_shut_off(
    without: Sequence[Reading | None] | None, total: Sequence[Reading | None], condition: str | None,
    share_limit: SpecRange | None, median_limit: SpecRange | None,
) -> Iterator[Problem]:  # fmt: skip
    """Shares need collections with one injector shut off, and that needs injectors that are driven."""
    if without is None:
        for name, limit in (("share_limit", share_limit), ("median_limit", median_limit)):
            if limit is not None:
                yield Problem(name, None, "is for what one injector adds", "give without: the common return with each one off")
        return
    if condition == AT_REST:
        yield Problem("without", None, "is of injectors that are driven", "leave it out at rest, or give another condition")
    if median_limit is not None and sum(one is not None for one in without) < 2:
        yield Problem("median_limit", None, "has one injector that was shut off", "shut off more, or give share_limit")
    for number, one in enumerate(without, 1):
        if one is not None and all(
            all_of is not None and one.interval[0] > all_of.to(one.unit.symbol).interval[1] for all_of in total
        ):
            hint = "the first readings are of all working; check which cylinder was read when"
            yield Problem("without", one.text, f"with injector {number} off is more than with all working", hint)


@calculator(
    title="Common return",
    stage="delivery",
    side="hydraulic",
    proves="Whether all injectors together return too much, and whose working adds most. Not who leaks at rest: that stays, "
    "whichever is shut off.",
    outputs={
        "stands_out": Output("word", "the injectors beyond a limit, or the one told from all others by the readings",
                             always=False),
        "total": Output("flow", "all injectors together, all working", "Q", at_least=0.0),
        "share": Output("flow", "what shutting it off takes away", "q_i", always=False, each="injector"),
        "percent_of_median": Output("ratio", "each share against the median of the others", "r_i", always=False, at_least=0.0,
                                    each="injector"),
        "rest": Output("flow", "what stays whichever is shut off: leak at rest, and what the others make up", "q_0",
                       always=False),
    },
    cautions=(HIGH_PRESSURE, HIGH_VOLTAGE, FLAMMABLE, RUNNING_ENGINE, MAKERS_DATA),
    sources=(
        "Shut-off one at a time, and what it does not show: common practice, no source.",
        "Uncertainty of differences: Monte Carlo, JCGM 101:2008; each collection has its own error of time.",
    ),
    examples=(
        Example(
            {"total": ["400 ± 0 mL", "400 ± 0 mL"], "time": "2 ± 0 min", "rail_pressure": "300 ± 0 bar",
             "without": ["330 ± 0 mL", "325 ± 0 mL", "250 ± 0 mL", "335 ± 0 mL"], "total_limit": "<= 160 mL/min",
             "median_limit": "<= 150 %"},
            {"total": (200.0, "mL/min", 1e-9), "share": ((35.0, 37.5, 75.0, 32.5), "mL/min", 1e-9),
             "rest": (20.0, "mL/min", 1e-9), "stands_out": "injector 3",
             "percent_of_median": ((93.333333, 107.142857, 214.285714, 86.666667), "%", 1e-8)},
            "Plain arithmetic: 400 − 330, 325, 250, 335 mL in 2 min; 75 over the middle one of 32.5, 35, 37.5",
        ),
    ),
    procedure=COMMON,
    formulas=("Q = V / t", "q_i = (V − V_i) / t", "r_i = 100 % · q_i / median of the other q", "q_0 = Q − (q_1 + … + q_n)"),
    meanings=(
        Meaning("one share far above the others'", "its working returns too much: valve, wear, or a drive that is too long",
                "its current beside the others' (calculator drive); then the bench"),
        Meaning("one share next to nothing", "it did not work before, or was not shut off",
                "its coil, wiring and current"),
        Meaning("shares alike, total above its limit", "a leak at rest, of one or several, or the whole set",
                "the shut rail (calculator hold); parted returns where allowed; then the bench"),
        Meaning("a share no larger than its ±", "it drowns in two large readings: nothing is told",
                "longer, finer, all working first and last"),
        Meaning("total within its limit, at the limit's pressure", "no pressure is lost through the injectors there",
                "outlet valve's own return (calculator return-parts); supply, pump"),
    ),
    sense=SENSE,
    rules=(alike_with_all, one_shut_off),
)  # fmt: skip
def common_return(
    total: Annotated[tuple[Reading | None, ...], readings("volume", "the common return with all injectors working: once, or "
                     "better first and last", symbol="V", at_least="0 mL", at_most_count=12, usual="480 mL; 484 mL",
                     unnamed=True)],
    time: Annotated[Reading, duration("how long was collected, each time", symbol="t", above="0 s", usual="120 s",
                    unnamed=True)],
    without: Annotated[tuple[Reading | None, ...] | None, readings("volume", "the common return with one injector shut off, "
                       "in cylinder order; - for one that was not", symbol="V_i", at_least="0 mL", at_most_count=24,
                       usual="400 mL; 402 mL; 396 mL; 398 mL", gaps=True)],
    rail_pressure: Annotated[Reading | None, gauge_pressure("rail pressure meanwhile, the same each time", at_least="0 bar",
                             at_most="4000 bar", usual="280 bar", group="usual")],
    condition: Annotated[str | None, Choice("in which condition it was collected", group="usual", words=CONDITIONS | {
        AT_REST: "engine at rest, rail under pressure, none driven"})],
    division: Annotated[Reading | None, volume("the cylinder's smallest division; a reading is good to half of it", exact=True,
                        above="0 mL", usual="2 mL")],
    total_limit: Annotated[SpecRange | None, spec_range("flow", "limit of all injectors together", judges="total",
                           at_least="0 mL/min", usual="max 300 mL/min")],
    share_limit: Annotated[SpecRange | None, spec_range("flow", "limit of what one injector's working adds", judges="share",
                           at_least="0 mL/min", usual="max 60 mL/min")],
    median_limit: Annotated[SpecRange | None, spec_range("ratio", "limit of each share against the median of the others; 1.5 "
                            "times is max 150 %", judges="percent_of_median", at_least="0 %", usual="max 150 %")],
) -> Result:  # fmt: skip
    """Tell what all injectors return together, and what the working of each adds to it."""
    off = without or ()
    totals = tuple(collected(at, one, time, division) for at, one in enumerate(total, 1) if one is not None)
    cups = tuple(collected(number, one, time, division) for number, one in enumerate(off, 1) if one is not None)
    taken = Shares.taken(totals, cups, len(off), time)
    of_total = (judge("total", taken.outputs["total"], total_limit),) if total_limit else ()
    limits = {"share": share_limit, "percent_of_median": median_limit}
    judged = [verdict for name, limit in limits.items() if limit for verdict in judge_each(name, taken.outputs[name], limit)]
    seen = Circumstances(condition, rail_pressure, missing(off))
    word, place = standing_out(taken, judged) if off else ("none", None)
    notes = [*of_state(condition, time, judged=bool(of_total)), *((MAKE_UP, STAYS) if off else ())]
    return Result(
        ({"stands_out": word} if off else {}) | taken.outputs,
        (*judged, *of_total),
        tuple(findings(taken, of_total, judged, seen, place)),
        (*notes, *((ONCE,) if off and len(totals) == 1 else ())),
        met={} if rail_pressure is None else {"pressure": not seen.low},
        answers=(*answers(taken, judged), *_of_drowned(taken)) if off else (),
    )


def _of_drowned(taken: Shares) -> Iterator[Answer]:
    """A share that drowns says nothing of its injector, however small it is."""
    dry = taken.dry()
    yield from (Answer("", 0.5, f"injector {number}", DROWNS) for number in taken.drowned() if number not in dry)
