"""What a fitted hold brings: the leak's law, doubts, notes on the capture, plots."""

from __future__ import annotations

import math
from collections.abc import Iterator

from baybook.api import Estimate, Message, Plot, Series

from ..estimate.posterior import TOO_MUCH
from ..estimate.summary import Curves, HoldEstimate
from ..inputs.rail import Rail
from ..result.findings import NEXT_TYPED, Doubt
from ..result.outcome import Seen, estimate
from ..result.steps import MiddleValues, rounded
from .recording import Held

NEXT_CUT = Message(
    "cut the hold out of the capture with window_start and window_end: from after the pump's stop until before anything opens; "
    "or hold again"
)
NEXT_STOP = Message("hold again with a capture that begins before the stop, with the engine's speed in it")
KEPT_UP = Message("no stop of the pump was seen, and the pressure hardly falls: it may have been kept up")
NO_RAIL = "the pressure moved as no shut rail's does: the fit leaves {times} times the noise"
STRAINED = Message(
    "the pressure moved as no shut rail's does: it would take heat, or a rail, far from all that is believed of such"
)
FITTED = "Fitted: {samples} samples over {seconds} s."
FOUND = "The hold was found in the capture: from {begin} s ({begins}) to {end} s ({ends})."
STRETCHES = (
    "The pressure only falls in {number} stretches of this capture; the longest was taken. Another is cut with "
    "window_start and window_end."
)
TURNED = Message("Rows in which the engine turned were left out.")
NO_STOP = Message(
    "The capture shows no stop of the pump: it begins with the hold and has no engine speed. That the pump stood is taken as "
    "said."
)
SHARES = "If it leaks, how likely each law is: laminar {laminar} %, orifice {orifice} %, mixed {mixed} %."
DETECTION = (
    "This test does not resolve a leak. Nine such tests in ten would have shown one of {limit} mL/min (detection_limit); what "
    "these readings leave possible, the interval says."
)
NOT_REACHED = Message("Part of what is possible does not reach the lower pressure within ten times this hold.")
MORE_THAN_NOISE = "The fit leaves more than noise ({times} times): something else moved the pressure too."


def seen(found: HoldEstimate, rail: Rail, hold: Held) -> Seen:
    """What the fit says beside the flows, and what the capture casts doubt on."""
    return Seen(
        outputs=_outputs(found, rail),
        mean=found.mean_pressure.value,
        end=float(found.curves.read[-1]),
        fell=_fell(found.curves),
        leaks=found.leaks,
        tight=found.law == "none",
        doubts=tuple(_doubts(found, hold)),
        notes=tuple(_notes(found, rail, hold)),
        middle=about_the_mean(found),
        plots=_plots(found.curves),
    )


def _outputs(found: HoldEstimate, rail: Rail) -> dict[str, Estimate | str]:
    outputs: dict[str, Estimate | str] = {"law": found.law, "mean_pressure": estimate(found.mean_pressure, "bar", 10.0)}
    if rail.known_volume is not None:
        outputs["detection_limit"] = Estimate.of(found.detection_limit, "mL/min", 0.1 * found.detection_limit)
    if found.exponent is not None:
        outputs["exponent"] = estimate(found.exponent, "1")
    if found.time_until is not None and math.isfinite(found.time_until.high):
        outputs["time_until"] = estimate(found.time_until, "s")
    return outputs


def _fell(c: Curves) -> bool:
    """Whether the fitted pressure fell by more than one bin of it is uncertain."""
    return bool(c.fitted[0] - c.fitted[-1] > 1.96 * float(c.sigma.mean()))


def about_the_mean(found: HoldEstimate) -> MiddleValues:
    """The middle third of the fitted fall.

    There the curve is nearly straight, and its mean leak is the leak at the mean pressure; over a whole fall it is not.
    """
    c, exponent = found.curves, 0.75 if found.exponent is None else found.exponent.value
    first, last = 0, len(c.fitted) - 1
    mean, sixth = 0.5 * (c.fitted[0] + c.fitted[-1]), (c.fitted[0] - c.fitted[-1]) / 6.0
    third = [place for place, p in enumerate(c.fitted) if abs(p - mean) <= sixth]
    if len(third) > 1:
        first, last = third[0], third[-1]
    start, end, time = float(c.fitted[first]), float(c.fitted[last]), float(c.time[last] - c.time[first])
    return MiddleValues(start, end, time, float(c.tight[first] - c.tight[last]), exponent, curve=True)


def _doubts(found: HoldEstimate, hold: Held) -> Iterator[Doubt]:
    if hold.kept_up:
        yield Doubt(KEPT_UP, NEXT_STOP, True)
    if not found.fits:
        words = Message(NO_RAIL, times=rounded(found.noise_inflation, 2)) if found.noise_inflation >= TOO_MUCH else STRAINED
        yield Doubt(words, NEXT_CUT if hold.clock is None else NEXT_TYPED, True)


def _notes(found: HoldEstimate, rail: Rail, hold: Held) -> Iterator[Message]:
    yield Message(FITTED, samples=len(hold.time), seconds=rounded(found.curves.duration))
    yield from cut_notes(hold)
    yield Message(SHARES, **{law: round(100 * share) for law, share in found.shares.items()})
    if not found.leaks and rail.known_volume is not None:
        yield Message(DETECTION, limit=rounded(found.detection_limit, 2))
    if found.time_until is not None and not math.isfinite(found.time_until.high):
        yield NOT_REACHED
    if found.noise_inflation > 1.3 and found.fits:
        yield Message(MORE_THAN_NOISE, times=round(found.noise_inflation, 1))


def cut_notes(hold: Held) -> Iterator[Message]:
    """Where the hold was found, and what that rests on."""
    if hold.window is not None:
        _, _, begins, ends, begin, end, others = hold.window
        yield Message(FOUND, begin=rounded(begin), begins=begins, end=rounded(end), ends=ends)
        if others:
            yield Message(STRETCHES, number=others + 1)
    if hold.turning:
        yield TURNED
    if hold.unseen:
        yield NO_STOP


def _plots(c: Curves) -> tuple[Plot, ...]:
    time = [round(float(t), 4) for t in c.time]
    read, fitted, tight, residual, noise = (
        [round(10.0 * float(v), 4) for v in values] for values in (c.read, c.fitted, c.tight, c.residual, 1.96 * c.sigma)
    )
    shut = (
        Series("read", time, read, "points"),
        Series("fitted", time, fitted),
        Series("the same rail without its leak", time, tight),
    )
    band = Series("95 % of noise alone", time, [-v for v in noise], "band", noise)
    return (
        Plot("Pressure in the shut rail", "time", "s", "rail pressure", "bar", shut),
        Plot(
            "What the fit leaves over",
            "time",
            "s",
            "read less fitted",
            "bar",
            (band, Series("left over", time, residual, "points")),
        ),
    )
