"""What a crank says of the places besides its verdicts."""

from __future__ import annotations

from collections.abc import Iterator

from baybook.api import Answer, made
from baybook_physics.inference.intervals import normal_share

from .findings import SURE, Situation, circumstances, more_lost, short, stroke, uneven
from .method import AIR, CURRENTS, ELEMENT, LITTLE, LOSS, NOT_SEEN, OPENS, SHARE, TURNED, WEAK, ZERO

PLAIN = 0.001
"""The chance that a speed of nothing is a slip of the eye."""
LEFT = 0.4
"""The chance that what the sensor shows before the starter turns is pressure that was left (common practice, no source)."""


def answers(seen: Situation) -> Iterator[Answer]:
    """What follows for the places besides the verdicts: whether the pump is driven at all; pump or loss, where something is
    short in sound circumstances; air, an element, the sensor's zero, currents."""
    yield from _turned(seen)
    if seen.unseen:
        yield Answer(NOT_SEEN, PLAIN, said="speed")
    yield from made(seen.shown, seen.found.get("standing_pressure"))
    yield from _little(seen)
    chance = more_lost(seen)
    if chance is not None and short(seen) is not None and not [*circumstances(seen)]:
        yield Answer(LOSS, 1.0 - chance, said="pump or loss")
        yield Answer(WEAK, chance, said="pump or loss")
    if seen.opens == "does" and short(seen) is not None and not [*circumstances(seen)]:
        yield Answer(OPENS, 1.0 - SURE, said="pump or loss")
    if (air := seen.found.get("filled_first")) is not None:
        yield Answer(AIR, 1.0 - normal_share((air.value - stroke(seen)) / max(air.u, 1e-9)), said="free air")
    if [*uneven(seen)]:
        yield Answer(ELEMENT, 1.0 - SURE, said="one element")
    if "standing_pressure" in seen.found:
        yield Answer(ZERO, SURE if not seen.off_zero else LEFT if seen.off_zero > 0 else 1.0 - SURE, said="zero")
    for question, valve in CURRENTS.items():
        dead = [none for name, _, _, none in seen.currents if name == valve]
        if dead:
            shows = {f"current of {valve} valve": -100.0} if any(dead) else {}
            yield Answer(question, 1.0 - SURE if any(dead) else SURE, said="current", shows=shows)


def _little(seen: Situation) -> Iterator[Answer]:
    """Where too little is reached: whether it is far from what the control waits for."""
    pressure, limit = seen.found.get("pressure"), seen.outside("pressure")
    low = limit.to("bar").low if limit else None
    if pressure is not None and low is not None:
        yield Answer(LITTLE, 1.0 - pressure.to("bar").below(SHARE * low), said=LITTLE)


def _turned(seen: Situation) -> Iterator[Answer]:
    """What speed and battery say together: the worse of them, and of each its lower end alone."""
    chances = [
        1.0 - seen.found[name].below(low)
        for name in ("speed", "battery")
        if not (name == "speed" and seen.unseen)
        and name in seen.verdicts
        and (low := seen.verdicts[name].range.to(seen.found[name].unit).low) is not None
    ]
    if chances:
        yield Answer(TURNED, min(chances))
