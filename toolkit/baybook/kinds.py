"""Kinds of quantity: what a reading is a reading of. Light: it is on the fastest path.

A kind is narrower than a family of units: gauge, absolute and difference pressures share units and never mix.
"""

from __future__ import annotations


class Kind:
    """A kind of quantity.

    name: for people ("gauge pressure"); family: of units; unit: the one that serves by default; shown: the usual workshop
    units; example: a reading of this kind; reference: "gauge" or "absolute" for the pressures that have one.
    """

    __slots__ = ("example", "family", "name", "reference", "shown", "unit")

    def __init__(
        self, name: str, family: str, unit: str, example: str, shown: tuple[str, ...] = (), reference: str = ""
    ) -> None:
        self.name, self.family, self.unit, self.example = name, family, unit, example
        self.shown, self.reference = shown or (unit,), reference

    def __repr__(self) -> str:
        return f"Kind({self.name!r})"


_PRESSURES = ("bar", "MPa", "kPa", "psi", "kgf/cm2", "inHg")
KINDS: dict[str, Kind] = {
    kind.name: kind
    for kind in (
        Kind("pressure", "pressure", "bar", "350 bar", _PRESSURES),
        Kind("gauge pressure", "pressure", "bar", "350 bar", _PRESSURES, "gauge"),
        Kind("absolute pressure", "pressure", "bar", "1.01 bar", _PRESSURES, "absolute"),
        Kind("pressure difference", "pressure", "bar", "12 bar", _PRESSURES),
        Kind("pressure rate", "pressure rate", "bar/s", "12 bar/s", ("bar/s", "MPa/s", "psi/s")),
        Kind("time", "time", "s", "30 s", ("s", "min", "ms")),
        Kind("volume", "volume", "mL", "25 mL", ("mL", "L", "mm3", "US fl oz", "US gal", "imp gal")),
        Kind("flow", "flow", "mL/min", "6 mL/min", ("mL/min", "L/h", "L/min", "cm3/s", "US gal/h", "imp gal/h")),
        Kind("delivery per stroke", "delivery per stroke", "mm3/stroke", "50 mm3/stroke", ("mm3/stroke", "mL/1000 strokes")),
        Kind("displacement", "displacement", "cm3/rev", "0.7 cm3/rev"),
        Kind("temperature", "temperature", "°C", "40 °C", ("°C", "°F", "K")),
        Kind("temperature difference", "temperature difference", "K", "5 K", ("K", "°F")),
        Kind("kinematic viscosity", "kinematic viscosity", "mm2/s", "2.7 mm2/s", ("mm2/s", "m2/s")),
        Kind("dynamic viscosity", "dynamic viscosity", "mPa s", "2.2 mPa s", ("mPa s", "Pa s")),
        Kind("density", "density", "kg/m3", "835 kg/m3", ("kg/m3", "g/cm3")),
        Kind("speed", "speed", "rpm", "800 rpm", ("rpm", "rev/s")),
        Kind("frequency", "frequency", "Hz", "1000 Hz", ("Hz", "kHz")),
        Kind("resistance", "resistance", "ohm", "2.6 ohm", ("ohm", "mohm")),
        Kind("voltage", "voltage", "V", "12.4 V", ("V", "mV")),
        Kind("current", "current", "A", "1.2 A", ("A", "mA")),
        Kind("inductance", "inductance", "mH", "5 mH", ("mH", "H")),
        Kind("ratio", "ratio", "%", "25 %", ("%", "1")),
        Kind("length", "length", "mm", "0.2 mm", ("mm", "µm", "in")),
        Kind("area", "area", "mm2", "1.5 mm2"),
    )
}

OWN = frozenset(KINDS)
"""Baybook's own; plugins add others."""
PRESSURE_BY_REFERENCE = {"gauge": KINDS["gauge pressure"], "absolute": KINDS["absolute pressure"]}


def article(noun: str) -> str:
    """The noun with its indefinite article."""
    return f"an {noun}" if noun[:1] in "aeio" else f"a {noun}"
