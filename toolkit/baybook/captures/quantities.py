"""The captures' one door to the unit table: which unit is meant, of which family, gauge or absolute."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TYPE_CHECKING

from ..errors import Refused

if TYPE_CHECKING:
    from ..kinds import Kind
    from ..units import Unit

_REFERENCE = {"g": "gauge", "gauge": "gauge", "rel": "gauge", "a": "absolute", "abs": "absolute", "absolute": "absolute"}
# bar(g), bar g, barg, psia, "MPa abs", "bar (gauge)": the mark belongs to the quantity, not to the unit
_MARKED = re.compile(r"^(?P<unit>.+?)[ _]*\(?(?P<mark>gauge|absolute|abs|rel|g|a)\)?$", re.IGNORECASE)


def split_reference(text: str) -> tuple[str, str]:
    """A unit's text without its gauge or absolute mark, and "gauge", "absolute" or ""."""
    marked = _MARKED.match(text)
    if family(text) is None and marked and family(marked["unit"]) == "pressure":
        return marked["unit"], _REFERENCE[marked["mark"].lower()]
    return text, ""


# what loggers write out, or in the wrong case; none of them could be another unit
_WRITTEN = {
    "mS": "ms",
    "MS": "ms",
    "milliseconds": "ms",
    "millisecond": "ms",
    "msecs": "ms",
    "millis": "ms",
    "microseconds": "µs",
    "microsecond": "µs",
    "micros": "µs",
    "secs": "s",
    "sec.": "s",
    "sek": "s",
    "sekunde": "s",
    "sekunden": "s",
    "amps": "A",
    "amp": "A",
    "ampere": "A",
    "amperes": "A",
    "volts": "V",
    "volt": "V",
    "millivolt": "mV",
    "millivolts": "mV",
    "percent": "%",
}


_SIEMENS = ("µS", "μS", "uS")  # of a conductivity; in a column of time they are microseconds, see `second_factor`


def _plain(text: str) -> str:
    if text in _SIEMENS:
        return "siemens"
    return _WRITTEN.get(text) or _WRITTEN.get(text.lower(), text)


def family(text: str) -> str | None:
    """The family of the unit written so ("pressure", "time"), or None where no such unit is known."""
    from ..units import families, in_family

    return _family(text, sum(len(in_family(name)) for name in families()))


@lru_cache(maxsize=4096)  # what is no unit is looked at in vain for its likes, cell by cell
def _family(text: str, known: int) -> str | None:
    """The same, while so many units are `known`: plugins bring more."""
    from ..units import UnknownUnit, find

    try:
        return find(_plain(text)).family
    except UnknownUnit:
        return None


def second_factor(text: str) -> float | None:
    """Seconds in the unit of time `text`, of a column that is known to be time; None where it is none."""
    if text in _SIEMENS:
        return 1e-6
    return convert(text, "s")[0] if family(text) == "time" else None


def check(text: str, wanted: str) -> str:
    """The symbol of the unit `text` in the family `wanted` ("" for any). Raises Refused with what would do."""
    from ..units import UnknownUnit, find

    try:
        unit = find(_plain(text), wanted or None)
    except UnknownUnit as unknown:
        raise Refused("is not a unit that is known", _meant(unknown.near, wanted)) from unknown
    if wanted and unit.family != wanted:
        raise Refused(f"is a unit of {unit.family}, not of {wanted}", _meant((), wanted))
    return unit.symbol


def _meant(near: tuple[str, ...], wanted: str) -> str:
    fitting = [symbol for symbol in near if not wanted or family(symbol) == wanted]
    return "use " + " or ".join(fitting[:3] or CHOICES.get(wanted, ("a unit of the table",)))


# what a message offers; any other unit of the family is taken as well
CHOICES = {
    "pressure": ("bar", "MPa", "psi"),
    "time": ("s", "ms", "µs"),
    "current": ("A", "mA"),
    "ratio": ("%",),
    "speed": ("rpm",),
    "voltage": ("V", "mV"),
}


def convert(unit: str, to: str) -> tuple[float, float]:
    """(factor, offset) that take a value in `unit` to `to`. Raises Refused where the two do not fit."""
    from ..units import find

    target = find(check(to, ""))
    source = find(check(unit, target.family), target.family)
    return source.factor / target.factor, (source.offset - target.offset) / target.factor


def unit_and_kind(text: str, label: str, wanted: str) -> tuple[Unit | None, Kind | None]:
    """The unit written as `text` and the kind of quantity that it makes a column with this label; None where it is none.

    A difference of temperatures or of pressures is one by its label; gauge and absolute come from the unit's mark, absolute
    from the label too.
    """
    from ..kinds import KINDS, PRESSURE_BY_REFERENCE
    from ..quantity import kind_of_family
    from ..units import find

    bare, reference = split_reference(text)
    reference = reference or ("absolute" if _ABSOLUTE.search(label) else "")
    known = family(bare)
    if known is None:
        return None, None
    difference = bool(_DIFFERENCE.search(label))
    if difference and known in ("temperature", "temperature difference"):
        known = "temperature difference"
    elif wanted and find(_plain(bare), wanted).family == wanted:
        known = wanted
    unit = find(_plain(bare), known)
    if reference and known == "pressure":
        return unit, PRESSURE_BY_REFERENCE[reference]
    return unit, KINDS["pressure difference" if difference and known == "pressure" else kind_of_family(unit.family)]


_ABSOLUTE = re.compile(r"\babs(olute?)?\b", re.IGNORECASE)
_DIFFERENCE = re.compile(r"Δ|∆|\bd(elta)?[ _]?[TtPp]\b|delta|diff|rise|drop|abfall|anstieg", re.IGNORECASE)
