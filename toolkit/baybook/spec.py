"""Spec ranges: the limits that the user typed in, with where they come from. Baybook ships no maker's limits."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from . import numbers, units
from .dataclass import dataclass, replace
from .errors import PluginError, Refused
from .kinds import KINDS, PRESSURE_BY_REFERENCE, Kind, article
from .quantity import fits, kind_of_family, narrower, resolve
from .reading import find_unit, parse
from .units import Unit

UNSTATED = "typed in; where it comes from was not stated"
AT_MOST = (
    "<=", "≤", "<", "at most", "maximum", "max.", "max", "up to", "below", "not above", "not over", "not more than",
    "no more than", "höchstens", "bis", "nicht über", "nicht mehr als",
)  # fmt: skip
AT_LEAST = (
    ">=", "≥", ">", "at least", "minimum", "min.", "min", "from", "above", "not below", "not under", "not less than",
    "no less than", "mindestens", "mind.", "mind", "ab", "über", "von", "nicht unter", "nicht weniger als",
)  # fmt: skip
FROM = ("from", "von")


@dataclass(frozen=True, init=False)
class SpecRange:
    """Limits in `unit`, of a `kind`: `low` or `high` is None where the range is open on that side.

    unit: an object, or a symbol ("" for pure numbers); kind: of quantity, or its name, None where the symbol is that of
    several families (K) and nothing has decided yet. source: whose limits they are. Raises PluginError for an unknown unit or
    one that does not fit the kind.
    """

    low: float | None
    high: float | None
    unit: Unit
    source: str
    text: str
    kind: Kind | None

    def __init__(
        self,
        low: float | None,
        high: float | None,
        unit: Unit | str,
        source: str = UNSTATED,
        text: str = "",
        kind: Kind | str | None = None,
    ) -> None:
        found, known = resolve(unit, kind)
        self.__dict__.update(zip(self.__match_args__, (low, high, found, source, text, known), strict=True))

    def __str__(self) -> str:
        return self.text or self.show()

    def show(self) -> str:
        """The range in words, from its numbers."""
        low, high = (None if limit is None else numbers.unmistakable(numbers.plain(limit)) for limit in (self.low, self.high))
        unit = "" if self.unit.symbol == "1" else f" {self.unit.symbol}"
        if low is not None and high is not None:
            return f"{low} to {high}{unit}"
        return f"at most {high}{unit}" if low is None else f"at least {low}{unit}"

    def to(self, unit: Unit | str) -> SpecRange:
        """The same range in another unit of its family.

        Raises units.UnknownUnit, ValueError for one of another family, PluginError while its kind is open.
        """
        target = units.find(unit, self.unit.family) if isinstance(unit, str) else unit
        if target is self.unit:
            return self
        if self.kind is None:
            raise PluginError(f"{self.unit.symbol} may be of more than one kind; make the range with kind=")
        low, high = (None if limit is None else units.convert(limit, self.unit, target) for limit in (self.low, self.high))
        return SpecRange(low, high, target, self.source, kind=self.kind)

    def of_kind(self, kind: Kind) -> SpecRange:
        """The same range as one of `kind`; raises PluginError where it is of another."""
        if self.kind is None:
            return replace(self, unit=resolve(self.unit.symbol, kind)[0], kind=kind)
        if not fits(self.kind, kind):
            raise PluginError(f"the range {self} is of the kind {self.kind.name}, not {kind.name}")
        return replace(self, kind=narrower(self.kind, kind))

    def check_ends(self, needs: str, example: str = "") -> None:
        """Raise Refused where the end is missing beyond which the fault lies: a range without it clears everything.

        needs: "low", "high", "both" or ""; example: a range that has them.
        """
        such = f", such as {example}" if example else ""
        if needs == "both" and None in (self.low, self.high):
            raise Refused("has one end alone, and what it judges may be off to either side", f"give both{such}")
        if needs == "low" and self.low is None:
            raise Refused("has no lower end, and less is what is wrong here", f"give the least that will do{such}")
        if needs == "high" and self.high is None:
            raise Refused("has no upper end, and more is what is wrong here", f"give the most that is allowed{such}")

    def to_dict(self) -> dict[str, object]:
        """For JSON."""
        return {"low": self.low, "high": self.high, "unit": self.unit.symbol, "source": self.source, "text": str(self)}


def parse_spec(raw: object, kind: Kind, example: str = "", *, upper: bool = False, needs: str = "") -> SpecRange:
    """The range written as `2.24 to 2.74 ohm`, `3..7 bar`, `max 6 mL/min`, `at least 200 bar`, `2.5 ± 0.25 ohm`.

    A source may follow after a semicolon (`max 6 mL/min; sheet 12`), or stand in a mapping `{range, source}`. example: what
    a refusal proposes. upper: a single value is the largest allowed, as no other would make sense. needs: the end that it has
    to have, "low", "high" or "both". Raises Refused.
    """
    if isinstance(raw, SpecRange):
        if raw.kind is not None and not fits(raw.kind, kind):
            raise _another_kind(raw.kind, kind)
        unit = units.find(raw.unit.symbol, kind.family) if raw.kind is None else raw.unit
        spec = SpecRange(raw.low, raw.high, unit, raw.source, raw.text, kind if raw.kind is None else narrower(raw.kind, kind))
    else:
        text, source = _text_and_source(raw)
        spec = _range(text, source or UNSTATED, kind, _Words(example or f"max {kind.example}", upper, needs))
    if spec.low is not None and spec.high is not None and not spec.low < spec.high:
        raise Refused("has its lower limit at or above its upper one", "give the smaller number first")
    spec.check_ends(needs, example)
    return spec


def _another_kind(found: Kind, wanted: Kind) -> Refused:
    return Refused(f"is {article(found.name)}", f"give a range of {article(wanted.name)}, such as max {wanted.example}")


class _Words(NamedTuple):
    """What a refusal proposes, whether a single value is an upper limit, and which end is needed."""

    example: str
    upper: bool
    needs: str = ""

    def of_single(self, text: str) -> str:
        """What to write for a single value."""
        ways = {"low": f'"min {text}"', "high": f'"max {text}"', "both": f'"± {text}"'}
        either = f'"max {text}", "min {text}"'
        return f"write {ways.get(self.needs, either)}, or both limits, such as {self.example}"


def check_range(text: str) -> None:
    """Raise Refused where the text, without a source, is a range of no kind of quantity."""
    parse_any_range({"range": text})


def parse_any_range(raw: object) -> SpecRange:
    """The range of whatever kind its unit is of, which stays open where the unit serves several. Raises Refused."""
    refusals, found = [], []
    for family in units.families():
        try:
            found.append(parse_spec(raw, KINDS[kind_of_family(family)]))
        except Refused as error:
            refusals.append(error)
    if found:
        one = found[0]
        return one if len(found) == 1 else SpecRange(one.low, one.high, one.unit.symbol, one.source, one.text)
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
    text, _, source = (part.strip() for part in raw.partition(";"))
    if _is_range(source.partition(";")[0]):
        raise Refused(
            "has a second range where its source should stand", "write both ends as one, such as 3.5 to 5 bar; sheet 3"
        )
    return text, source


def _is_range(text: str) -> bool:
    """Whether a source reads as a range, as the second half of one that was parted by a semicolon does; a date is none."""
    lowered = text.strip().lower()
    word = next((word for word in (*AT_MOST, *AT_LEAST) if word not in FROM and _starts(lowered, word)), "")
    number, rest = numbers.split_number((_split(lowered) or ("", lowered[len(word) :]))[1].strip())
    return bool(number) and (bool(units.families_of(rest)) if rest else bool(word))


def _range(text: str, source: str, kind: Kind, words: _Words) -> SpecRange:
    if not text or len(text) > 80:
        raise Refused("is not a range", f"give one, such as {words.example}")
    plain = text.replace("\u2212", "-").replace("+/-", "±").replace("+-", "±").strip()
    low, high = _ends(plain, kind, words)
    ends = [end for end in (low, high) if end is not None]
    unit, found = _common(ends, kind, words)
    if low is None and words.upper and _is_single(plain):
        text = f"max {text}"
    lower, upper = (None if end is None else units.convert(end.value, end.unit or unit, unit) for end in (low, high))
    return SpecRange(lower, upper, unit, source, text, found)


class _End(NamedTuple):
    """One end of a range: its number, its unit where one was written there, and the kind that the unit's mark makes it."""

    value: float
    unit: Unit | None
    kind: Kind


def _common(ends: list[_End], kind: Kind, words: _Words) -> tuple[Unit, Kind]:
    """The unit in which the range is held, that of the last end that has one, and the kind of both ends."""
    written = [end for end in ends if end.unit is not None]
    if not written and kind.family == "ratio":
        value = numbers.plain(ends[-1].value)
        raise Refused(
            "has no unit", f"write {numbers.plain(100 * ends[-1].value)} % or {value} x, or {value} % if you mean that"
        )
    if not written:
        raise Refused("has no unit", f"give one, such as {words.example}")
    kinds = {end.kind.name: end.kind for end in written}
    if len(kinds) > 1:
        raise Refused(f"mixes {' and '.join(kinds)}", "give both ends alike")
    unit = written[-1].unit
    assert unit is not None
    return unit, written[-1].kind


def _ends(text: str, kind: Kind, wanted: _Words) -> tuple[_End | None, _End | None]:
    """(lower, upper) end of a range as written."""
    lowered = text.lower()
    for words, is_low in ((AT_MOST, False), (AT_LEAST, True)):
        word = next((word for word in words if _starts(lowered, word)), None)
        if word is not None and not (word in FROM and _split(text[len(word) :])):
            end = _end(text[len(word) :], kind, wanted)
            return (end, None) if is_low else (None, end)
    start = next((len(word) for word in FROM if _starts(lowered, word)), 0)
    both = _split(text[start:])
    if both:
        return _end(both[0], kind, wanted), _end(both[1], kind, wanted)
    if text.startswith("±"):  # about zero: a deviation, a correction
        end = _end(text[1:], kind, wanted)
        return end._replace(value=-end.value), end
    if "±" in text:
        return _tolerance(text, kind)
    alone = _end(text, kind, wanted)  # what is wrong with it as a number says more
    if wanted.upper:
        return None, alone
    if alone.unit is None:
        _common([alone], kind, wanted)  # raises
    raise Refused("is a single value", wanted.of_single(text))


def _is_single(text: str) -> bool:
    """Whether it begins with its number, and no word says on which side of it the range lies."""
    return numbers.split_number(text.strip())[0] != ""


def _starts(lowered: str, word: str) -> bool:
    """Whether the text begins with the word and not with a longer one."""
    return lowered.startswith(word) and not (word[-1].isalpha() and lowered[len(word) : len(word) + 1].isalpha())


def _split(text: str) -> tuple[str, str] | None:
    """What stands before and after the separator of two ends; None where there is none."""
    for separator in numbers.BETWEEN:
        left, found, right = text.partition(separator)
        if found:
            return left, right
    number, rest = numbers.split_number(text.strip())  # 2.2-2.8 ohm, 20 %-30 %: a hyphen between two numbers
    for sign in ("-", "/"):  # 2,2/2,8 ohm likewise
        before, found, after = rest.partition(sign)
        if number and found and after.strip()[:1].isdigit() and not units.families_of(rest):  # min-1 and 1/min are units
            return f"{number} {before}", after
    return None


def _tolerance(text: str, kind: Kind) -> tuple[_End, _End]:
    """Both ends of a middle with its tolerance, which has its own unit, or is in per cent of the middle."""
    middle = parse(text, kind)
    low, high = (_End(middle.value + side, middle.unit, middle.kind) for side in (-middle.half_width, middle.half_width))
    return low, high


def _end(text: str, kind: Kind, words: _Words) -> _End:
    number, rest = numbers.split_number(text.strip())
    if not number:
        raise Refused("has no number where a limit should stand", f"give a range, such as {words.example}")
    value = numbers.parse_number(number)[0]
    if not rest:
        return _End(value, None, kind)
    unit, reference = find_unit(rest, kind.family)
    found = PRESSURE_BY_REFERENCE[reference] if reference else kind
    if unit.family != kind.family:
        raise Refused(f"is {article(unit.family)}", f"give a range of {article(kind.name)}, such as {words.example}")
    if not fits(found, kind):
        raise _another_kind(found, kind)
    return _End(value, unit, narrower(found, kind))
