"""What the technician knows of a closed rail beside its pressure. Light: two readings never load numpy."""

from __future__ import annotations

from baybook.dataclass import dataclass, field
from baybook_physics.compliance import rail_modulus_default
from baybook_physics.fuels import ANCHOR_PRESSURE


@dataclass(frozen=True, kw_only=True, repr=False, eq=False)
class Known:
    """Pairs are a value and its standard uncertainty; pressures MPa gauge, temperatures °C. Raises ValueError for no volume."""

    volume: tuple[float, float]
    """cm3"""
    temperature: tuple[float, float] = (40.0, 5.0)
    """Of the rail, at the start."""
    end_temperature: tuple[float, float] | None = None
    """Of the rail, at the end."""
    ambient: tuple[float, float] | None = None
    zero: float = 0.0
    """Standard uncertainty of the sensor's zero, MPa."""
    back_pressure: tuple[float, float] = (0.0, 0.0)
    atmosphere: float = ANCHOR_PRESSURE
    """MPa absolute."""
    rail_modulus: tuple[float, float] = field(default_factory=rail_modulus_default)
    """MPa, and the standard uncertainty of its logarithm."""
    free_gas: tuple[float, float] = (0.0, 0.0)
    """Share of free gas by volume at atmospheric pressure."""
    discharge: tuple[float, float] = (0.7, 0.0)
    one_temperature: bool = False
    """True when fuel and rail had one temperature and the rail keeps it: no warm start, no drift, and expansion's cooling soon
    made good."""

    def __post_init__(self) -> None:
        if not self.volume[0] > 0.0:
            raise ValueError("volume must be above 0")
