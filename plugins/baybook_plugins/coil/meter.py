"""The meter and its error, and the winding as it was measured with it."""

from __future__ import annotations

from typing import NamedTuple

from baybook.api import COVERAGE, Estimate, InputError, Problem, Reading, SpecRange, propagate
from baybook_physics.coil import copper_ratio, state

LEADS = 0.3
"""What the measuring leads and their contacts have at most, in ohm. common practice, no source."""
CONTACT = 0.1
"""By how much the contacts of two tips differ from one touch to the next, in ohm. common practice, no source."""
FEW_OHM = 1.0
"""Below it the contact of two tips counts for as much as a fault. common practice, no source."""
NEXT_TO_NOTHING = 0.1  # ohm of two leads, tips together: common practice, no source
TIPS = 3.0
"""More ohm than tips that touch, or a bridged plug, have. common practice, no source."""
RESISTANCES = {"resistance": "ohm", "resistance_at_spec_temperature": "ohm"}


def resistances(reading: float, leads: float, error: float, temperature: float, spec_temperature: float) -> dict[str, float]:
    """The coil alone as it is, and at the spec's temperature; error: the meter's, in ohm, in the difference read."""
    alone = reading - leads - error
    return {"resistance": alone, "resistance_at_spec_temperature": alone * copper_ratio(temperature, spec_temperature)}


COIL_TEMPERATURE = 5.0
"""K, 95 %: how well a coil's temperature is known that was typed without its uncertainty. common practice, no source"""


def of_coil(temperature: Reading) -> Reading:
    """The coil's temperature: typed without an uncertainty it is known no better than `COIL_TEMPERATURE`."""
    if not temperature.assumed or temperature.widest >= COIL_TEMPERATURE:
        return temperature
    return Reading.of(temperature.number("°C"), "°C", kind="temperature", u95=COIL_TEMPERATURE)


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
        return _of(ohm, ohm.value, step / 2, ohm.text)

    def leads(self, leads: Reading | None, read: Reading) -> Reading:
        """The leads in ohm: unknown ones have up to 0.3 ohm of what was read, all of it equally likely.

        Read with two tips on a coil below 1 ohm they are good to the contact of a touch; typed with ±, to that.
        """
        if leads is None:
            half = min(LEADS, max(read.value, 0.0)) / 2
            return _of(read, half, half, f"{half:.3g} ± {half:.3g} ohm")
        own = self.own(leads)
        if not own.assumed:
            return own
        half = min(own.widest, read.widest) if read.assumed else own.widest  # (one meter, one range, one last digit)
        contact = CONTACT if read.value - own.value < FEW_OHM else 0.0
        return _of(own, own.value, max(half, contact), own.text)

    def error(self, alone: float, like: Reading) -> Reading:
        """Its error about 0 where `alone` ohm are left without the leads; unit and kind of `like`, which is in ohm."""
        share = self.accuracy.number("1") if self.accuracy else 0.0
        limit = share * abs(alone) + (self.digits * self.resolution.number("ohm") if self.resolution else 0.0)
        return _of(like, 0.0, limit)


def _of(like: Reading, value: float, half: float, text: str = "") -> Reading:
    """A resistance that lies within `half` of a value, all of it equally likely; unit and kind of `like`."""
    return Reading(value, like.unit, like.kind, half / 3**0.5, assumed=True, text=text)


class Winding(NamedTuple):
    """What was read of a coil, in ohm, with the meter's error, and what it makes: the resistances, and what they look like."""

    reading: Reading
    leads: Reading
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
        read = meter.own(reading)
        lead = meter.leads(leads, read)
        error = meter.error(read.value - lead.value, read)
        found = propagate(
            resistances, RESISTANCES, reading=read, leads=lead, error=error, temperature=temperature.to("°C"),
            spec_temperature=spec_temperature.to("°C"),
        )  # fmt: skip
        ohm, alone = limit.to("ohm") if limit else None, found["resistance"]
        u = max(alone.u, (alone.high - alone.value) / COVERAGE)  # (the lower half of the interval may end at zero)
        looks = state(alone.value, u, ohm.low if ohm else None, ohm.high if ohm else None)
        if looks == "impossible":
            why = f"is more than the coil and its leads together read ({reading})"
            raise InputError([Problem("leads", str(leads), why, "measure both again, tips together first")])
        if looks == "short" and alone.value > TIPS:  # (far below its range, and no bridge: its verdict says so)
            looks = "readable"
        return cls(read, lead, error, found, looks)

    @property
    def alone(self) -> float:
        """The coil alone, in ohm."""
        return self.found["resistance"].value

    def is_first_look(self, way: str) -> bool:
        """Whether it was measured with two wires on so few ohm that their contacts count for as much as a fault.

        way: in which it is beyond its range; a contact adds, so that too little is told by two wires with next to nothing in
        them.
        """
        bare = way == "below" and self.leads.value < NEXT_TO_NOTHING
        return self.alone < FEW_OHM and not bare and not (self.leads.value == self.leads.u == 0.0)

    def inputs(self) -> dict[str, Reading | float]:
        """What was read, by the names of the model."""
        return {"reading": self.reading, "leads": self.leads, "error": self.error}
