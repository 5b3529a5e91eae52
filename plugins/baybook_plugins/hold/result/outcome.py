"""The result of a hold from either estimate: outputs, verdicts, finding, notes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, NamedTuple

from baybook.api import Draws, Estimate, Message, Plot, Result, SpecRange, Verdict, judge
from baybook.dataclass import replace
from baybook_physics.fuels import ANCHOR_PRESSURE, FuelModel
from baybook_physics.fuels.model import MODEL_PRESSURES
from baybook_physics.inference.intervals import Interval

from ..beliefs import STILL_TIGHT
from ..inputs.rail import Rail
from ..inputs.wanted import Wanted
from ..two_point.estimate import TwoReadingResult
from .findings import Doubt, Ground, finding, low_pressure, next_undecided
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
NEAR_ZERO = Message("the pressures lie near the sensor's zero, within its uncertainty: they carry no verdict on a leak")
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
    empty: bool = False
    """The rail was empty at the end: no flow is said."""


def outcome(found: Found, rail: Rail, wanted: Wanted, fuel: FuelModel, seen: Seen) -> Result:
    """All of it put together; without verdict and finding where the outlet valve empties the rail by design."""
    doubts = (*seen.doubts, *_near_zero(seen.end, rail, wanted))
    judged = rail.outlet_valve != "open-at-rest"
    verdicts = tuple(_verdicts(found, wanted, doubts)) if judged else ()
    low, more = low_pressure(seen.mean, wanted), next_undecided(rail, wanted)
    ground = Ground(rail.outlet_valve, seen.leaks, seen.tight, doubts, seen.fell, low, more)
    tight = () if seen.leaks else (_tight(found.tight_share) if seen.fell else STOOD_STILL,)
    return Result(
        outputs={**_outputs(found, rail, wanted, empty=seen.empty), **seen.outputs},
        verdicts=verdicts,
        findings=(finding(verdicts, ground),) if judged else (),
        notes=(*_notes(rail, wanted, fuel, seen.mean), *seen.notes, *tight),
        warnings=(*(doubt.words for doubt in doubts), *(() if judged else (VALVE_OPEN,))),
        steps=steps(seen.middle, rail, wanted.in_units()[0], fuel.coefficients),
        plots=seen.plots,
        sources=fuel.sources,
        judged=judged,
    )


def estimate(interval: Interval, unit: str, factor: float = 1.0) -> Estimate:
    """An interval as an output."""
    low, high = interval.low * factor, interval.high * factor
    return Estimate(min(max(interval.value * factor, low), high), unit, low, high)


def _outputs(found: Found, rail: Rail, wanted: Wanted, *, empty: bool) -> dict[str, Estimate | str]:
    """What both ways give. Without a volume no flow, nor where the rail was empty at the end."""
    outputs: dict[str, Estimate | str] = {
        "bulk_modulus": estimate(found.bulk_modulus, "MPa"),
        "cooling_drop": estimate(found.cooling_pressure_drop, "bar", 10.0),
    }
    if rail.known_volume is not None and not empty:
        outputs["leak_at_line"] = estimate(found.leak_at_line, "mL/min")
        outputs["leak_collected"] = estimate(found.leak_collected, "mL/min")
        outputs["equivalent_orifice"] = estimate(found.equivalent_orifice, "mm")
    if wanted.after is not None and found.after_draws is not None and found.fall_draws is not None:
        outputs["pressure_after"] = _draws(found.after_draws, "gauge pressure").estimate()
        outputs["fall_after"] = _draws(found.fall_draws, "pressure difference").estimate()
    return outputs


def _draws(draws: tuple[Any, Any], kind: str, unit: str = "bar", factor: float = 10.0) -> Draws:
    """Values and weights, of pressures in MPa where nothing else is said."""
    return Draws([factor * float(value) for value in draws[0]], unit, [float(weight) for weight in draws[1]], kind)


def _verdicts(found: Found, wanted: Wanted, doubts: tuple[Doubt, ...]) -> Iterator[Verdict]:
    """One for each limit, from the draws; with a doubt it stays undecided, and no chance is told. What doubts the flow need not
    doubt a pressure that was read."""
    doubt = any(each.pressure for each in doubts)
    if wanted.limit:
        draws = _draws(found.collected_draws, "flow", "mL/min", 1.0)
        yield _judged("leak_collected", draws, wanted.limit, doubt=bool(doubts))
    if wanted.pressure_limit and found.after_draws:
        yield _judged("pressure_after", _draws(found.after_draws, "gauge pressure"), wanted.pressure_limit, doubt=doubt)
    if wanted.fall_limit and found.fall_draws:
        yield _judged("fall_after", _draws(found.fall_draws, "pressure difference"), wanted.fall_limit, doubt=doubt)


def _judged(what: str, draws: Draws, limit: SpecRange, *, doubt: bool) -> Verdict:
    made = judge(what, draws, limit)
    return replace(made, verdict="undecided", probability=None) if doubt else made


def _near_zero(end: float, rail: Rail, wanted: Wanted) -> Iterator[Doubt]:
    """`end` in MPa gauge."""
    if wanted.flow and end - rail.back_pressure.number("MPa") < rail.zero_uncertainty.number("MPa"):
        yield Doubt(NEAR_ZERO, next_undecided(rail, wanted), False)


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
