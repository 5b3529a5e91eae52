"""A result's numbers for print: rounded to two significant digits of their uncertainty, with the page's decimal sign."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from baybook_cards.language import Language

SIGNIFICANT = 2
"""Digits of the uncertainty that are shown (JCGM 100, 7.2.6)."""
HALF_UNIT = 0.95
"""95 % of what lies within half a unit of the last digit, evenly spread, lies within this share of it."""
EVEN = 0.1
"""An interval is written with ± when its two sides differ by no more than this share."""


def decimals_of(half_width: float) -> int:
    """Decimals that show `half_width` (> 0) with two digits; negative ones round to tens, hundreds …"""
    return SIGNIFICANT - 1 - math.floor(math.log10(half_width))


def rounded(value: float, decimals: int, language: Language) -> str:
    """`value` with that many decimals, the negative ones too."""
    return language.number(round(value, decimals), max(0, decimals))


def half_width(quantity: Mapping[str, Any]) -> float:
    """Half of a 95 % interval given as `low`, `high`, as the terminal rounds by it; or `u95`; 0 when neither is there."""
    low, high = quantity.get("low"), quantity.get("high")
    if low is not None and high is not None:
        return float(high - low) / 2
    return float(quantity.get("u95") or 0.0)


def shown(quantity: object, language: Language, name: str = "") -> str:
    """`350 ± 5 bar`; `1.2 (0.9 to 1.6) mL/min` where the interval is not even; a word that the output `name` can be."""
    if isinstance(quantity, bool):
        return language.text("yes" if quantity else "no")
    if isinstance(quantity, int | float):
        return plain_number(float(quantity), language)
    if not isinstance(quantity, Mapping):
        return "" if quantity is None else language.named(name, str(quantity))
    value = quantity.get("value")
    if not isinstance(value, int | float) or isinstance(value, bool):
        word = quantity.get("text") or value or ""
        return language.named(name, word if isinstance(word, str) else str(word))  # (a message keeps its numbers)
    return _with_interval(quantity, float(value), language)


def input_shown(record: Mapping[str, Any], language: Language, name: str = "") -> str:
    """The input `name` of a result: a reading with its interval, several readings in a row, a capture's file by its name, a
    range, yes or no, a word; any other input as it was typed."""
    value = record.get("value")
    if isinstance(value, Mapping) and "file" in value:
        return str(value["file"]).replace("\\", "/").rpartition("/")[2]
    if isinstance(value, list):
        return _in_a_row([shown(item, language) for item in value], language)
    if isinstance(value, int | float) and not isinstance(value, bool) and record.get("unit"):
        return shown(record, language)
    if isinstance(value, bool):
        return shown(value, language)
    if value is None and (record.get("low") is not None or record.get("high") is not None):
        return range_shown(record, language)
    return language.named(name, str(record.get("text", "")))


def _in_a_row(texts: list[str], language: Language) -> str:
    """`30.0; 31.0, each ± 1.0 mL`, where all of them are as good as each other; else one by one."""
    parts = [text.partition(" ") for text in texts]
    rests = {rest for _, _, rest in parts}
    if len(texts) < 2 or len(rests) != 1 or not (rest := rests.pop()):
        return "; ".join(texts)
    numbers = "; ".join(number for number, _, _ in parts)
    return f"{numbers}, {language.text('each')} {rest}" if rest.startswith("±") else f"{numbers} {rest}"


def _unit(quantity: Mapping[str, Any]) -> str:
    """The unit for print; a pure number has none."""
    unit = str(quantity.get("unit") or "")
    return "" if unit == "1" else unit


def _with_interval(quantity: Mapping[str, Any], value: float, language: Language) -> str:
    width, unit = half_width(quantity), _unit(quantity)
    if not 0 < width < math.inf:
        return f"{plain_number(value, language)} {unit}".strip()
    decimals = decimals_of(width)
    number, low, high = rounded(value, decimals, language), quantity.get("low"), quantity.get("high")
    if quantity.get("assumed"):
        half = plain_number(float(f"{width / HALF_UNIT:.2g}"), language)
        return f"{plain_number(value, language)} {unit} (± {half} {language.text('assumed')})".replace("  ", " ")
    if low is None or high is None or abs((high - value) - (value - low)) <= EVEN * width:
        return f"{number} ± {rounded(width, decimals, language)} {unit}".strip()
    ends = f"{rounded(low, decimals, language)} {language.text('to')} {rounded(high, decimals, language)}"
    return f"{number} ({ends}) {unit}".strip()


def plain_number(value: float, language: Language) -> str:
    """A number alone, to at most four significant digits after the point."""
    text = f"{value:.6g}"
    decimals = len(text.partition(".")[2]) if "e" not in text else 0
    return language.number(value, decimals) if "e" not in text else text


def range_shown(spec: object, language: Language) -> str:
    """`270 to 330 bar`, `at most 60 mL/min`, `at least 18 V`: in words, whichever way it was typed."""
    if not isinstance(spec, Mapping):
        return "" if spec is None else str(spec)
    low, high, unit = spec.get("low"), spec.get("high"), str(spec.get("unit") or "")
    first = "" if low is None else plain_number(float(low), language)
    last = "" if high is None else plain_number(float(high), language)
    if first and last:
        text = f"{first} {language.text('to')} {last}"
    else:
        text = f"{language.text('at least')} {first}" if first else f"{language.text('at most')} {last}"
    return f"{text} {unit}".strip() if first or last else ""
