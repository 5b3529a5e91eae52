"""Spec ranges: the limits that the user typed in, with where they come from. Baybook ships no maker's limits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from . import numbers, units
from .errors import Refused
from .kinds import KINDS, Kind
from .reading import article, find_unit, kind_of_family

UNSTATED = "typed in; where it comes from was not stated"
_AT_MOST = ("<=", "≤", "<", "at most", "max.", "max", "up to", "below")
_AT_LEAST = (">=", "≥", ">", "at least", "min.", "min", "from", "above")


@dataclass(frozen=True)
class SpecRange:
    """Limits in `unit`: `low` or `high` is None where the range is open on that side; `source` says whose limits they are."""

    low: float | None
    high: float | None
    unit: str
    source: str = UNSTATED
    text: str = ""

    def __str__(self) -> str:
        return self.text or self.show()

    def show(self) -> str:
        """The range in words, from its numbers."""
        low, high = (None if limit is None else numbers.plain(limit) for limit in (self.low, self.high))
        if low is not None and high is not None:
            return f"{low} to {high} {self.unit}"
        return f"at most {high} {self.unit}" if low is None else f"at least {low} {self.unit}"

    def to(self, symbol: str) -> SpecRange:
        """The same range in another unit of its family. Raises units.UnknownUnit or ValueError."""
        source = units.find(self.unit)
        target = units.find(symbol, source.family)
        source = units.find(self.unit, target.family)
        low, high = (None if limit is None else units.convert(limit, source, target) for limit in (self.low, self.high))
        return SpecRange(low, high, target.symbol, self.source)

    def to_dict(self) -> dict[str, object]:
        """For JSON."""
        return {"low": self.low, "high": self.high, "unit": self.unit, "source": self.source, "text": str(self)}


def parse_spec(raw: object, kind: Kind) -> SpecRange:
    """The range written as `2.24 to 2.74 ohm`, `3..7 bar`, `<= 6 mL/min`, `at least 200 bar`, `2.5 ± 0.25 ohm`.

    A source may follow after a semicolon (`<= 6 mL/min; sheet 12`), or stand in a mapping `{range, source}`. Raises Refused.
    """
    if isinstance(raw, SpecRange):
        text, source, low, high, unit_text = raw.text, raw.source, raw.low, raw.high, raw.unit
    else:
        text, source = _text_and_source(raw)
        low, high, unit_text = _limits(text, kind)
    unit, reference = find_unit(unit_text, kind.family)
    if unit.family != kind.family or (reference and kind.reference and reference != kind.reference):
        raise Refused(f"is {article(unit.family)}", f"give a range of {article(kind.name)}, such as {_example(kind)}")
    if low is not None and high is not None and not low < high:
        raise Refused("has its lower limit at or above its upper one", "give the smaller number first")
    return SpecRange(low, high, unit.symbol, source or UNSTATED, text)


def check_range(text: str) -> None:
    """Raise Refused where the text, without a source, is a range of no kind of quantity."""
    refusals = []
    for family in units.families():
        try:
            parse_spec({"range": text}, KINDS[kind_of_family(family)])
            return
        except Refused as error:
            refusals.append(error)
    reasons = [refusal.why for refusal in refusals]
    raise min(refusals, key=lambda refusal: reasons.count(refusal.why))  # all other families say only that it is none of theirs


def _text_and_source(raw: object) -> tuple[str, str]:
    if isinstance(raw, Mapping):
        text, source = raw.get("range", raw.get("text")), raw.get("source", "")
        if not isinstance(text, str):
            raise Refused("has no range", 'give { range = "3 to 7 bar", source = "…" }')
        return text.strip(), str(source).strip()
    if not isinstance(raw, str):
        raise Refused("is not a range", "give text, such as 3 to 7 bar")
    text, _, source = raw.partition(";")
    return text.strip(), source.strip()


def _example(kind: Kind) -> str:
    return f"<= {kind.example}"


def _limits(text: str, kind: Kind) -> tuple[float | None, float | None, str]:
    if not text or len(text) > 80:
        raise Refused("is not a range", f"give one, such as {_example(kind)}")
    for words, is_low in ((_AT_MOST, False), (_AT_LEAST, True)):
        for word in words:
            if text.lower().startswith(word):
                limit, unit = _number(text[len(word) :], kind)
                if is_low and not unit.startswith("to "):
                    return limit, None, unit
                if not is_low:
                    return None, limit, unit
    for separator in ("...", "..", "…", " to ", "–", " - ", " bis "):
        left, found, right = text.removeprefix("from ").partition(separator)
        if found:
            low, low_unit = _number(left, kind)
            high, high_unit = _number(right, kind)
            return (_in(low, low_unit, high_unit, kind) if low_unit else low), high, high_unit
    plain = text.replace("+/-", "±").replace("+-", "±")
    if "±" in plain:
        return _tolerance(plain, kind)
    raise Refused("is a single value", f"give a range, such as {_example(kind)} or 3 to 7 {kind.unit}")


def _tolerance(text: str, kind: Kind) -> tuple[float, float, str]:
    left, _, right = text.partition("±")
    middle, unit = _number(left, kind)
    width, rest = _number(right, kind)
    if rest.startswith("%"):
        width, rest = abs(middle) * width / 100, rest[1:].strip()
    return middle - width, middle + width, unit or rest


def _in(value: float, unit_text: str, target_text: str, kind: Kind) -> float:
    source, target = (find_unit(text, kind.family)[0] for text in (unit_text, target_text))
    if source.family != target.family:
        raise Refused("mixes units that do not fit together", f"give both in {kind.unit}")
    return units.convert(value, source, target)


def _number(text: str, kind: Kind) -> tuple[float, str]:
    number, rest = numbers.split_number(text.strip().replace("\u2212", "-"))
    if not number:
        raise Refused("has no number where a limit should stand", f"give a range, such as {_example(kind)}")
    return numbers.parse_number(number)[0], rest
