"""The meter and its error, and the winding as it was measured with it."""

from __future__ import annotations

from typing import NamedTuple

from baybook.api import Estimate, InputError, Problem, Reading, SpecRange, propagate

from .model import resistances, state

RESISTANCES = {"resistance": "ohm", "resistance_at_spec_temperature": "ohm"}


class Meter(NamedTuple):
    """A meter specified as ± (accuracy of what it shows + digits of one resolution).

    Such a specification is a limit within which the error lies, all of it equally likely: half-width over the root of 3, the
    rectangular distribution of JCGM 100:2008, 4.3.7. Coil and leads are read on the same meter, so it counts once in their
    difference: the accuracy on what is left of it, the digits, which are offset and unrest of the display, in full.
    """

    accuracy: Reading | None
    digits: int
    resolution: Reading | None

    def own(self, reading: Reading) -> Reading:
        """A reading, in ohm, with its own error: as typed, else half of the last digit where the meter's do not cover it."""
        if not (reading.assumed and self.resolution):
            return reading.to("ohm")
        step = 0.0 if self.digits else self.resolution.number("ohm")
        ohm = reading.to("ohm")
        return Reading(ohm.value, ohm.unit, ohm.kind, step / 2 / 3**0.5, assumed=True, text=reading.text)

    def error(self, alone: float, like: Reading) -> Reading:
        """Its error about 0 where `alone` ohm are left without the leads; unit and kind of `like`, which is in ohm."""
        share = self.accuracy.number("1") if self.accuracy else 0.0
        limit = share * abs(alone) + (self.digits * self.resolution.number("ohm") if self.resolution else 0.0)
        return Reading(0.0, like.unit, like.kind, limit / 3**0.5, assumed=True)


class Winding(NamedTuple):
    """What was read of a coil, in ohm, with the meter's error, and what it makes: the resistances, and what they look like."""

    reading: Reading
    leads: Reading | float
    error: Reading
    found: dict[str, Estimate]
    state: str

    @classmethod
    def of(
        cls,
        meter: Meter,
        reading: Reading,
        leads: Reading | None,
        temperature: Reading,
        spec_temperature: Reading,
        limit: SpecRange | None,
    ) -> Winding:
        """Work it out. Raises InputError where the leads read more than the coil and its leads together."""
        read, lead = meter.own(reading), meter.own(leads) if leads else 0.0
        error = meter.error(read.value - (leads.number("ohm") if leads else 0.0), read)
        found = propagate(
            resistances, RESISTANCES, reading=read, leads=lead, error=error, temperature=temperature.to("°C"),
            spec_temperature=spec_temperature.to("°C"),
        )  # fmt: skip
        ohm, alone = limit.to("ohm") if limit else None, found["resistance"]
        looks = state(alone.value, alone.u, ohm.low if ohm else None, ohm.high if ohm else None)
        if looks == "impossible":
            why = f"is more than the coil and its leads together read ({reading})"
            raise InputError([Problem("leads", str(leads), why, "measure both again, tips together first")])
        return cls(read, lead, error, found, looks)

    @property
    def alone(self) -> float:
        """The coil alone, in ohm."""
        return self.found["resistance"].value

    def inputs(self) -> dict[str, Reading | float]:
        """What was read, by the names of the model."""
        return {"reading": self.reading, "leads": self.leads, "error": self.error}
