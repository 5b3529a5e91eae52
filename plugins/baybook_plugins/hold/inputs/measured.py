"""The inputs of the hold test, checked together and put into the units of the physics."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from baybook.api import COVERAGE, InputError, Problem, Reading, SpecRange, find_fuel
from baybook_physics.compliance import rail_modulus_default

from ..two_point.readings import TwoReadings, rises
from .volume import UNKNOWN, from_bores

if TYPE_CHECKING:
    from baybook_physics.fuels import FuelModel

    from ..simulator.parameters import Known

Pair = tuple[float, float]
_AHEAD = 10.0  # holds: beyond that nothing is foretold


@dataclass(frozen=True)
class Inputs:
    """The inputs that all ways share, as they were parsed."""

    known_volume: Reading | None
    """None where nobody knows it: then pressure alone is judged."""
    fuel: str
    temperature: Reading
    end_temperature: Reading | None
    ambient: Reading | None
    back_pressure: Reading
    zero_uncertainty: Reading
    density: Reading | None
    viscosity: Reading | None
    reference: Reading | None
    until: Reading | None
    discharge: Reading
    free_air: Reading
    rail_modulus: Reading | None
    one_temperature: bool
    limit: SpecRange | None = None
    pressure_limit: SpecRange | None = None
    fall_limit: SpecRange | None = None
    after: Reading | None = None
    outlet_valve: str = "unknown"

    def fuel_model(self) -> FuelModel:
        """The fuel with what is known of it. Raises InputError."""
        known = {"density": self.density, "viscosity": self.viscosity}
        model: FuelModel = find_fuel(self.fuel, **{name: value for name, value in known.items() if value is not None})
        return model

    def shared(self) -> dict[str, Any]:
        """The fields that `TwoReadings` and `Known` have in common."""
        common: dict[str, Any] = {
            "volume": self.volume(),
            "temperature": pair(self.temperature, "°C"),
            "end_temperature": self.end_temperature and pair(self.end_temperature, "°C"),
            "ambient": self.ambient and pair(self.ambient, "°C"),
            "zero": self.zero_uncertainty.number("MPa") / COVERAGE,
            "back_pressure": pair(self.back_pressure, "MPa"),
            "free_gas": pair(self.free_air, "1"),
            "discharge": pair(self.discharge, "1"),
        }
        if self.rail_modulus is not None:
            value, u = pair(self.rail_modulus, "MPa")
            common["rail_modulus"] = (value, u / value)
        return common

    def volume(self) -> Pair:
        """mL, and its standard uncertainty."""
        if self.known_volume is None:
            return UNKNOWN[0], UNKNOWN[0] * UNKNOWN[1]
        return pair(self.known_volume, "mL")

    def rail(self) -> float:
        """Modulus of the steel around the fuel, MPa."""
        return self.rail_modulus.number("MPa") if self.rail_modulus is not None else rail_modulus_default()[0]

    def two_readings(self, start: Reading, end: Reading, time: Reading) -> TwoReadings:
        """For the two-reading estimate."""
        return TwoReadings(
            start=pair(start, "MPa"), end=pair(end, "MPa"), time=pair(time, "s"),
            reference=None if self.reference is None else self.reference.number("MPa"),
            after=None if self.after is None else self.after.number("s"), one_temperature=self.one_temperature, **self.shared(),
        )  # fmt: skip

    def known(self) -> Known:
        """For the fit."""
        from ..simulator.parameters import Known

        return Known(settled=self.one_temperature, **self.shared())

    def _limit_problems(self) -> list[Problem]:
        found = []
        asked = self.pressure_limit or self.fall_limit
        if asked is not None and self.after is None:
            found.append(Problem("after", None, "is missing", "give the time that the limit is stated for, such as 60 s"))
        if self.pressure_limit is not None and self.pressure_limit.high is not None:
            why = "has an upper end"
            found.append(
                Problem("pressure_limit", str(self.pressure_limit), why, "give the least pressure alone, such as >= 850 bar")
            )
        return found

    def after_problems(self, seconds: float) -> list[Problem]:
        """What is foretold too far ahead of a hold of so many seconds."""
        if self.after is None or self.after.number("s") <= _AHEAD * seconds:
            return []
        why = f"is more than {_AHEAD:g} times the {seconds:.3g} s that were looked at"
        return [Problem("after", self.after.text, why, "hold for longer")]

    def problems(self) -> list[Problem]:
        """What does not fit together, whichever way is taken."""
        found = []
        volume = self.known_volume
        if volume is not None and volume.u * COVERAGE > 1.0 * volume.value:
            found.append(
                Problem("volume", volume.text, "is hardly known at all", "leave it out: then pressure alone is judged")
            )
        if volume is None and self.limit is not None:
            found.append(Problem(
                "volume", None, "is missing, and without it no flow can be compared with a limit",
                "give it, such as 25 ± 1 mL or 15 to 40 mL, or bores and lengths, or a limit in pressure",
            ))  # fmt: skip
        found += self._limit_problems()
        for name in ("temperature", "end_temperature", "ambient"):
            reading = getattr(self, name)
            if reading is not None and not -40.0 <= reading.number("°C") <= 150.0:
                found.append(Problem(name, reading.text, "is not possible here", "give -40 to 150 °C"))
        for name in ("reference", "until"):
            reading = getattr(self, name)
            if reading is not None and not self.back_pressure.number("MPa") < reading.number("MPa") <= 249.0:
                found.append(
                    Problem(name, reading.text, "is not possible here", "give a pressure above the back pressure, to 2490 bar")
                )
        return found


def pair(reading: Reading, unit: str) -> Pair:
    """Value and standard uncertainty in `unit`."""
    inside = reading.to(unit)
    return inside.value, inside.u


def check_two(inputs: Inputs, start: Reading | None, end: Reading | None, time: Reading | None) -> None:
    """Raise InputError with everything that keeps two readings from being used."""
    problems = inputs.problems()
    for name, reading, example in (("start", start, "1100 bar"), ("end", end, "600 bar"), ("time", time, "30 s")):
        if reading is None:
            problems.append(Problem(name, None, "is missing", f"give it, such as {example}, or a capture"))
    if start is not None and start.number("MPa") > 249.0:
        problems.append(Problem("start", start.text, "is not possible here", "give at most 2490 bar"))
    if start is not None and end is not None and rises(pair(start, "MPa"), pair(end, "MPa")):
        why = f"is above the start, {start.text}, by more than their uncertainty"
        problems.append(Problem("end", end.text, why, "give the later, lower reading"))
    elif end is not None and not end.number("MPa") > inputs.back_pressure.number("MPa"):
        problems.append(Problem("end", end.text, "is not above the back pressure", "end the test while pressure is left"))
    if time is not None:
        problems += inputs.after_problems(time.number("s"))
    if problems:
        raise InputError(problems)


def known_volume(volume: Reading | None, bores: tuple[Reading, ...], lengths: tuple[Reading, ...]) -> Reading | None:
    """The volume, typed or from bores and lengths. Raises InputError."""
    if not bores and not lengths:
        return volume
    if volume is not None:
        raise InputError.one("bores", None, "are given beside the volume", "give one of them")
    found, problems = from_bores(bores, lengths)
    if problems:
        raise InputError(problems)
    return found


def check_one_way(ways: dict[str, bool], extras: dict[str, tuple[bool, str]]) -> None:
    """Raise InputError when more than one of start/end/time, a list of readings and a capture is inputs.

    `ways`: each way and whether it was taken. `extras`: each further input, whether it was given, and the way it belongs to
    ("start", "pressures", "capture", or two of them with " or " between).
    """
    chosen = [name for name, there in ways.items() if there]
    problems = []
    if len(chosen) > 1:
        words = " and ".join(chosen)
        problems.append(Problem(chosen[-1], None, f"cannot be used together: {words} are both given", "give one of them"))
    way = chosen[0] if len(chosen) == 1 else ""
    for name, (there, belongs) in extras.items():
        if there and way and way not in belongs.split(" or "):
            problems.append(Problem(name, None, f"goes with {belongs}, which is not given", "leave it out"))
    if problems:
        raise InputError(problems)
