"""What published standards ask of a fuel, as plain numbers: read in texts that quote them, not in the standards."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple


class Grade(NamedTuple):
    """A grade's name, its density at 15 °C in kg/m3 and its viscosity at 40 °C in mm2/s."""

    title: str
    density: tuple[float, float]
    viscosity: tuple[float, float]


GRADES: Mapping[str, Grade] = {
    "en590": Grade("EN 590, temperate", (820.0, 845.0), (2.0, 4.5)),
    "en590-arctic": Grade("EN 590, arctic classes 0 and 1", (800.0, 845.0), (1.5, 4.0)),
    "en590-arctic-2": Grade("EN 590, arctic class 2", (800.0, 840.0), (1.5, 4.0)),
    "en14214": Grade("EN 14214, ester", (860.0, 900.0), (3.5, 5.0)),
}
"""EN 590:2022 lets winter grades go down to 815 kg/m3 (from memory): type in the range of the delivery note then."""
