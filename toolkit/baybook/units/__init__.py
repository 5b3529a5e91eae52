"""Units: find one by what a workshop writes, convert between two of a family. No imports: it is on the fastest path.

A family is what can be converted into each other ("pressure", "flow"). Gauge and absolute are not units but a property of
the quantity: see `baybook.kinds`.
"""

from __future__ import annotations

from .table import ROWS


class Unit:
    """A unit of a family: `symbol`, `family`, and value * `factor` + `offset` in the family's base unit."""

    __slots__ = ("factor", "family", "offset", "others", "symbol")

    def __init__(self, family: str, symbol: str, factor: float, offset: float, others: tuple[str, ...]) -> None:
        self.family, self.symbol, self.factor, self.offset, self.others = family, symbol, factor, offset, others

    def __repr__(self) -> str:
        return f"Unit({self.family!r}, {self.symbol!r})"

    def __str__(self) -> str:
        return self.symbol


class UnknownUnit(LookupError):
    """No unit of this text; `near` holds symbols that were probably meant."""

    def __init__(self, text: str, near: tuple[str, ...]) -> None:
        super().__init__(text)
        self.text, self.near = text, near


_by_text: dict[str, list[Unit]] = {}
_families: dict[str, list[Unit]] = {}


def add(rows: tuple[tuple[str, str, float, float, tuple[str, ...]], ...]) -> None:
    """Make the units of these table rows known. Raises ValueError where a spelling is taken within the family."""
    for row in rows:
        unit = Unit(*row)
        for text in (unit.symbol, *unit.others):
            same_text = _by_text.setdefault(text, [])
            taken = [known for known in same_text if known.family == unit.family]
            if taken:
                raise ValueError(f"{text!r} is already {taken[0].symbol} ({unit.family})")
            same_text.append(unit)
        _families.setdefault(unit.family, []).append(unit)


add(ROWS)

# superscripts and the several characters that print as micro, minus, multiplication
_SAME = str.maketrans({"²": "2", "³": "3", "μ": "µ", "⋅": "·", "\u00a0": " ", "\u202f": " ", "\u2009": " ", "^": None})


def find(text: str, family: str | None = None) -> Unit:
    """The unit written as `text`; with `family` given, that one where a spelling serves several (K, 1/s).

    Case counts where it must (mbar, Mbar); elsewhere `PSI`, `Bar` and `l/MIN` are understood.
    Raises UnknownUnit with suggestions; a unit of another family is returned as it is, for the caller to refuse.
    """
    wanted = tidy(text)
    found = _by_text.get(wanted) or _other_case(wanted)
    if not found:
        raise UnknownUnit(text, near(wanted))
    for unit in found:
        if unit.family == family:
            return unit
    return found[0]


def families_of(text: str) -> tuple[str, ...]:
    """The families that have a unit written as `text`: two for K, °C, °F and 1/s, none for what is no unit."""
    wanted = tidy(text)
    return tuple(unit.family for unit in _by_text.get(wanted) or _other_case(wanted))


def begins_one(text: str) -> bool:
    """Whether a unit of several words begins with it: `mPa` of `mPa s`, `US` of `US gal`."""
    return any(known.startswith(f"{text} ") for known in _by_text)


def tidy(text: str) -> str:
    """`text` with one spelling for superscripts, spaces and the micro sign."""
    words = text.translate(_SAME).split()
    return " ".join(words).replace(" /", "/").replace("/ ", "/")


def _other_case(text: str) -> list[Unit]:
    """Units that differ from `text` in upper and lower case alone; none where m could be milli or mega."""
    if text[:1] in ("m", "M"):
        return []
    same = [unit for known, units in _by_text.items() if known.lower() == text.lower() for unit in units]
    return same if len({unit.symbol for unit in same}) == 1 else []


def near(text: str) -> tuple[str, ...]:
    """Up to three symbols that `text` may have been meant for."""
    close = [units[0].symbol for known, units in _by_text.items() if known.lower() == text.lower()]
    if not close and text:
        from difflib import get_close_matches

        close = [_by_text[known][0].symbol for known in get_close_matches(text, list(_by_text), n=3, cutoff=0.6)]
    return tuple(dict.fromkeys(close))


def in_family(family: str) -> tuple[Unit, ...]:
    """Every unit of the family, base unit first; empty for an unknown family."""
    return tuple(_families.get(family, ()))


def families() -> tuple[str, ...]:
    """The names of all families."""
    return tuple(_families)


def convert(value: float, source: Unit, target: Unit) -> float:
    """`value` of `source` in `target`. Raises ValueError when the two are of different families."""
    if source is target:
        return value
    if source.family != target.family:
        raise ValueError(f"{source.symbol} is a {source.family} and {target.symbol} a {target.family}")
    return (value * source.factor + source.offset - target.offset) / target.factor


def convert_width(width: float, source: Unit, target: Unit) -> float:
    """A difference, an uncertainty or an interval's width of `source` in `target`: no zero point moves it."""
    return width if source is target else width * source.factor / target.factor
