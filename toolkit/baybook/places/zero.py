"""Whether what is read of the rail can prove that it is empty."""

from __future__ import annotations

from .conclusion import Conclusion

READ_BY = ("rail sensor", "rail sensor wiring")
"""What the rail is read by: the sensor, its supply, its ground."""
DOUBTED = 0.3
"""From this chance on that a fault lies there a zero proves nothing. common practice, no source"""


def zero_doubted(found: Conclusion) -> bool:
    """Whether the rail's reading cannot prove zero: a test found its sensor or that one's wires bad and nobody has mended it
    since, or a fault there is likely enough."""
    places = found.system.places
    at = [n for n, place in enumerate(places) if place.name in READ_BY]
    seen = any(item.bad and item.looks_directly(places[n]) for n in at for item in found.history.binding(n))
    return seen or found.of_any(READ_BY) >= DOUBTED
