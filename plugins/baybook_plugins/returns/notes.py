"""A collection to notes, steps and plot, and what its inputs have to fulfil: what the declaration calls on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from baybook.api import Estimate, Message, Plot, Problem, Reading, Series, SpecRange, Step, Verdict
from baybook_physics.comparison import medians_of_others
from baybook_physics.outliers import OutlierTest

from .collection import Collection
from .findings import Circumstances, injectors
from .states import of_state

FEW = Message(
    "A comparison cannot see a fault that most injectors share: compare the flows with an absolute limit, or their total with "
    "the pump's delivery, as well."
)
TWO = Message("With two injectors a comparison cannot tell which of them is off.")
HALF = "A volume typed without an uncertainty was taken as good to half a division of {division}."
OVER = "Injector {number} ran its cylinder over: it counts as at least what the cylinder holds, and no total is told."
COARSE = Message("The differences are no larger than the readings' own errors make them: no outlier test was taken.")
NEAR_ZERO = Message("What the others returned is too near zero for a ratio in numbers: it is judged by the least that it is.")
BOUNDS = Message("Beside a cylinder that ran over a ratio is judged by the least and the most that it can be.")


OUTLIER = (
    "{test} {found} against {critical} (5 %, two-sided): injectors that scatter normally would leave one so far out, here "
    "injector {number}, in fewer than 5 of 100 sets."
)
OUTLIER_OF_FEW = (
    "{test} {found} against {critical} (5 %, two-sided): injectors that scatter normally would leave one so far out, here "
    "injector {number}, in fewer than 5 of 100 sets; by itself it proves little."
)
NONE = "{test} {found} against {critical} (5 %, two-sided): no outlier shown, which does not mean that the injectors are equal."
NONE_OF_FEW = (
    "{test} {found} against {critical} (5 %, two-sided): no outlier shown, which does not mean that the injectors are equal; "
    "with {count} values this test can show very little."
)


def no_common_return(volumes: Sequence[Reading | None]) -> Iterator[Problem]:
    """One return that all injectors share shows none of them."""
    if len(volumes) == 1:
        hint = (
            "collect every injector into a cylinder of its own; where the hoses cannot be parted, judge the common return "
            "against the maker's limit for the whole set (calculator common-return), and do not split it evenly"
        )
        yield Problem("volumes", str(volumes[0]), "is one reading, and shows no injector by itself", hint)


def something_to_compare(
    volumes: Sequence[Reading | None],
    median_limit: SpecRange | None,
    others_limit: SpecRange | None,
    mean_limit: SpecRange | None,
) -> Iterator[Problem]:
    """A ratio needs more than one measured injector, and a most that is above what all have alike."""
    limits = {"median_limit": median_limit, "others_limit": others_limit, "mean_limit": mean_limit}
    for name, limit in limits.items():
        most = limit.to("%").high if limit else None
        if most is not None and most <= 100.0:
            would_do = f"write max {100 + most:g} % where {most:g} % more is allowed"
            yield Problem(name, str(limit), "is less than injectors have that give alike, which is 100 %", would_do)
    if len(volumes) > 1 and sum(volume is not None for volume in volumes) < 2:
        for name in (name for name, limit in limits.items() if limit):
            yield Problem(name, None, "has one measured injector only", "give more, or flow_limit")


def notes(taken: Collection, judged: Sequence[Verdict], division: Reading | None, seen: Circumstances) -> Iterator[Message]:
    """What a reader must know of the comparison's limits."""
    count = len(taken.cups)
    if seen.pressure:
        yield Message("Collected at a rail pressure of {pressure}.", pressure=seen.pressure)
    yield from of_state(seen.condition, taken.time, judged=any(verdict.what == "flow" for verdict in judged))
    for cup in taken.cups:
        if cup.over:
            yield Message(OVER, number=cup.number)
    if seen.missing:
        missing = injectors(seen.missing)
        yield Message("Not measured: {missing}. The numbers stay those of the cylinders.", missing=missing)
    if count > 1:
        yield TWO if count == 2 else FEW
    if count > 2 and not taken.tests and not any(taken.over) and any(taken.values):
        yield COARSE
    if division:
        yield Message(HALF, division=division)
    if any(verdict.bound and verdict.what != "flow" for verdict in judged):
        yield BOUNDS if any(taken.over) else NEAR_ZERO


def background(taken: Collection) -> Iterator[Message]:
    """What the outlier tests say."""
    yield from (proves(test, [cup.number for cup in taken.cups]) for test in taken.tests)


def proves(test: OutlierTest, numbers: Sequence[int]) -> Message:
    """What an outlier test proves; numbers: of the injectors, in their order."""
    few, count = len(numbers) <= 6, len(numbers)
    told: dict[str, float | str] = {
        "test": test.name, "found": float(f"{test.statistic:.3g}"), "critical": float(f"{test.critical:.4g}"),
    }  # fmt: skip
    if test.outlier:
        return Message(OUTLIER_OF_FEW if few else OUTLIER, **told, number=numbers[test.suspect])
    return Message(NONE_OF_FEW, **told, count=count) if few else Message(NONE, **told)


def steps(volumes: Sequence[Reading | None], taken: Collection, place: int) -> Iterator[Step]:
    """The injector that stands out, worked through, as far as its numbers are told."""
    number = taken.cups[place].number
    reading, flow = volumes[number - 1], taken.of("flow", number)
    if reading is None or flow is None:
        return
    volume = reading.to("mL")
    of_flow = Message("flow of injector {number}", number=number)
    yield Step("q_i", numbers={"V_i": volume, "t": taken.time.to("min")}, result=flow, title=of_flow)
    if of_mean := taken.of("percent_of_mean", number):
        against = Message("injector {number} against the mean of all", number=number)
        numbers = {"n": str(len(taken.cups)), "V": volume, "S": f"{sum(taken.values):g} mL"}
        yield Step(against, "P = 100 · n · V / S", numbers, of_mean)
    if of_median := taken.of("percent_of_median", number):
        against = Message("injector {number} against the median of the others", number=number)
        numbers = {"V": volume, "M": f"{medians_of_others(taken.values)[place]:g} mL"}
        yield Step(against, "r = 100 · V / M", numbers, of_median)


def plot(taken: Collection, limit: SpecRange | None) -> Plot:
    """Each injector's flow with its interval, the mean, and an upper flow limit where one was given."""
    shown = {cup.number: flow for cup in taken.cups if (flow := taken.of("flow", cup.number))}
    x, flows = [float(number) for number in shown], list(shown.values())
    mean = sum(flow.value for flow in flows) / max(len(flows), 1)
    series = [_boxes(x, flows, mean), Series("flow", x, [f.value for f in flows], "points")]
    if "mean" in taken.outputs:
        series.append(Series("mean of all", x, [mean] * len(x)))
    if limit is not None and limit.high is not None:
        series.append(Series("limit", x, [float(limit.to("mL/min").high or 0.0)] * len(x)))
    return Plot("Return flow of each injector", "injector", "", "flow", "mL/min", tuple(series))


def _boxes(x: list[float], flows: list[Estimate], between: float) -> Series:
    """A box for each injector's interval, as one band that has no height between them: injectors have nothing in between."""
    edges: list[tuple[float, float, float]] = []
    for place, flow in zip(x, flows, strict=True):
        for side in (place - 0.12, place + 0.12):
            ends = [(side, flow.low, flow.high), (side, between, between)]
            edges += ends if side > place else ends[::-1]
    return Series("95 % interval", [e[0] for e in edges], [e[1] for e in edges], "band", [e[2] for e in edges])
