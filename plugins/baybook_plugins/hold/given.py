"""What was given to the hold test, checked together and put into the units of the physics."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from baybook.api import COVERAGE, InputError, Problem, Reading, find_fuel

from .two_readings import TwoReadings

if TYPE_CHECKING:
    from baybook.fuels import FuelModel

    from .prior import Known

Pair = tuple[float, float]


@dataclass(frozen=True)
class Given:
    """The inputs that all ways share, as they were parsed."""

    volume: Reading
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

    def fuel_model(self) -> FuelModel:
        """The fuel with what is known of it. Raises InputError."""
        known = {"density": self.density, "viscosity": self.viscosity}
        model: FuelModel = find_fuel(self.fuel, **{name: value for name, value in known.items() if value is not None})
        return model

    def shared(self) -> dict[str, Any]:
        """The fields that `TwoReadings` and `Known` have in common."""
        common: dict[str, Any] = {
            "volume": pair(self.volume, "mL"),
            "temperature": pair(self.temperature, "°C"),
            "end_temperature": self.end_temperature and pair(self.end_temperature, "°C"),
            "ambient": self.ambient and pair(self.ambient, "°C"),
            "zero": self.zero_uncertainty.number("MPa") / COVERAGE,
            "back_pressure": self.back_pressure.number("MPa"),
            "free_gas": self.free_air.number("1"),
            "discharge": self.discharge.number("1"),
        }
        if self.rail_modulus is not None:
            value, u = pair(self.rail_modulus, "MPa")
            common["rail_modulus"] = (value, u / value)
        return common

    def two_readings(self, start: Reading, end: Reading, time: Reading) -> TwoReadings:
        """For the two-reading estimate."""
        return TwoReadings(
            start=pair(start, "MPa"), end=pair(end, "MPa"), time=pair(time, "s"),
            reference=None if self.reference is None else self.reference.number("MPa"),
            one_temperature=self.one_temperature, **self.shared(),
        )  # fmt: skip

    def known(self) -> Known:
        """For the fit."""
        from .prior import Known

        return Known(**self.shared())

    def problems(self) -> list[Problem]:
        """What does not fit together, whichever way is taken."""
        found = []
        share = self.volume.u / self.volume.value
        if share * COVERAGE > 0.5:
            found.append(Problem("volume", self.volume.text, "is not known within half of itself", "measure it better"))
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


def check_two(given: Given, start: Reading | None, end: Reading | None, time: Reading | None) -> None:
    """Raise InputError with everything that keeps two readings from being used."""
    problems = given.problems()
    for name, reading, example in (("start", start, "1100 bar"), ("end", end, "600 bar"), ("time", time, "30 s")):
        if reading is None:
            problems.append(Problem(name, None, "is missing", f"give it, such as {example}, or a capture"))
    if start is not None and start.number("MPa") > 249.0:
        problems.append(Problem("start", start.text, "is not possible here", "give at most 2490 bar"))
    if start is not None and end is not None and not end.number("MPa") < start.number("MPa"):
        problems.append(Problem("end", end.text, f"is not below the start, {start.text}", "give the later, lower reading"))
    elif end is not None and not end.number("MPa") > given.back_pressure.number("MPa"):
        problems.append(Problem("end", end.text, "is not above the back pressure", "end the test while pressure is left"))
    if problems:
        raise InputError(problems)


def check_one_way(ways: dict[str, bool], extras: dict[str, tuple[bool, str]]) -> None:
    """Raise InputError when more than one of start/end/time, a list of readings and a capture is given.

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
