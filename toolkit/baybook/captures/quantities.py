"""The captures' one door to the unit table: which unit is meant, of which family, gauge or absolute."""

from __future__ import annotations

import re

from ..errors import Refused

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
    "mS": "ms", "MS": "ms", "uS": "µs", "milliseconds": "ms", "millisecond": "ms", "msecs": "ms", "microseconds": "µs",
    "microsecond": "µs", "secs": "s", "sek": "s", "sekunden": "s", "amps": "A", "amp": "A", "volts": "V", "percent": "%",
}


def _plain(text: str) -> str:
    return _WRITTEN.get(text) or _WRITTEN.get(text.lower(), text)


def family(text: str) -> str | None:
    """The family of the unit written so ("pressure", "time"), or None where no such unit is known."""
    from ..units import UnknownUnit, find

    try:
        return find(_plain(text)).family
    except UnknownUnit:
        return None


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
}


def convert(unit: str, to: str) -> tuple[float, float]:
    """(factor, offset) that take a value in `unit` to `to`. Raises Refused where there is no unit or the two do not fit."""
    from ..units import find

    if not unit:
        raise Refused("has no unit", "give one")
    symbol = check(to, "")
    target = find(symbol)
    source = find(check(unit, target.family), target.family)
    return source.factor / target.factor, (source.offset - target.offset) / target.factor
