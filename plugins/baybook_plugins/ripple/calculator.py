"""Orders of the pump in rail pressure: even elements, or one that gives less."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Annotated, Any

from baybook import fields, inputs
from baybook.api import (
    HIGH_PRESSURE,
    MAKERS_DATA,
    RUNNING_ENGINE,
    Answer,
    AtLeast,
    Estimate,
    Example,
    Meaning,
    Output,
    Problem,
    Reading,
    Result,
    SpecRange,
    calculator,
    judge_all,
)

from .method import PROCEDURE, SENSE
from .pattern import BEND, OUTLET, finding, word_of
from .share import Known, missing

if TYPE_CHECKING:
    from baybook_physics.strokes import Found

    from .recording import Pump, Ripple

CHANCES = {"even": 0.95, "undecided": 0.5, "uneven": 0.05}
"""That the elements conform, where no limit is typed: as sure as a verdict."""
DIFFERS = 0.25
"""The same where they differ by more than is even, and nothing else makes that order. common practice, no source."""
RUNS = {"on": "the engine injects", "off": "it is cranked with injection kept off"}


def one_way(
    capture: Any, amplitudes: Sequence[Reading] | None, speed: Reading | None, elements: int,
    window_start: Reading | None, window_end: Reading | None,
) -> Iterator[Problem]:  # fmt: skip
    """A capture, or amplitudes with a speed, one for each order up to twice the elements."""
    if (capture is None) == (amplitudes is None):
        given = None if capture is None else str(capture)
        yield Problem("capture", given, "or amplitudes is wanted, one of the two", "give a log, or amplitudes and speed")
    if amplitudes is not None and speed is None:
        yield Problem("speed", None, "is missing", "give the engine's speed at which the amplitudes were read")
    if amplitudes is not None and len(amplitudes) != 2 * elements:
        why = f"has {len(amplitudes)} orders for {elements} elements"
        yield Problem("amplitudes", None, why, f"give {2 * elements}, orders 1 to {2 * elements}")
    for name, reading in (("window_start", window_start), ("window_end", window_end)):
        if reading is not None and capture is None:
            yield Problem(name, reading.text, "is of a capture", "leave it out")


@calculator(
    title="Orders of the pump",
    stage="generation",
    side="hydraulic",
    proves="Whether rail pressure repeats with each turn of the pump, as one weak element makes it. Not which element, nor "
    "why, and nothing of a pump whose elements are all weak alike.",
    cautions=(HIGH_PRESSURE, RUNNING_ENGINE, MAKERS_DATA),
    sources=(
        "Half-sine strokes as a Fourier series: handbooks of mathematics; pump pulsation: hydraulics handbooks.",
        "Orders by a Hann window over turns of the pump: Harris, Proc. IEEE 66 (1978) 51; sample rate: Shannon 1949.",
        "Less than a tenth of an element as even, more than half as a fault: common practice, no source.",
    ),
    outputs={
        "pattern": Output("word", "even, uneven or undecided"),
        "missing_share": Output("ratio", "of one element's delivery, at least", "w", always=False, at_least=0.0),
        "amplitude": Output("pressure difference", "of each order of the pump", "p_k", at_least=0.0, each="order"),
        "noise": Output("pressure difference", "beside it, where nothing repeats", always=False, at_least=0.0, each="order"),
        "frequency": Output("frequency", "of each order", "f_k", at_least=0.0, each="order"),
        "pump_speed": Output("speed", "of the pump's shaft", "n_p", at_least=0.0),
    },
    formulas=("n_p = i · n", "w = p_1 · (V / K) · 2 · π · f_1 / (π / 2 · V_p · n_p / z)"),
    examples=(
        Example(
            inputs={
                "amplitudes": [f"{p} ± 0 kPa" for p in ("1388.9", "294.7", "0", "29.5", "0", "42.1")],
                "speed": "1500 ± 0 rpm",
                "elements": 3,
                "volume": "30 ± 0 mL",
                "modulus": "1500 ± 0 MPa",
                "pump": "0.66667 ± 0 cm3/rev",
                "injection": "off",
                "unregulated": True,
            },
            outputs={"missing_share": (50.0, "%", 1e-4), "pattern": "uneven", "pump_speed": (1500.0, "rpm", 1e-9)},
            source="Three half-sine elements, one at half, 1 L/min at 1500 1/min, 30 cm3, 1.5 GPa: Fourier analysis of their "
            "motion",
        ),
    ),
    procedure=PROCEDURE,
    sense=SENSE,
    meanings=(
        Meaning(
            "even",
            "every element gives alike; all of them may still be weak",
            "how much the pump gives (calculator cranking)",
            verdict="within",
            output="missing_share",
        ),
        Meaning(
            "one element gives less",
            "its piston, valves, or how it is fed: air, supply",
            "supply pressure and air first (calculator supply); then have the pump tested",
            verdict="above",
            output="missing_share",
        ),
        Meaning(
            "undecided",
            "the limit ends within the uncertainty",
            "log for longer, with rail volume and displacement known better",
            verdict="undecided",
            output="missing_share",
        ),
        Meaning(
            "the engine's cycle makes the same order",
            "nothing yet: injectors or cylinders that differ look alike",
            "crank with injection kept off as the data say",
        ),
    ),
    rules=(one_way,),
)
def ripple(
    elements: Annotated[
        int, fields.Count("elements of the pump", symbol="z", at_least=2, at_most=12, usual=3, of_vehicle=True)
    ],
    capture: Annotated[Any | None, inputs.capture("the logged rail pressure", "rail", also=("rpm", "set"))],
    amplitudes: Annotated[
        tuple[Reading, ...] | None,
        fields.readings(
            "pressure difference",
            "amplitudes (peak values) of orders 1, 2 and on, in place of a capture",
            at_least="0 bar",
            at_least_count=4,
            at_most_count=24,
            usual="1.0 0.8 12 0.5 0.4 3.0 bar",
        ),
    ],
    speed: Annotated[Reading | None, inputs.ENGINE_SPEED.but(help="of the engine, where the capture has none")],
    pump_ratio: Annotated[Reading, inputs.PUMP_RATIO],
    lobes: Annotated[
        int, fields.Count("strokes of each element in one turn", at_least=1, at_most=6, default=1, of_vehicle=True)
    ],
    injection: Annotated[str, fields.Choice("what the engine did", words=RUNS, default="on")],
    unregulated: Annotated[
        bool, fields.Flag("no valve regulates meanwhile: outlet valve shut the maker's way or none, inlet valve open")
    ],
    window_start: Annotated[Reading | None, inputs.WINDOW_START.but(help="start of the steady stretch", usual="2 s")],
    window_end: Annotated[Reading | None, inputs.WINDOW_END.but(help="end of the steady stretch")],
    volume: Annotated[Reading | None, inputs.RAIL_VOLUME],
    pump: Annotated[Reading | None, inputs.PUMP_DISPLACEMENT],
    fuel: Annotated[str, inputs.RAIL_FUEL],
    temperature: Annotated[Reading, inputs.RAIL_TEMPERATURE],
    modulus: Annotated[
        Reading | None,
        fields.pressure_difference(
            "stiffness of the fuel, where it is known", symbol="K", above="1000 bar", usual="1500 ± 100 MPa"
        ),
    ],
    share_limit: Annotated[
        SpecRange | None,
        fields.spec_range(
            "ratio", "what one element may lack", judges="missing_share", needs="high", at_least="0 %", usual="max 20 %"
        ),
    ],
) -> Result:
    """Find the orders of the pump in rail pressure, and a weak element as one that a healthy pump lacks.

    An order counts how often something repeats in one turn of the pump. Equal elements make their number and its multiples
    alone; one that gives less makes order 1. With rail volume and displacement, and for an even number of elements without,
    this tells how much of its delivery is missing at least. A capture that was logged too slowly is refused.
    """
    from baybook_physics.strokes import EVEN, is_of_engine, is_small, own_strokes, pattern, suspects

    from .recording import Pump, ripple_of

    turned = Pump(elements, lobes, pump_ratio.number("1"))
    if capture is not None:
        seen = ripple_of(capture, speed, turned, window_start, window_end)
    else:
        seen = by_hand(amplitudes or (), speed, turned)
    first, *higher = suspects(seen.orders, elements * lobes)
    worst = next((each for each in (first, *higher) if each.stands_out and each.order not in seen.of_speed), first)
    own = own_strokes(seen.orders, elements * lobes)
    known = Known(elements, lobes, volume, pump, fuel, temperature, modulus)
    share = missing(known, worst, own[0], seen.rate, seen.pressure)
    lacks = None if share is None else (share.to("%").low, share.to("%").high)
    exact = unregulated or is_small(worst, own) or pattern(worst, own, None) == "silent"
    told = share if share is None or exact else AtLeast(share)
    verdicts = judge_all({"missing_share": told} if told else {}, {"missing_share": share_limit})
    engine = worst.order in seen.of_speed or (injection == "on" and is_of_engine(worst.order, turned.ratio))
    if lacks is not None and seen.by_speed > 0:
        engine = engine or lacks[0] - seen.by_speed <= EVEN
    shape = pattern(worst, own, lacks, verdicts[0].verdict if verdicts else "", flattened=not unregulated)
    found = finding(shape, worst, share, engine=engine)
    outputs: dict[str, Any] = {"pattern": word_of(found), **({"missing_share": share} if share else {})}
    outputs |= vectors(seen.orders, seen.rate)
    pump_speed = 60 * seen.rate
    outputs["pump_speed"] = Estimate.of(pump_speed, "rpm", pump_speed * (speed.u / speed.value if speed else 5e-4))
    notes = (*((OUTLET,) if worst.stands_out else ()), *((BEND,) if elements % 2 else ()))
    chance = DIFFERS if shape == "differs" and not engine else CHANCES[outputs["pattern"]]
    judged = bool(verdicts) and shape != "differs"
    answers = () if judged else (Answer("", chance, said=outputs["pattern"]),)
    return Result(outputs, verdicts, (found,), notes, plots=seen.plots, answers=answers)


def by_hand(amplitudes: Sequence[Reading], speed: Reading | None, pump: Pump) -> Ripple:
    """Amplitudes that were read elsewhere: what they carry as an error is their noise."""
    from baybook_physics.strokes import Found

    from .recording import Ripple

    each = [reading.to("bar") for reading in amplitudes]
    orders = tuple(Found(float(n * pump.lobes), one.value, one.u, one.u) for n, one in enumerate(each, 1))
    return Ripple(orders, speed.number("rpm") / 60 * pump.ratio if speed else 0.0)


def vectors(orders: Sequence[Found], rate: float) -> dict[str, tuple[Estimate, ...]]:
    """Amplitude, noise and frequency of each order; the noise as an uncertainty, to two digits (JCGM 100, 7.2.6)."""
    return {
        "amplitude": tuple(Estimate.of(o.amplitude, "bar", o.u, kind="pressure difference", at_least=0.0) for o in orders),
        "noise": tuple(Estimate.of(float(f"{o.noise:.2g}"), "bar", kind="pressure difference") for o in orders),
        "frequency": tuple(Estimate.of(o.order * rate, "Hz", o.order * rate * 5e-4, kind="frequency") for o in orders),
    }
