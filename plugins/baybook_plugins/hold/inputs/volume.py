"""How much fuel the shut side holds: a reading, a range from small to large, or bores and lengths."""

from __future__ import annotations

import math
from typing import Any

from baybook.api import KINDS, Quantity, Reading, Refused
from baybook.dataclass import dataclass

UNKNOWN = (27.0, 0.4)
"""mL, and the standard uncertainty of its logarithm, where nobody knows the volume: from 12 to 60 mL (common practice, no
source). It moves no pressure that is judged; flows are not said from it."""

_BETWEEN = (" to ", " bis ", "..", "…", " - ", " – ")


@dataclass(frozen=True)
class VolumeField(Quantity):
    """A volume, also as a range: `15 to 40 mL` is any volume between, all ratios alike."""

    def parse(self, raw: Any) -> Reading:
        """The reading, or the range's middle with its width. Raises Refused."""
        text = raw["text"] if isinstance(raw, dict) and isinstance(raw.get("text"), str) else raw
        if not isinstance(text, str) or not any(mark in text for mark in _BETWEEN):
            return super().parse(raw)
        assert self.kind is not None
        mark = next(mark for mark in _BETWEEN if mark in text)
        first, _, last = text.partition(mark)
        high = super().parse(last.strip())
        low = super().parse(first.strip() if first.strip()[-1:].isalpha() else f"{first.strip()} {high.unit.symbol}")
        small, large = low.number(high.unit.symbol), high.value
        if not small < large:
            raise Refused(
                "has its smaller end at or above its larger one", "give the smaller number first, such as 15 to 40 mL"
            )
        middle = math.sqrt(small * large)
        return Reading(middle, high.unit, self.kind, middle * math.log(large / small) / math.sqrt(12.0), text=text)


VOLUME = VolumeField(
    "rail, pipes and sensor, also as a range (15 to 40 mL); without it pressure alone is judged",
    kind=KINDS["volume"], symbol="V", at_least="1 mL", at_most="1 L", usual="25 ± 1 mL", usual_range=("3 mL", "300 mL"),
    unnamed=True, of_vehicle=True,
)  # fmt: skip


def of_bores(bores: tuple[Reading, ...], lengths: tuple[Reading, ...]) -> Reading:
    """Volume of as many round bores as lengths: pi/4 d^2 l summed, each bore's and length's uncertainty its own."""
    total = variance = 0.0
    for bore, length in zip(bores, lengths, strict=False):
        d, long = bore.to("mm"), length.to("mm")
        part = 0.25 * math.pi * d.value**2 * long.value * 1e-3
        total += part
        variance += part**2 * ((2.0 * d.u / d.value) ** 2 + (long.u / long.value) ** 2)
    text = f"{total:.3g} mL of {len(bores)} bore{'s' * (len(bores) > 1)}"
    return Reading(total, Reading.of(total, "mL").unit, KINDS["volume"], math.sqrt(variance), text=text)
