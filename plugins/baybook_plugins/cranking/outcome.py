"""Readings or a capture to outputs, verdicts and findings."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from baybook.api import COVERAGE, Estimate, Message, Reading, Result, SpecRange, Verdict, Word, judge, propagate
from baybook.dataclass import replace

from .build_up import Known, expected
from .evidence import answers
from .findings import Situation, findings

if TYPE_CHECKING:
    from .rows import Seen

UNREAD = {
    "supply_pressure": Message(
        "No column of this capture is plainly the supply pressure, or it holds too little while cranking: its limit judged "
        'nothing, and nothing of the supply is cleared. Name the column: --column low="…".'
    ),
    "battery": Message(
        "No column of this capture is plainly the battery's voltage, or it holds too little while cranking: its limit judged "
        'nothing. Name the column: --column battery="…".'
    ),
}
UNJUDGED = "The limit of {what} judged nothing: what was given does not tell it."


def outcome(
    capture: Any,
    typed: Mapping[str, Reading | None],
    returned: Reading | None,
    known: Known,
    limits: Mapping[str, SpecRange | None],
    zero_uncertainty: Reading,
) -> Result:
    """Work it out and judge it. Raises InputError for a capture that cannot be used."""
    ends = limits["pressure"].to("bar") if limits["pressure"] else None
    wanted = ends.low if ends else None
    seen = _logged(capture, known, wanted)
    told = {name: Estimate.from_reading(reading) for name, reading in typed.items() if reading is not None}
    if seen is not None:
        told |= _told(seen, pump=known.pump is not None)
    if wanted and "speed" in told:
        told |= expected(known, told["speed"], wanted)
    if returned and seen and seen.delivery:
        told |= share_of(returned, seen.delivery, seen.lasted)
    shown = told.get("pressure")
    if shown is not None:
        told["pressure"] = with_zero(shown, zero_uncertainty, off_zero(told.get("standing_pressure"), zero_uncertainty))
    verdicts = {name: judge(name, told[name], limit) for name, limit in limits.items() if limit and name in told}
    late = limits["time"]
    if seen and late and wanted and "time" not in told and seen.lasted.value > (late.to("s").high or 0.0):
        verdicts["time"] = replace(Verdict("time", "outside", 0.0, late), output="time")
    situation = Situation(
        {**told, **({"returned": Estimate.from_reading(returned)} if returned else {})},
        verdicts,
        off_zero(told.get("standing_pressure"), zero_uncertainty),
        seen.lacking if seen else None,
        known.elements or 0,
        seen.wanted if seen else None,
        seen.currents if seen else (),
        seen.opens if seen else "",
        swept(known, told.get("speed")),
        shown,
    )
    found = tuple(findings(situation))
    by = ("battery",) if situation.unseen else ("speed", "battery")
    turned = [verdicts[name].verdict == "within" for name in by if name in verdicts]
    met = {"starter": all(turned)} if ("speed" in by and "speed" in verdicts) or not all(turned) else {}
    notes, plots = (seen.notes, seen.plots) if seen else ((), ())
    notes = (*notes, *_unjudged(limits, told, verdicts, read=seen is not None))
    return Result(told, tuple(verdicts.values()), found, notes, plots=plots, answers=tuple(answers(situation)), met=met)


def _unjudged(
    limits: Mapping[str, SpecRange | None], told: Mapping[str, Estimate], verdicts: Mapping[str, Verdict], *, read: bool
) -> Iterator[Message]:
    """Which limits were typed in vain. read: whether from a capture."""
    for name, limit in limits.items():
        if limit and name not in told and name not in verdicts:
            yield UNREAD[name] if read and name in UNREAD else Message(UNJUDGED, what=Word(name))


def with_zero(shown: Estimate, zero: Reading, off: float = 0.0) -> Estimate:
    """A pressure with the doubt of its sensor's zero, which is the same in every row: JCGM 100:2008, 4.3.7 and 5.1.2.

    off: bar that the sensor was seen to stand off zero, which may all be error: the interval goes as far to that side.
    """
    bar = shown.to("bar")
    wide = COVERAGE * math.hypot(bar.u, zero.number("bar") / COVERAGE)
    low, high = bar.value - wide - max(off, 0.0), bar.value + wide - min(off, 0.0)
    return Estimate(bar.value, "bar", low, high, bar.kind, origin=shown.origin)


def off_zero(standing: Estimate | None, zero: Reading) -> float:
    """bar: by how much the sensor shows more, or less, than nothing before the starter turns; 0 within its uncertainty."""
    if standing is None or abs(standing.to("bar").value) <= zero.number("bar") + COVERAGE * standing.to("bar").u:
        return 0.0
    return standing.to("bar").value


def swept(known: Known, speed: Estimate | None) -> Estimate | None:
    """What the pump sweeps at that speed of the crank; None where its displacement is not known."""
    if known.pump is None or speed is None:
        return None
    parts: dict[str, Reading | Estimate] = {
        "pump": known.pump.to("cm3/rev"), "ratio": known.pump_ratio.to("1"), "speed": speed.to("rpm"),
    }  # fmt: skip
    return propagate(lambda pump, ratio, speed: pump * ratio * speed, "mL/min", **parts)


def _logged(capture: Any, known: Known, wanted: float | None) -> Seen | None:
    if capture is None:
        return None
    from .recording import crank

    return crank(capture, known.rail(), None if wanted is None else wanted / 10)


def _told(seen: Seen, *, pump: bool) -> dict[str, Estimate]:
    """What a capture tells, by the outputs' names; a share needs what the pump sweeps."""
    found = {
        "speed": seen.speed, "pressure": seen.pressure, "standing_pressure": seen.standing, "time": seen.time,
        "battery": seen.battery, "supply_pressure": seen.supply, "delivery": seen.delivery, "lost": seen.lost,
        "delivery_pressure": seen.delivered_at, "delivery_share": seen.share if pump else None,
        "filled_first": seen.filled_first,
    }  # fmt: skip
    return {name: value for name, value in found.items() if value is not None}


def share_of(returned: Reading, delivery: Estimate, lasted: Estimate) -> dict[str, Estimate]:
    """What the injectors returned of all that the pump gave while cranking."""
    meanwhile: dict[str, Any] = {"returned": returned.to("mL"), "flow": delivery.to("mL/min"), "seconds": lasted.to("s")}
    share = propagate(lambda returned, flow, seconds: 100 * returned / (flow / 60 * seconds), "%", **meanwhile)
    return {"returned_share": share}
