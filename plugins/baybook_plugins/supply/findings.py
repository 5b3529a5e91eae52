"""What the readings of the supply say together, and what to read next."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from baybook.api import Answer, Estimate, Finding, Meaning, Message, Verdict, Word, drawn
from baybook.dataclass import replace

from .suspects import PUMPS, SAYS, left, tests

OUTSIDE = "{what}: {value} is outside {range}"
OUTSIDE_SAYS = "{what}: {value} is outside {range}: {says}"
UNSURE = "{what}: {value} is too uncertain to be judged against {range}"
SURE = 0.95
"""How sure what is seen and heard is. common practice, no source."""
PLAIN = 0.999
"""The same of what nobody can miss."""
BEFORE = Message("pressure before the filter")
DEAD, USUAL_CURRENT = 0.05, 5.0
"""Below this share of its range, or without one of so many A, no current flows. common practice, no source."""
FROM_SOLUTION = 0.01
"""So much air out of solution, of the fuel's volume, may be what is seen. common practice, no source."""
NO_CURRENT = Message("No current flows in the electric pump where it should: fuse, relay, drive, a wire, its motor, or a clamp "
                     "that is not round one wire")  # fmt: skip
LIVE = Message("supply and ground at its plug while it should run (calculator drop); engine stopped, rail seen to fall to zero")
ELECTRIC = ("pump_current", "voltage_drop")
SILENT = {
    "tank pump": Message("The tank pump does not run"),
    "intermediate pump": Message("The intermediate pump does not run"),
}
CLEAR_HOSE = Message("bubbles in a clear hose")
DEAD_WIRE = Message("A voltage drop says something only where current flows: read the current, or hear the pump run")
WIRED = Message("The electric pump gets its current, and its wiring drops no more than it may")
DRAWN_IN = Message("Bubbles, and no depression that would bring them out of solution: air is drawn in on the way")
AIR_NEXT = Message(
    "bleed it the maker's way; look at the filter's seal and at each union, first where work was done last; then a clear hose "
    "nearer to the tank, fitted at zero pressure: where they begin (observation, with its place)"
)
MAY_DISSOLVE = Message("Bubbles at a depression that by itself can bring air out of solution: they prove no leak")
NOBODY = Message("What was read takes every usual suspect off: check gauge and range")
CLOSER = Message("read it more closely, or at the range's own condition")


class Seen(NamedTuple):
    """What was read.

    found: outputs; parts: what is said of the low-pressure pumps; before: the pressure before the filter; warm: whether the
    fuel is known to be too warm for wax.
    """

    found: Mapping[str, Estimate]
    verdicts: Sequence[Verdict]
    collected: str
    air: str | None
    parts: Mapping[str, str]
    before: Estimate | None = None
    warm: bool = False

    @property
    def ways(self) -> dict[str, str]:
        """For each judged output: below, above, within or undecided."""
        return {verdict.what: verdict.way or verdict.verdict for verdict in self.verdicts}

    @property
    def dead(self) -> bool:
        """Whether no current flows in the electric pump."""
        current = self.found.get("pump_current")
        low = next((v.range.to("A").low for v in self.verdicts if v.what == "pump_current"), None)
        return current is not None and current.high < DEAD * (low or USUAL_CURRENT)

    @property
    def flows(self) -> bool:
        """Whether current is known to flow in the electric pump."""
        return ("pump_current" in self.found and not self.dead) or "runs" in self.parts.values()

    def counting(self) -> Seen:
        """The same where a small voltage drop that no current is known to make decides nothing."""
        kept = [v if v.what != "voltage_drop" or v.verdict != "within" or self.flows else
                replace(v, verdict="undecided", probability=None) for v in self.verdicts]  # fmt: skip
        return self._replace(verdicts=tuple(kept))

    def answers(self) -> Iterator[Answer]:
        """What pressures are a case of, what was seen and heard, as answers to the sense's own questions."""
        for verdict in self.verdicts:
            if verdict.what.endswith("_pressure"):
                yield from of_pressure(verdict)
        if self.air == "none" or self.air_drawn_in:
            yield Answer("air", SURE if self.air == "none" else 1.0 - (PLAIN if self.air == "many" else SURE), said=CLEAR_HOSE)
        yield from drawn(depression=any(p.high < 0.0 for name, p in self.found.items() if name.endswith("_pressure")))
        yield from self._before_filter()
        drop = next((v for v in self.verdicts if v.what == "filter_drop"), None)
        if self.warm and drop is not None and drop.probability is not None:
            yield Answer("filter_drop")
            yield Answer("filter drop, warm", drop.probability, said=Message("filter drop with warm fuel"))
        for pump in PUMPS:
            if self.parts.get(pump) == "silent":
                yield Answer(f"{pump} runs", 1.0 - SURE, said=SILENT[pump])

    def _before_filter(self) -> Iterator[Answer]:
        """The pressure before the filter, as good or bad as what is wanted behind it."""
        limit = next((v.range for v in self.verdicts if v.what == "load_pressure"), None)
        if self.before is None or limit is None:
            return
        ends = limit.to(self.before.unit)
        if ends.low is not None and ends.low > 0.0:
            yield Answer("before low", 1.0 - self.before.below(ends.low), said=BEFORE)
        if ends.high is not None and ends.high > 0.0:
            yield Answer("before high", 1.0 - self.before.above(ends.high), said=BEFORE)

    @property
    def air_drawn_in(self) -> bool:
        """Whether bubbles are seen that no depression explains."""
        released = self.found.get("released_air")
        return self.air in ("few", "many") and (released is None or released.to("1").high < FROM_SOLUTION)

    def words(self) -> Iterator[str]:
        """The readings as `suspects` names them."""
        for name, word in self.ways.items():
            if name in ("flow", "surplus") and self.collected == "return":
                yield "comes back" if word in ("within", "above") else ""
            elif name in ("flow", "surplus"):
                yield f"{self.collected} {'within' if word == 'above' else word}"
            else:
                yield f"{name.removesuffix('_pressure').removeprefix('pump_').replace('_', ' ')} {word}"
        yield from (f"{pump} silent" for pump in PUMPS if self.parts.get(pump) == "silent")
        yield from (word for word, holds in (
            ("no current", self.dead), ("air none", self.air == "none"), ("air drawn in", self.air_drawn_in)) if holds
        )  # fmt: skip

    @property
    def done(self) -> set[str]:
        """The tests that were made."""
        read = {"voltage drop": "voltage_drop", "current": "pump_current", "filter drop": "filter_drop", "flow": "flow"}
        return {test for test, name in read.items() if name in self.found} | ({"air"} if self.air else set())

    @property
    def missing(self) -> set[str]:
        """Parts that are not fitted."""
        return {part for part, word in self.parts.items() if word == "not-fitted"}

    def cases(self) -> dict[str, list[Verdict]]:
        """Pressures beyond their range, by what that is a case of."""
        found: dict[str, list[Verdict]] = {}
        for verdict in self.verdicts:
            if verdict.what.endswith("_pressure") and verdict.verdict == "outside":
                found.setdefault(case(verdict), []).append(verdict)
        return found


def case(verdict: Verdict) -> str:
    """What a pressure beyond its range is a case of."""
    assert verdict.measured is not None  # judged from an estimate
    if verdict.way == "below":
        return "sucking" if verdict.measured.value < 0 else "starved"
    return "slack" if (verdict.range.high or 0.0) <= 0 else "overfed"


def of_pressure(verdict: Verdict) -> Iterator[Answer]:
    """Both ends of its range, each to the question of its case."""
    value = verdict.measured
    assert value is not None  # judged from an estimate
    limits, said = (
        verdict.range.to(value.unit),
        Message("{what}: {verdict}", what=Word(verdict.what), verdict=Word(verdict.verdict, "verdict")),
    )
    if limits.low is not None:
        starved = "starved at idle" if verdict.what == "idle_pressure" else "starved"
        sucking = "sucking" if verdict.what == "load_pressure" else "sucking, little flowing"
        yield Answer(sucking if min(value.value, limits.low) < 0 else starved, 1.0 - value.below(limits.low), said=said)
    if limits.high is not None and (limits.high != 0 or value.value > 0):  # (that it draws at all tells not how well it draws)
        yield Answer("slack" if limits.high <= 0 else "overfed", 1.0 - value.above(limits.high), said=said)


BEHIND = (
    "{told} within range: little holds the fuel back before the gauge. Whether a suction pump behind it passes on enough, that "
    "does not tell: a worn one draws less."
)
SUCTION_PUMP = Message(
    "what that pump gives: pressure or flow behind it, where the data say how; else that pump by itself (observation)"
)
AT_WORK = ("load_pressure", "cranking_pressure")
NO_LEAST = "Not more than is allowed; whether enough reaches the pump takes the least that the data allow."


def state(seen: Seen) -> str:
    """In one word."""
    cases, ways = seen.cases(), seen.ways
    if {"starved", "sucking", "slack"} & set(cases) or "below" in (ways.get("flow"), ways.get("surplus")):
        return "too little"
    return "too much" if cases else "enough" if enough(seen) else "open"


def drawn_through(seen: Seen) -> list[Verdict]:
    """Depressions of the engine at work that are within: a suction pump behind the gauge, where one may be, is not seen."""
    read = [v for v in seen.verdicts if v.what in AT_WORK and v.verdict == "within" and (v.range.low or 0.0) < 0.0]
    return [] if seen.parts.get("suction pump") == "not-fitted" else read


def enough(seen: Seen) -> bool:
    """Whether all that was judged is within, and one of it tells of the engine at work; bubbles leave it open."""
    ways, behind = seen.ways, drawn_through(seen)
    loaded = seen.collected != "free" and ways.get("flow", ways.get("surplus")) == "within"
    told = loaded or any(
        v.what in AT_WORK and v.verdict == "within" and v.range.low is not None and v not in behind for v in seen.verdicts
    )
    return told and set(ways.values()) == {"within"} and seen.air not in ("few", "many") and not seen.dead


def findings(seen: Seen, meanings: Sequence[Meaning]) -> tuple[Finding, ...]:
    """What is wrong, else what is too uncertain, else how far nothing is; and the electric pump's wiring for itself."""
    return (*(tuple(_wrong(seen, meanings)) or tuple(_open(seen)) or tuple(_cleared(seen))), *_wiring(seen))


def _wrong(seen: Seen, meanings: Sequence[Meaning]) -> Iterator[Finding]:
    for found, verdicts in seen.cases().items():
        yield _lack(seen, found, verdicts)
    for verdict in seen.verdicts:
        if verdict.verdict == "outside" and not verdict.what.endswith("_pressure") and not (
            verdict.what == "pump_current" and seen.dead
        ):  # fmt: skip
            meant = next((m for m in meanings if (m.output, m.verdict) == (verdict.what, verdict.way or verdict.verdict)), None)
            says = {"says": Message(meant.says)} if meant else {}
            said = Message(OUTSIDE_SAYS if meant else OUTSIDE, **_told(verdict), **says)
            yield Finding("", meant.side if meant else "", said, "indicated", meant.next_test if meant else "")
    if seen.dead:
        yield Finding("supply", "control", NO_CURRENT, "indicated", LIVE)
    yield from (Finding("supply", "control", SILENT[p], "indicated", LIVE) for p in PUMPS if seen.parts.get(p) == "silent")
    if seen.air_drawn_in:
        yield Finding("", "", DRAWN_IN, "indicated", AIR_NEXT)


def _told(verdict: Verdict) -> dict[str, Any]:
    return {"what": Word(verdict.what, capital=True), "value": verdict.measured, "range": verdict.range}


def _lack(seen: Seen, found: str, verdicts: Sequence[Verdict]) -> Finding:
    who, pointed = left(found, seen.words(), seen.missing)
    whom = (
        Message("The other readings point at {parts}" if pointed else "Left to suspect: {parts}", parts=who) if who else NOBODY
    )
    read = [Message(OUTSIDE, **_told(verdict)) for verdict in verdicts]
    then = tests(found, seen.done, seen.missing)
    return Finding(
        "", "", Message("{readings}: {says}. {whom}", readings=read, says=SAYS[found], whom=whom), "indicated",
        Message("read {tests}", tests=then) if then and not pointed else
        Message("check what the readings point at, put it right, then read again") if pointed else
        Message("check them one by one, the nearest first; returns and outlet valve (calculator returns)"),
    )  # fmt: skip


def _open(seen: Seen) -> Iterator[Finding]:
    for verdict in seen.verdicts:
        if verdict.probability is None:
            yield Finding("", "control", DEAD_WIRE, "undecided", LIVE)
        elif verdict.verdict == "undecided":
            yield Finding("", "", Message(UNSURE, **_told(verdict)), "undecided", CLOSER)
    if seen.air in ("few", "many"):
        yield Finding(
            "", "", MAY_DISSOLVE, "undecided", Message("find what holds the fuel back (calculator line), then look again")
        )


def _cleared(seen: Seen) -> Iterator[Finding]:
    if enough(seen):
        bubbles = Message("bubbles were looked for") if seen.air else Message("bubbles were not looked for")
        told = [Word(name) for name in seen.ways if name not in ELECTRIC]
        said = Message(
            "Enough reaches the pump in the condition read: {told} within range; {bubbles}", told=told, bubbles=bubbles
        )
        yield Finding("", "", said, "cleared", Message("generation: the high-pressure pump (calculator pump)"))
    elif behind := drawn_through(seen):
        said = Message(BEHIND, told=[Word(verdict.what) for verdict in behind])
        yield Finding("", "", said, "undecided", SUCTION_PUMP)
    elif any(verdict.what in AT_WORK and verdict.range.low is None for verdict in seen.verdicts):
        yield Finding("", "", NO_LEAST, "undecided", Message("find the least pressure in the maker's data, and type both ends"))
    elif hydraulic := [Word(name) for name in seen.ways if name not in ELECTRIC]:
        yield Finding("", "", Message("Within range, but not where the engine is at work: {told}", told=hydraulic), "undecided",
                      Message("read the pressure at the pump's inlet under load, where the complaint is"))  # fmt: skip


def _wiring(seen: Seen) -> Iterator[Finding]:
    if (seen.ways.get("voltage_drop"), seen.ways.get("pump_current")) == ("within", "within"):
        yield Finding("supply", "control", WIRED, "cleared")
