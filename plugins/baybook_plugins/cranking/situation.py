"""All that was read of a crank and judged, as its findings and its evidence ask for it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from baybook.api import Estimate, SpecRange, Verdict

from .method import TURNS


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
