"""What each injector gives: corrections from live data, relative compression, a bench record, and what the engine takes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Annotated, Any

from baybook import fields, inputs
from baybook.api import (
    HIGH_PRESSURE,
    HIGH_VOLTAGE,
    MAKERS_DATA,
    RUNNING_ENGINE,
    STARTING,
    AnyOf,
    Apart,
    Estimate,
    Example,
    Meaning,
    Message,
    Output,
    Problem,
    Reading,
    Result,
    Rule,
    SpecRange,
    calculator,
    judge_all,
    propagate,
    propagate_each,
)
from baybook_physics import quantity
from baybook_physics.comparison import percent_of_highest, percent_of_others
from baybook_physics.pump import injected

from .findings import SENSE, Seen, answers, findings
from .procedure import PROCEDURE

AGAINST = {"others": "the mean of the others", "highest": "the highest of all"}
MOST = 24
OUTPUTS = {
    "correction": Output("delivery per stroke", "of each injector, as read", "c_i", always=False, each="injector"),
    "compression": Output("ratio", "of each cylinder, relative", "k_i", always=False, at_least=0.0, each="cylinder"),
    "quantity": Output("delivery per stroke", "of each on the bench", "q_i", always=False, at_least=0.0, each="injector"),
    "share": Output("ratio", "each against the mean of the others", "m_i", always=False, at_least=0.0, each="injector"),
    "mean_quantity": Output("delivery per stroke", "mean of all, in a working cycle", "q", always=False, at_least=0.0),
    "injected": Output("flow", "what the engine takes at that quantity", "Q_i", always=False, at_least=0.0),
}
MEANINGS = (
    Meaning("correction outside, compression of that cylinder low", "the cylinder is at fault, not its injector",
            "compression and leakage of that cylinder by gauge"),
    Meaning("correction outside, compression within", "this injector or its drive",
            "its return (calculator returns), current of its coil (calculator drive); then a bench"),
    Meaning("correction outside, compression unknown", "injector or compression", "relative compression by starter current"),
    Meaning("all corrections within", "the injectors are balanced; nothing of the level of all",
            "rail pressure against target (calculator target), returns (calculator returns)"),
    Meaning("bench quantity outside", "this injector gives too much or too little",
            "repeat on the bench; then exchange or mend"),
)  # fmt: skip
RELATIVE = Message(
    "Relative compression does not see what all cylinders lack alike; the currents also hold the engine's friction."
)


def alike_in_number(
    corrections: Sequence[Reading | None] | None, peaks: Sequence[Reading | None] | None,
    volumes: Sequence[Reading | None] | None, cylinders: int | None,
) -> Iterator[Problem]:  # fmt: skip
    """Every list has one place for each cylinder; a comparison needs two that were read."""
    lists = {"corrections": corrections, "peaks": peaks, "volumes": volumes}
    given = {name: items for name, items in lists.items() if items}
    want = cylinders or max((len(items) for items in given.values()), default=0)
    for name, items in given.items():
        if len(items) != want:
            yield Problem(name, None, f"has {len(items)} of {want} cylinders", "write - for one that was not read")
        if sum(item is not None for item in items) < (2 if name == "peaks" else 1):
            yield Problem(name, None, "has too few that were read", "read more of them")


@calculator(
    title="Injector quantity and balance",
    stage="delivery",
    side="hydraulic",
    proves="Which injector's quantity the control unit corrects beyond its range, and whether its cylinder is to blame. "
    "Not the quantity of all together, nor what leaks back.",
    outputs=OUTPUTS,
    cautions=(HIGH_PRESSURE, HIGH_VOLTAGE, STARTING, RUNNING_ENGINE, MAKERS_DATA),
    sources=(
        "Four-stroke cycle: one working stroke in two turns; arithmetic.",
        "Correction against compression, starter current as a measure of compression: common practice, no source.",
        "Uncertainty: JCGM 100:2008, 5.1.",
    ),
    examples=(
        Example({"corrections": ["0.3 ± 0.05 mm3/stroke", "-0.2 ± 0.05 mm3/stroke", "3.1 ± 0.05 mm3/stroke",
                                 "-0.6 ± 0.05 mm3/stroke"], "correction_limit": "-2 to 2 mm3/stroke",
                 "peaks": ["300 ± 0 A", "300 ± 0 A", "240 ± 0 A", "300 ± 0 A"], "compression_limit": ">= 85 %"},
                {"compression": ((107.142857, 107.142857, 80.0, 107.142857), "%", 1e-6)},
                "Plain arithmetic: 240 over 300; 300 over the mean of 300, 300 and 240"),
        Example({"consumption": "685.7143 ± 0 mL/min", "engine_speed": "1500 ± 0 rpm", "cylinders": 4,
                 "volumes": ["45.7140 ± 0 mL"] * 4, "strokes": 200, "quantity_limit": "220 to 235 mm3/stroke"},
                {"mean_quantity": (228.57, "mm3/stroke", 1e-4)},
                "Textbook of combustion engines, ex. 9.3: 180 kW at 0.2 kg/kWh and 875 kg/m3, 4 cylinders, 1500 1/min",
                card=False),
        Example({"mean": "114.13 ± 0 mm3/stroke", "engine_speed": "2500 ± 0 rpm", "cylinders": 1},
                {"injected": (142.67, "mL/min", 1e-4)},
                "Textbook of combustion engines, ex. 9.2: 25 kW at 0.3 kg/kWh, specific gravity 0.87616", card=False),
    ),
    procedure=PROCEDURE,
    formulas=("k_i = 100 % · I_i / mean of the other I", "q_i = V_i / N", "q = 2 · Q / (z · n)", "Q_i = q_m · z · n / 2"),
    meanings=MEANINGS,
    rules=(AnyOf(("corrections", "peaks", "volumes", "consumption", "mean"),
                 "give corrections, peaks, volumes with strokes, or consumption"),
           Apart("mean", "consumption", "is given beside the consumption"), alike_in_number, Rule("volumes", ("strokes",)),
           Rule("strokes", ("volumes",)),
           Rule("correction_limit", ("corrections",)), Rule("compression_limit", ("peaks",)),
           Rule("quantity_limit", ("volumes",)), Rule("consumption", ("engine_speed", "cylinders")),
           Rule("mean", ("engine_speed", "cylinders"))),
    sense=SENSE,
)  # fmt: skip
def delivery(
    corrections: Annotated[tuple[Reading | None, ...] | None, fields.readings("delivery per stroke",
                           "quantity correction of each "
                           "injector from live data, with its sign, in cylinder order; - for not read", symbol="c",
                           usual="0.4 mm3/stroke", at_most_count=MOST, gaps=True)],
    correction_limit: Annotated[SpecRange | None, fields.spec_range("delivery per stroke", "range of each correction",
                                judges="correction", needs="both", usual="-2 to 2 mm3/stroke")],
    peaks: Annotated[tuple[Reading | None, ...] | None, fields.readings("current", "starter current at the compression of each "
                     "cylinder, in cylinder order; - for not read", symbol="I", above="0 A", usual="310 A", at_most_count=MOST,
                     gaps=True)],
    compression_limit: Annotated[SpecRange | None, fields.spec_range("ratio", "range of each cylinder's relative compression",
                                 judges="compression", needs="low", at_least="0 %", usual="min 85 %")],
    against: Annotated[str, fields.Choice("what a cylinder is compared with", words=AGAINST, default="others")],
    volumes: Annotated[tuple[Reading | None, ...] | None, fields.readings("volume",
                       "what each injector gave on the bench; - for not "
                       "tested", symbol="V", at_least="0 mL", usual="22 mL", at_most_count=MOST, gaps=True)],
    strokes: Annotated[int | None, fields.Count("strokes that the bench made of each", symbol="N", at_least=1,
                       at_most=1_000_000, usual=1000)],
    quantity_limit: Annotated[SpecRange | None, fields.spec_range("delivery per stroke", "range of each quantity at that point",
                              judges="quantity", needs="both", at_least="0 mm3/stroke",
                              usual="20 to 26 mm3/stroke")],
    consumption: Annotated[Reading | None, fields.flow("what the engine takes, feed less return", symbol="Q", above="0 mL/min",
                           usual="70 mL/min")],
    mean: Annotated[Reading | None, fields.delivery_per_stroke("mean quantity of all cylinders, to be told as a flow",
                    symbol="q_m", at_least="0 mm3/stroke", usual="8 mm3/stroke")],
    engine_speed: Annotated[Reading | None, inputs.ENGINE_SPEED.but(help="engine speed meanwhile", usual="800 rpm")],
    cylinders: Annotated[int | None, fields.Count("cylinders of the four-stroke engine", symbol="z", at_least=1, at_most=MOST)],
) -> Result:  # fmt: skip
    """Compare what the injectors give, and tell a weak cylinder from a wrong injector.

    Any of the ways in does: corrections from live data, starter currents, a bench record, what the engine takes.
    """
    found: dict[str, Any] = {}
    if corrections:
        found["correction"] = corrections
    if peaks:
        found["compression"] = propagate_each(percent_of_highest if against == "highest" else of_others, "%", peaks, "A")
    if volumes and strokes:
        of_stroke = "mm3/stroke"
        found["quantity"] = propagate_each(lambda vs: [quantity.of_volume(v, strokes) for v in vs], of_stroke, volumes, "mL")
        if sum(one is not None for one in volumes) > 1 and sum(one.value for one in volumes if one) > 0:
            found["share"] = propagate_each(of_others, "%", volumes, "mL")
    if engine_speed is not None and cylinders is not None:
        found |= _of_engine(consumption, mean, engine_speed, cylinders)
    limits = {"correction": correction_limit, "compression": compression_limit, "quantity": quantity_limit}
    verdicts = judge_all(found, limits)
    of_each, of_cylinders, of_bench = ([verdict for verdict in verdicts if verdict.what == name] for name in limits)
    seen = Seen(of_each, of_cylinders, of_bench, None not in (corrections or ()), None not in (volumes or ()))
    notes = (RELATIVE,) if peaks else ()
    return Result(found, verdicts, findings(seen), notes, answers=tuple(answers(seen.cylinders)))


def of_others(values: Sequence[float]) -> Sequence[float]:
    """Each in per cent of the mean of the others."""
    return percent_of_others(values)[0]


def _of_engine(
    consumption: Reading | None, mean: Reading | None, engine_speed: Reading, cylinders: int
) -> Mapping[str, Estimate]:
    n = engine_speed.to("rpm")
    if consumption is not None:
        taken = consumption.to("mL/min")
        return {"mean_quantity": propagate(lambda q, n: quantity.of_flow(q, cylinders, n), "mm3/stroke", q=taken, n=n)}
    if mean is None:
        return {}
    return {"injected": propagate(lambda q, n: injected(q, cylinders, n), "mL/min", q=mean.to("mm3/stroke"), n=n)}
