"""What a crank says: what is cleared, whether pump or loss accounts for a pressure that is not reached, what is left open."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Literal, NamedTuple

from baybook.api import Estimate, Finding, Message, SpecRange, Verdict, Word
from baybook_physics.inference.intervals import normal_share

from .method import SIGNALS, TURNS, UNSEEN

Strength = Literal["indicated", "undecided"]
SURE = 0.95  # at which one of two is named: as for a verdict
LEAST = 20.0  # % of one element: less is no fault that keeps pressure away (common practice, no source)
SLOW = (
    "The starter turns the engine at {speed}, outside {limit}: a pump gives less the slower it turns, and a pressure that is "
    "not reached proves nothing of the fuel system."
)
STARTER = Message("battery, starter and engine drag first; then crank again")
FLAT = (
    "The battery falls to {battery} while cranking, outside {limit}: starter, control unit and valves get too little, and what "
    "else is read proves little."
)
BATTERY = Message("charge or test the battery and its leads, then crank again")
STARVED = "The supply pressure falls to {supply} while cranking, outside {limit}: the pump is not fed as it should be."
CHECK = Message("check number and unit of the reading and of the limit")
SUPPLY = Message("measure supply pressure and flow, then filter, lines and the low-pressure pumps")
VALVES = {"inlet": "inlet valve", "outlet": "outlet valve"}
UNDRIVEN = "While cranking the {valve} gets {current} at a duty of {duty}: its coil is not driven, and pressure follows."
DRIVE = Message(
    "engine stopped, rail seen to fall to zero, key off: measure the coil (calculator coil), its plugs and both wires; then "
    "its drive"
)
UNEVEN = (
    "Pressure rises and falls once in a turn of the pump, more than with its strokes: one element lacks {lacking} of its "
    "delivery at least."
)
RIPPLE = Message("confirm it by the orders of the pump (calculator ripple), then have the pump tested")
LIKELY_LOST = (
    "The pump gives {delivery}, {share} of what it sweeps, and {lost} is lost at this pressure: more is lost than the pump "
    "lacks."
)
LIKELY_PUMP = (
    "The pump gives {delivery}, {share} of what it sweeps, and {lost} is lost at this pressure: the pump lacks more than is "
    "lost. Its supply, its inlet, its elements or its drive, if the sensor is right."
)
LETS_GO = (
    "While it rose the pump gave {least} at least, far more than the rail loses at rest, and then it stood still: something "
    "lets go at this pressure and shuts again below it. That is the outlet valve, what drives it, or the relief valve, rather "
    "than the pump."
)
VALVE = Message(
    "log the outlet valve's current beside its duty while cranking; then collect what returns from the outlet valve and from "
    "the relief valve (calculator return-parts)"
)
OPEN = "Whether the pump gives too little or too much is lost, these readings do not tell."
WHERE = Message(
    "collect the returns of the injectors (calculator returns), then of the outlet valve (calculator return-parts); then the "
    "shut rail (calculator hold)"
)
PUMP = Message(
    "prove the supply under load first; then see what the pump gives with the outlet valve driven shut the maker's way"
)
BOTH = Message(
    "supply pressure and flow first; the injectors' returns (calculator returns); the shut rail "
    "(calculator hold); then the pump"
)
RETURNED = (
    "The injectors returned {returned}, {returned_share} of what the pump gave meanwhile: that is where most of it goes. Which "
    "injector, their returns one by one tell."
)
EACH = Message("compare the injectors' returns one by one (calculator returns)")
NOT_LOST_THERE = "The injectors returned {returned_share} of what the pump gave meanwhile: most of it goes elsewhere."
FREE_AIR = (
    "{filled} was pumped before the pressure rose at all: free air in the fuel, or lines and filter that were not filled."
)
BUBBLES = Message(
    "look for bubbles in a clear hose on the low-pressure side, fitted with the engine stopped; bleed as the data say"
)
ENABLED = "Pressure reaches {pressure}, and what the control waits for after {time}: while cranking, pressure is there."
ENABLED_UNTIMED = "Pressure reaches {pressure}, within {limit}: while cranking, pressure is there."
INJECTION = Message("if it does not start: speed and phase signals, immobiliser, injectors' drive, compression")
LEAKS = (
    "Pressure reaches {pressure}, yet {lost} is lost there, while the pump gives {delivery}: enough to start, but whether no "
    "more is lost than should be, this does not tell."
)
LEAKS_OF_ALL = (
    "Pressure reaches {pressure}, yet {lost} is lost there, of {delivery} that the pump can give at most: enough to start, but "
    "whether no more is lost than should be, this does not tell."
)
STANDS = (
    "Before the starter turns the sensor shows {standing}: pressure that was left, or a sensor that does not return to zero; a "
    "pressure that it tells may be wrong by as much."
)
SENSOR = Message("check the sensor's zero after standing (calculator sensor)")
BELOW_ZERO = (
    "Before the starter turns the sensor shows {standing}, less than nothing: no rail holds that, so the sensor, its ground or "
    "its supply misreport, and what it tells while cranking is too little by about as much."
)
MISSED = "Pressure reaches {pressure} only, outside {limit}."
NEVER = "The enabling pressure is not there within {limit}."
BELOW_TARGET = (
    "Pressure reaches {pressure} while the control wants {target}: enough to release injection, and still too little."
)
MORE = "{what} of {value} is outside {limit}: more than is wanted, which keeps no pressure away."
LATE = "Pressure is there only after {time}, outside {limit}: it comes too slowly."


class Situation(NamedTuple):
    """All that was read and judged, by the outputs' names."""

    found: Mapping[str, Estimate]
    verdicts: Mapping[str, Verdict]
    off_zero: float
    """bar: by how much the sensor shows more, or less, than nothing before the starter turns; 0 within its uncertainty."""
    lacking: Estimate | None = None
    elements: int = 0
    wanted: Estimate | None = None
    """The target while cranking, where it was logged for long enough."""
    currents: tuple[tuple[str, Estimate, Estimate, bool], ...] = ()
    """Valves that a duty asks of: duty, current, and whether that is none."""
    opens: str = ""
    """Whether something lets go at the pressure that is held and shuts again below it: it "may", or "does"."""
    swept: Estimate | None = None
    """What the pump sweeps: it gives no more."""
    shown: Estimate | None = None
    """The pressure as shown, without the doubt of the sensor's zero, which is in all that the same sensor shows."""

    @property
    def unseen(self) -> bool:
        """Whether no speed was shown while cranking."""
        return "speed" in self.found and self.found["speed"].to("rpm").high < TURNS

    def outside(self, output: str) -> SpecRange | None:
        """The range that it is outside of."""
        verdict = self.verdicts.get(output)
        return verdict.range if verdict is not None and verdict.verdict == "outside" else None

    def too_low(self, output: str) -> SpecRange | None:
        """The range that it is below."""
        verdict = self.verdicts.get(output)
        return verdict.range if verdict is not None and verdict.way == "below" else None

    def within(self, output: str) -> bool:
        """Whether it was judged to be within its range."""
        return output in self.verdicts and self.verdicts[output].verdict == "within"


def findings(seen: Situation) -> Iterator[Finding]:
    """All that follows, the circumstances first."""
    found = seen.found
    bad = [*circumstances(seen)]
    yield from bad
    air = found.get("filled_first")
    if air is not None and air.low > stroke(seen):
        yield Finding("supply", "hydraulic", Message(FREE_AIR, filled=air), "indicated", BUBBLES)
    if told := short(seen):
        yield from _too_little(seen, told, sound=not bad)
    else:
        yield from _enough(seen)
        yield from uneven(seen)
    yield from _more(seen)
    if seen.off_zero:
        below = seen.off_zero < 0
        told = Message(BELOW_ZERO if below else STANDS, standing=found["standing_pressure"])
        yield Finding("storage", "control", told, "indicated" if below else "undecided", SENSOR)


def _more(seen: Situation) -> Iterator[Finding]:
    """What is above its range: no reason for a pressure that is not reached."""
    for name in ("speed", "battery", "supply_pressure"):
        if (limit := seen.outside(name)) and not seen.too_low(name):
            told = Message(MORE, what=Word(name, capital=True), value=seen.found[name], limit=limit)
            stage: Literal["supply", "generation"] = "supply" if name == "supply_pressure" else "generation"
            yield Finding(stage, "hydraulic", told, "undecided", CHECK, at_desk=True)


def short(seen: Situation) -> Message | None:
    """What is short: the pressure, its time, or the target that the control wants meanwhile; None for nothing."""
    found = seen.found
    pressure, time = found.get("pressure"), found.get("time")
    if pressure is not None and (limit := seen.outside("pressure")):
        return Message(MISSED, pressure=pressure, limit=limit)
    if limit := seen.outside("time"):
        return Message(LATE, time=time, limit=limit) if time is not None else Message(NEVER, limit=limit)
    if pressure is not None and seen.wanted is not None and (seen.shown or pressure).high < 0.9 * seen.wanted.value:
        return Message(BELOW_TARGET, pressure=pressure, target=seen.wanted)
    return None


def stroke(seen: Situation) -> float:
    """mL: what one stroke gives; less than that may be the stroke in which the crank began."""
    delivery, speed = seen.found.get("delivery"), seen.found.get("speed")
    if delivery is None or speed is None or speed.value <= 0:
        return 0.0
    return delivery.to("mL/min").value / speed.to("rpm").value / max(seen.elements, 2)


def circumstances(seen: Situation) -> Iterator[Finding]:
    """What makes a pressure that is not reached prove nothing: starter, battery, a valve without current, a starved pump."""
    if seen.unseen:
        yield Finding("generation", "control", Message(UNSEEN, speed=seen.found["speed"]), "indicated", SIGNALS)
    elif limit := seen.too_low("speed"):
        yield Finding("generation", "hydraulic", Message(SLOW, speed=seen.found["speed"], limit=limit), "undecided", STARTER)
    if limit := seen.too_low("battery"):
        yield Finding("generation", "control", Message(FLAT, battery=seen.found["battery"], limit=limit), "undecided", BATTERY)
    for valve, duty, current, none in seen.currents:
        if not none:
            continue
        told = Message(UNDRIVEN, valve=Message(VALVES[valve]), duty=duty, current=current)
        yield Finding("generation" if valve == "inlet" else "storage", "control", told, "indicated", DRIVE)
    if limit := seen.too_low("supply_pressure"):
        told = Message(STARVED, supply=seen.found["supply_pressure"], limit=limit)
        yield Finding("supply", "hydraulic", told, "indicated", SUPPLY)


def _too_little(seen: Situation, told: Message, *, sound: bool) -> Iterator[Finding]:
    """Which of pump and loss accounts for more; it stays open where nothing tells them apart, or the circumstances were bad."""
    found = seen.found
    one = [*uneven(seen)]
    yield from one
    if one:
        return
    if seen.opens == "does" and sound:
        yield _lets_go(seen, told)
        yield from _returned(seen, "undecided")
        return
    chance = more_lost(seen) if sound else None
    if chance is None:
        yield Finding("generation", "hydraulic", Message("{told} {open}", told=told, open=Message(OPEN)), "undecided", BOTH)
        yield from _returned(seen, "undecided")
        return
    numbers = {"delivery": found["delivery"], "share": found["delivery_share"].to("%"), "lost": found["lost"]}
    if chance >= SURE:
        why = Message("{told} {why}", told=told, why=Message(LIKELY_LOST, **numbers))
        returned = [*_returned(seen, "indicated")]
        there = bool(returned) and returned[0].strength == "indicated"
        yield Finding("storage", "hydraulic", why, "undecided" if there else "indicated", WHERE)
        yield from returned
    elif chance <= 1.0 - SURE:
        why = Message("{told} {why}", told=told, why=Message(LIKELY_PUMP, **numbers))
        yield Finding("generation", "hydraulic", why, "indicated", PUMP)
    else:
        yield Finding("generation", "hydraulic", Message("{told} {open}", told=told, open=Message(OPEN)), "undecided", BOTH)
        yield from _returned(seen, "undecided")


def _lets_go(seen: Situation, told: Message) -> Finding:
    """A valve that opens too soon, its own fault where current drives it."""
    least = Estimate.of(float(f"{seen.found['delivery'].to('mL/min').low:.2g}"), "mL/min", kind="flow")
    driven = any(valve == "outlet" for valve, *_ in seen.currents)
    why = Message("{told} {why}", told=told, why=Message(LETS_GO, least=least))
    return Finding("storage", "hydraulic", why, "indicated" if driven else "undecided", VALVE)


def more_lost(seen: Situation) -> float | None:
    """The chance that more is lost than the pump lacks of what it sweeps; None where pump and loss are not told apart.

    What the pump gives moves both: less that it lacks is more that is lost, so their errors add.
    """
    delivery, share, lost = (seen.found.get(name) for name in ("delivery", "delivery_share", "lost"))
    if delivery is None or share is None or lost is None or seen.opens:
        return None
    swept = delivery.to("mL/min").value / max(share.to("1").value, 1e-9)
    more = lost.to("mL/min").value - swept * (1.0 - share.to("1").value)
    return normal_share(more / max(swept * share.to("1").u + lost.to("mL/min").u, 1e-9))


def _returned(seen: Situation, most: Strength) -> Iterator[Finding]:
    """Whether the injectors' returns are where it goes. Sound injectors return most of a weak pump's fuel too, so this is no
    stronger than the loss itself."""
    share, returned = seen.found.get("returned_share"), seen.found.get("returned")
    if share is None or returned is None:
        return
    if share.to("1").low > 0.5:
        told = Message(RETURNED, returned=returned, returned_share=share)
        yield Finding("delivery", "hydraulic", told, most, EACH)
    elif share.to("1").high < 0.5:
        yield Finding("delivery", "hydraulic", Message(NOT_LOST_THERE, returned_share=share), "cleared")


def uneven(seen: Situation) -> Iterator[Finding]:
    """One element far weaker than the others."""
    if seen.lacking is not None and seen.lacking.to("%").low > LEAST:
        yield Finding("generation", "hydraulic", Message(UNEVEN, lacking=seen.lacking), "indicated", RIPPLE)


def _enough(seen: Situation) -> Iterator[Finding]:
    if not seen.within("pressure") or seen.off_zero:
        return
    pressure, time = seen.found["pressure"], seen.found.get("time")
    lost, gives = seen.found.get("lost"), seen.found.get("delivery", seen.swept)
    if lost is not None and gives is not None and losing(lost, gives) >= 0.5:
        told = Message(LEAKS if "delivery" in seen.found else LEAKS_OF_ALL, pressure=pressure, lost=lost, delivery=gives)
        yield Finding("storage", "hydraulic", told, "undecided", WHERE)
        return
    limit = seen.verdicts["pressure"].range
    untimed = Message(ENABLED_UNTIMED, pressure=pressure, limit=limit)
    told = untimed if time is None else Message(ENABLED, pressure=pressure, time=time)
    yield Finding("storage", "hydraulic", told, "cleared", INJECTION)


def losing(lost: Estimate, gives: Estimate) -> float:
    """The chance that more than half is lost of what the pump gives while cranking."""
    lost, gives = lost.to("mL/min"), gives.to("mL/min")
    return normal_share((lost.value - 0.5 * gives.value) / max((lost.u**2 + (0.5 * gives.u) ** 2) ** 0.5, 1e-9))
