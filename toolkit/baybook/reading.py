"""Readings: a measured number with its unit and its uncertainty, read from text once. Light: on the fastest path.

What is typed after ± is a 95 % half-width. A reading typed without one takes half a unit of its last digit, taken as equally
likely within (JCGM 100:2008, 4.3.7 and F.2.2.1), and says so: `assumed`.
"""

from __future__ import annotations

from . import numbers, units
from .errors import PluginError, Refused
from .kinds import KINDS, PRESSURE_BY_REFERENCE, Kind, article
from .quantity import kind_of_family, resolve
from .units import Unit

COVERAGE = 1.959963984540054  # normal, 95 % two-sided
HALF_OF_RECTANGLE = 0.95 * 3**0.5  # 95 % half-width of what is equally likely within ± a, over its standard uncertainty
MAX_LENGTH = 80
OF_THE_READING = ("of reading", "of the reading", "of rdg", "rdg")  # what a data sheet writes behind its percentage


class Reading:
    """A measured value: `value` and standard uncertainty `u` in `unit`, of a `kind`.

    assumed: u was not typed, and is that of half a unit of the last digit either way, all of it equally likely.
    bound: "above" where the quantity is only known to be more than `value` (a cylinder that ran over), else "".
    possible: the lowest and the highest value that there can be, in `unit`; None where there is no such limit.
    """

    __slots__ = ("assumed", "bound", "kind", "origin", "possible", "text", "u", "unit", "value")

    def __init__(
        self,
        value: float,
        unit: Unit,
        kind: Kind,
        u: float = 0.0,
        *,
        assumed: bool = False,
        text: str = "",
        bound: str = "",
        possible: tuple[float | None, float | None] = (None, None),
        origin: Reading | None = None,
    ) -> None:
        self.value, self.unit, self.kind, self.u, self.assumed = value, unit, kind, u, assumed
        self.bound, self.possible = bound, possible
        self.origin: Reading = origin or self  # the same reading in another unit shares its error
        self.text = text or numbers.typed(value, self.half_width, unit.symbol)

    @classmethod
    def of(
        cls, value: float, unit: Unit | str, *, u95: float = 0.0, kind: Kind | str | None = None, bound: str = ""
    ) -> Reading:
        """From numbers: a value with its 95 % half-width in the same unit.

        Raises PluginError for an unknown unit, one that does not fit the kind, and one that needs a kind to be told (K).

        >>> reading = Reading.of(350, "bar", u95=5).to("MPa")
        >>> round(reading.value, 3), tuple(round(end, 3) for end in reading.interval)
        (35.0, (34.5, 35.5))
        """
        found, known = resolve(unit, kind)
        if known is None:
            families = " and of ".join(units.families_of(found.symbol))
            raise PluginError(f"{found.symbol} is a unit of {families}; say which: kind=")
        return cls(value, found, known, u95 / COVERAGE, bound=bound)

    def __repr__(self) -> str:
        return f"Reading({self.text!r}, {self.kind.name})"

    def __str__(self) -> str:
        return self.text

    def to(self, unit: Unit | str) -> Reading:
        """The same reading in another unit of its family. Raises units.UnknownUnit, or ValueError for one of another."""
        target = units.find(unit, self.unit.family) if isinstance(unit, str) else unit
        if target is self.unit:
            return self
        value = units.convert(self.value, self.unit, target)
        width = units.convert_width(self.u, self.unit, target)
        low, high = (None if end is None else units.convert(end, self.unit, target) for end in self.possible)
        return Reading(
            value, target, self.kind, width, assumed=self.assumed, text=self.text, bound=self.bound, possible=(low, high),
            origin=self.origin,
        )  # fmt: skip

    def of_kind(self, kind: Kind) -> Reading:
        """The same reading as one of a narrower kind of its family."""
        return Reading(
            self.value, self.unit, kind, self.u, assumed=self.assumed, text=self.text, bound=self.bound, possible=self.possible,
            origin=self.origin,
        )  # fmt: skip

    def within(self, low: float | None, high: float | None) -> Reading:
        """The same reading of a quantity that cannot lie beyond `low` and `high`, in its own unit."""
        return Reading(
            self.value, self.unit, self.kind, self.u, assumed=self.assumed, text=self.text, bound=self.bound,
            possible=(low, high), origin=self.origin,
        )  # fmt: skip

    def number(self, unit: Unit | str) -> float:
        """The value in `unit`."""
        return self.to(unit).value

    def show(self) -> str:
        """Value and unit: to two digits of the half-width, or of one that was assumed to the last digit that was typed."""
        digit = 2 * self.widest
        if self.assumed and f"{digit:.6e}".startswith("1.000000e"):  # still in the unit in which it was typed
            return f"{numbers.fixed(self.value, numbers.decimals_for(digit) - 1)} {self.unit.symbol}"
        return f"{numbers.show(self.value, self.half_width)} {self.unit.symbol}"

    @property
    def half_width(self) -> float:
        """The 95 % half-width, in the reading's unit."""
        return self.u * (HALF_OF_RECTANGLE if self.assumed else COVERAGE)

    @property
    def interval(self) -> tuple[float, float]:
        """The 95 % interval, no further than what is possible."""
        low, high = self.value - self.half_width, self.value + self.half_width
        lowest, highest = self.possible
        return low if lowest is None else max(low, lowest), high if highest is None else min(high, highest)

    @property
    def widest(self) -> float:
        """How far the quantity may be off at most where that is known (half a unit of the last digit), else `half_width`."""
        return self.u * 3**0.5 if self.assumed else self.half_width


def parse(text: str, kind: Kind | None = None, *, plain: bool = False) -> Reading:
    """The reading written as `text`: `350 bar`, `350 ± 5 bar`, `350bar+-1%`, `1,5 MPa`, `-0.3 bar`, `1:30 min`.

    With `kind` given a unit that does not fit it is refused with those that do; without, the unit decides the kind.
    plain: its one mark is a decimal one, which is known otherwise (`2.345 ohm`).
    Raises Refused, with the reason and what would do; numbers.Ambiguous for a number that can be read in two ways.
    """
    try:
        return _parsed(text, kind, plain)
    except numbers.Ambiguous:
        raise
    except Refused as error:
        from .paper import own_form

        other = own_form(text, kind.family if kind else None)
        if other is None and numbers.is_between(text):
            hint = "give the middle and half the width, such as 25 ± 5 %"
            raise Refused("is a range, and one reading is wanted here", hint) from error
        if other is None:
            raise
    found = _parsed(other, kind, plain)
    found.text = text.strip()
    return found


def _parsed(text: str, kind: Kind | None, plain: bool) -> Reading:
    body, spread = _sides(_prepare(text))
    number_text, unit_text = numbers.split_number(body)
    if not number_text:
        raise Refused("has no number", f"give a reading, such as {kind.example if kind else '350 bar'}")
    value, last_digit = numbers.parse_number(number_text, plain=plain)
    percent, width, width_unit = _spread(spread)
    if percent and unit_text and width_unit:
        raise Refused(f'has "{width_unit}" behind its percentage', "leave it out")
    if percent and not unit_text and not width_unit and (kind is None or kind.family == "ratio"):
        percent, width_unit = False, "%"  # "25 ± 2 %" is a ratio with its unit at the end
    if not unit_text and (width_unit != "" or percent):
        unit_text, width_unit = width_unit, ""
    unit, found_kind = _unit(unit_text, kind)
    if unit.family == "temperature" and units.convert(value, unit, units.find("K", "temperature")) < 0:
        raise Refused("is below absolute zero", "give a temperature, such as 40 °C")
    if spread is None:
        return Reading(value, unit, found_kind, last_digit / 2 / 3**0.5, assumed=True, text=text.strip())
    if percent and unit.family == "temperature":
        raise Refused("has a percentage of a temperature, which depends on where its zero is", "give it in K, such as ± 2 K")
    if percent and unit.family == "ratio" and not spread.endswith(OF_THE_READING):
        percent, width_unit = False, "%"  # 25 % ± 2 % is 23 to 27 %, as 25 ± 2 % is
    half = abs(value) * width / 100 if percent else _in_unit(width, width_unit, unit)
    return Reading(value, unit, found_kind, half / COVERAGE, text=text.strip())


def from_numbers(value: object, unit_text: str, u95: object, kind: Kind | None) -> Reading:
    """The reading of a program's numbers; without an uncertainty half a unit of the last digit is taken, as for text.

    Raises Refused as `parse` does.
    """
    sizes = []
    for number in (value, u95 if u95 is not None else 0.0):
        if isinstance(number, bool) or not isinstance(number, int | float | str):
            raise Refused("is not a reading", f"give a number and its unit, such as {kind.example if kind else '350 bar'}")
        sizes.append(numbers.parse_number(str(number), plain=True))
    unit, found = _unit(unit_text, kind)
    (size, last_digit), (half, _) = sizes
    text = f"{numbers.unmistakable(str(value))}{'' if u95 is None else f' ± {numbers.unmistakable(str(u95))}'} {unit_text}"
    if half < 0:
        raise Refused("has a negative uncertainty", "give its size, such as 5")
    if u95 is None:
        return Reading(size, unit, found, last_digit / 2 / 3**0.5, assumed=True, text=text)
    return Reading(size, unit, found, half / COVERAGE, text=text)


def check_uncertainty(text: str) -> None:
    """Raise Refused where the text may not stand after the ± of any reading; a ± of its own may lead it."""
    text = without_mark(text)
    number, unit = numbers.split_number(text)
    if number and not unit:
        raise Refused("has no unit", "give one in a unit or in %, such as 0.05 bar or 1 %")
    for body in ("1", "1 bar"):  # with its own unit or per cent, or in the reading's unit
        try:
            parse(f"{body} ± {text}")
            return
        except Refused:
            continue
    raise Refused("is not an uncertainty", "give one in a unit or in %, such as 0.05 bar or 1 %")


def without_mark(uncertainty: str) -> str:
    """The uncertainty without a ± that leads it: `± 1 mL` is 1 mL."""
    tidy = uncertainty.strip()
    return next((tidy.removeprefix(mark).strip() for mark in ("±", "+-", "+/-") if tidy.startswith(mark)), tidy)


def _prepare(text: str) -> str:
    if len(text) > MAX_LENGTH:
        raise Refused(f"is longer than {MAX_LENGTH} characters", "give one number and its unit")
    plain = text.replace("\u2212", "-").replace("+/-", "±").replace("+-", "±").replace("±", " ± ").strip()
    if plain.startswith("(") and ")" in plain:
        inside, _, after = plain[1:].partition(")")
        return f"{inside} {after}"
    return plain


def _sides(text: str) -> tuple[str, str | None]:
    body, mark, spread = text.partition("±")
    if "±" in spread:
        raise Refused("has more than one ±", "give one, such as 350 ± 5 bar")
    return body.strip(), spread.strip() if mark else None


def _spread(text: str | None) -> tuple[bool, float, str]:
    """(in per cent?, half-width, unit text) of what stands after ±."""
    if text is None:
        return False, 0.0, ""
    number_text, rest = numbers.split_number(text)
    if not number_text:
        raise Refused("has no number after ±", "give one, such as 350 ± 5 bar")
    width, _ = numbers.parse_number(number_text)
    if width < 0:
        raise Refused("has a negative uncertainty", "give its size, such as ± 5 bar")
    if rest.startswith("%"):
        rest = rest[1:].strip()
        return True, width, "" if rest in OF_THE_READING else rest
    return False, width, rest


def _unit(text: str, kind: Kind | None) -> tuple[Unit, Kind]:
    """The unit and the kind it makes the reading, checked against the kind that is wanted."""
    if not text:
        ratio = kind is not None and kind.family == "ratio"  # a plain 0.5 may be meant as 0.5 % and as a half
        example = "50 % or 0.5 x" if ratio else kind.example if kind else "350 bar"
        raise Refused("has no unit", f"give one, such as {example}")
    unit, reference = find_unit(text, kind.family if kind else None)
    found = PRESSURE_BY_REFERENCE[reference] if reference else KINDS[kind_of_family(unit.family)]
    if kind is None:
        return unit, found
    if unit.family != kind.family:
        raise Refused(f"is {article(unit.family)}", f"give {article(kind.name)}, such as {kind.example}")
    if reference and reference != kind.reference and kind.name != "pressure":
        raise Refused(f"is {article(found.name)}", f"give {article(kind.name)}, such as {kind.example}")
    return unit, found if kind.name == "pressure" and reference else kind


_MARKS = (
    ("(g)", "gauge"), ("(a)", "absolute"), ("(gauge)", "gauge"), ("(abs)", "absolute"), ("(absolute)", "absolute"),
    (" gauge", "gauge"), (" absolute", "absolute"), (" abs", "absolute"), (" rel", "gauge"), (" g", "gauge"),
    (" a", "absolute"), ("g", "gauge"), ("a", "absolute"),
)  # fmt: skip


def find_unit(text: str, family: str | None = None) -> tuple[Unit, str]:
    """The unit written as `text` and its pressure reference ("gauge", "absolute" or ""). Raises Refused."""
    try:
        return units.find(text, family), ""
    except units.UnknownUnit as error:
        for mark, reference in _MARKS:
            head = units.tidy(text).removesuffix(mark).strip()
            if units.tidy(text).endswith(mark) and head:
                try:
                    unit = units.find(head, "pressure")
                except units.UnknownUnit:
                    continue
                if unit.family == "pressure":
                    return unit, reference
        from .unknown_unit import refusal

        raise refusal(text, family, error.near) from None


def _in_unit(width: float, unit_text: str, unit: Unit) -> float:
    """The half-width in the reading's unit; a temperature's may be given in K or in its own degrees."""
    if not unit_text:
        return width
    other, _ = find_unit(unit_text, unit.family)
    if other.family != unit.family and not (unit.family == "temperature" and other.family == "temperature difference"):
        raise Refused(f"has an uncertainty that is {article(other.family)}", f"give it in {unit.symbol} or in %")
    return units.convert_width(width, other, unit)
