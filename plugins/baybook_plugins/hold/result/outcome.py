"""The result of a hold from either estimate: outputs, verdicts, finding, notes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from baybook.api import LOST, Answer, Draws, Estimate, Message, Plot, Result, Verdict, judge
from baybook.dataclass import replace
from baybook_physics.fuels import ANCHOR_PRESSURE, FuelModel
from baybook_physics.fuels.model import MODEL_PRESSURES
from baybook_physics.inference.intervals import Interval

from ..beliefs import STILL_TIGHT
from ..inputs.rail import Rail
from ..inputs.wanted import Wanted
from ..two_point.estimate import TwoReadingResult
from .findings import Doubt, Ground, finding, low_pressure, next_undecided
from .known import may_be_empty, quantities
from .steps import MiddleValues, rounded, steps

if TYPE_CHECKING:
    from ..estimate.summary import HoldEstimate

    Found = TwoReadingResult | HoldEstimate

HEAT = Message(
    "Part of any pressure drop is cooling: fuel warm from compression, and the rail itself. It is taken off within its "
    "uncertainty."
)
VALVE_OPEN = Message(
    "The outlet valve opens without current and was not held shut: it empties the rail by design, so this test says nothing "
    "about the rail. Use the maker's routine that drives it shut and hold again, or leave this test."
)
VALVE_UNKNOWN = Message(
    "Whether a rail valve that opens without current is fitted was not said (outlet_valve): such a valve empties a sound rail. "
    "Look in the maker's data."
)
STOOD_STILL = Message(
    "Nothing fell: no leak shows. A reading that is stuck looks the same: see it rise with the pump and fall to zero "
    "afterwards."
)
NEAR_ZERO = Message(
    "the last pressure lies near the sensor's zero, within its uncertainty: the rail may have been empty sooner, so no "
    "more than the least of its leak is known"
)
LEAST = "leak, as collected: {bound}"
_STOPPED = 0.02
"""The chance that a fall which stopped is a sound rail's; a judgement, no source."""
_LEAST = 0.05
"""Of the draws, below the least that is told with 95 %."""
FUEL = "Fuel: {fuel}; its bulk modulus here is known to ± {share} % (95 %)."
BEYOND = "{fuel}: {value} {unit} is outside {low} to {high} {unit}: extrapolating"
NO_VOLUME = Message("The volume is not known: pressure alone is judged, and no flow is said.")
AT_MEAN = "leak_at_line is for {mean} bar, the mean; leak_collected for the mean pressure and the stated fuel temperature."
AT_REFERENCE = "leak_at_line is for {mean} bar, the mean; leak_collected for {reference} and the stated fuel temperature."
LIMIT_WHERE = Message(
    "At which pressure the limit is stated was not said (reference): it was compared with the leak at the mean pressure."
)
AFTER = "pressure_after and fall_after are for {after} from the start, the sensor's zero taken out."
AS_WELL_TIGHT = Message("A tight rail explains the fall at least as well as a leak does.")
PERHAPS_TIGHT = (
    "There is a chance of {chance} % that this rail is tight and cooling made the whole fall. A leak counts as shown where it "
    "is below {least} %."
)


class Seen(NamedTuple):
    """What one way of holding brings beside what all have in common. Pressures MPa gauge."""

    outputs: dict[str, Estimate | str]
    mean: float
    end: float
    fell: bool
    leaks: bool
    tight: bool
    """No leak shows at all."""
    doubts: tuple[Doubt, ...]
    notes: tuple[Message, ...]
    middle: MiddleValues
    plots: tuple[Plot, ...] = ()
    flows: bool = True
    """Whether flows are told as numbers: not where the rail was empty at the end, and nobody saw since when."""
    read_after: float | None = None
    """s from the start, at which the last of two readings was taken; None where the whole course was seen."""
    stops: Message | None = None
    """That the fall was over before its record was, far above nothing."""


def outcome(found: Found, rail: Rail, wanted: Wanted, fuel: FuelModel, seen: Seen) -> Result:
    """All of it put together; without verdict and finding where the outlet valve empties the rail by design."""
    doubts, empty = seen.doubts, may_be_empty(seen.end, rail)
    judged = rail.outlet_valve != "open-at-rest"
    known = dict(quantities(found, rail, wanted, empty=empty, stops=seen.stops is not None, read_after=seen.read_after))
    verdicts = tuple(_verdicts(known, wanted, doubts, stops=seen.stops is not None)) if judged else ()
    low, more = low_pressure(seen.mean, wanted), next_undecided(rail, wanted, empty=empty)
    ground = Ground(rail.outlet_valve, seen.leaks, seen.tight, doubts, seen.fell, low, more, seen.stops)
    tight = () if seen.leaks else (_tight(found.tight_share) if seen.fell else STOOD_STILL,)
    return Result(
        outputs={**_outputs(found, rail, known, flows=seen.flows), **seen.outputs},
        verdicts=verdicts,
        findings=(finding(verdicts, ground),) if judged else (),
        notes=(*_notes(rail, wanted, fuel, seen.mean), *seen.notes, *tight),
        warnings=(*(doubt.words for doubt in doubts), *_emptied(known, wanted), *(() if judged else (VALVE_OPEN,))),
        steps=steps(seen.middle, rail, wanted.in_units()[0], fuel.coefficients),
        plots=seen.plots,
        sources=fuel.sources,
        judged=judged,
        answers=tuple(_answers(known, verdicts, seen.stops)) if judged else (),
        met={"filled": low is None},
    )


def estimate(interval: Interval, unit: str, factor: float = 1.0) -> Estimate:
    """An interval as an output."""
    low, high = interval.low * factor, interval.high * factor
    return Estimate(min(max(interval.value * factor, low), high), unit, low, high)


def _outputs(found: Found, rail: Rail, known: dict[str, Draws], *, flows: bool) -> dict[str, Draws | Estimate | str]:
    """What both ways give. Without a volume no flow, nor without `flows`."""
    outputs: dict[str, Draws | Estimate | str] = {
        "bulk_modulus": estimate(found.bulk_modulus, "MPa"),
        "cooling_drop": estimate(found.cooling_pressure_drop, "bar", 10.0),
    }
    if rail.known_volume is not None and flows:
        outputs["leak_at_line"] = estimate(found.leak_at_line, "mL/min")
        outputs["leak_collected"] = estimate(found.leak_collected, "mL/min")
        outputs["equivalent_orifice"] = estimate(found.equivalent_orifice, "mm")
    return outputs | {name: known[name] for name in ("pressure_after", "fall_after") if name in known}


def _verdicts(known: dict[str, Draws], wanted: Wanted, doubts: tuple[Doubt, ...], *, stops: bool) -> Iterator[Verdict]:
    """One for each limit, from the draws; with a doubt it stays undecided, and no chance is told. What doubts the flow need not
    doubt a pressure that was read. Where the fall `stops`, its flow is that of a valve that was open, and proves none small."""
    doubt = any(each.pressure for each in doubts)
    limits = {"leak_collected": wanted.limit, "pressure_after": wanted.pressure_limit, "fall_after": wanted.fall_limit}
    for name, limit in limits.items():
        if limit is not None and name in known:
            made, flow = judge(name, known[name], limit), name == "leak_collected"
            opened = doubt or (flow and (bool(doubts) or (stops and made.verdict == "within")))
            yield replace(made, verdict="undecided", probability=None) if opened else made


def _emptied(known: dict[str, Draws], wanted: Wanted) -> Iterator[Message]:
    """That the rail may have been empty at the end, and how much it leaks at least, where no verdict says it."""
    leak = known.get("leak_collected")
    if wanted.flow and leak is not None and not leak.told:
        yield NEAR_ZERO
        if wanted.limit is None:
            yield Message(LEAST, bound=leak.bound())


def _answers(known: dict[str, Draws], verdicts: tuple[Verdict, ...], stops: Message | None) -> Iterator[Answer]:
    """Where the leak is known as a least and is too much, that least is what is lost. A fall that `stops` speaks of valves, and
    whatever is within its limit then clears nothing."""
    leak = known.get("leak_collected")
    outside = [verdict for verdict in verdicts if verdict.verdict == "outside"]
    if stops:
        yield Answer("stops", _STOPPED, said=stops)
        if not outside:
            yield Answer()
    found = next((verdict for verdict in outside if verdict.bound), None)
    if leak is not None and not leak.told and found is not None and found.probability is not None:
        yield Answer("", found.probability, brings={LOST: leak.quantile(_LEAST)})


def _tight(share: float) -> Message:
    """`share`: how probable a tight rail is."""
    if share >= 0.5:
        return AS_WELL_TIGHT
    chance = float(round(100 * share)) if share >= 0.01 else rounded(100 * share, 1)
    return Message(PERHAPS_TIGHT, chance=chance, least=rounded(100 * STILL_TIGHT, 1))


def _notes(rail: Rail, wanted: Wanted, fuel: FuelModel, mean: float) -> Iterator[Message]:
    """On the fuel, what the flows are stated for, the valve; `mean` in MPa gauge."""
    t, p = rail.temperature.number("°C"), min(mean + ANCHOR_PRESSURE, MODEL_PRESSURES[1])
    share = round(196 * fuel.relative_uncertainty("isothermal_modulus", t, p))
    yield Message(FUEL, fuel=Message.of(fuel.title), share=share)
    if beyond := fuel.beyond(t, p):
        yield Message(BEYOND, fuel=fuel.name, **beyond._asdict())
    yield from map(Message.of, fuel.notes)
    if rail.known_volume is None:
        yield NO_VOLUME
    elif wanted.reference is None:
        yield Message(AT_MEAN, mean=round(10 * mean))
    else:
        yield Message(AT_REFERENCE, mean=round(10 * mean), reference=wanted.reference)
    if rail.known_volume is not None and wanted.limit is not None and wanted.reference is None:
        yield LIMIT_WHERE
    if wanted.after is not None:
        yield Message(AFTER, after=wanted.after)
    if rail.outlet_valve == "unknown":
        yield VALVE_UNKNOWN
    yield HEAT
