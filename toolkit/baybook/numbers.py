"""Numbers as people type them, and numbers as Baybook prints them. Light: it is on the fastest path.

Text never reaches an expression parser: a number has a grammar of its own and a bounded length.
"""

from __future__ import annotations

from .errors import Refused

MAX_LENGTH = 40
_GROUPING = " \u00a0\u202f\u2009'’"
_DIGITS = "0123456789"
BETWEEN = ("...", "..", "…", " to ", "–", " - ", " bis ")
"""Between the two ends of a range."""


class Ambiguous(Refused):
    """Raised for a number whose one mark may be a decimal one or part thousands."""


def is_between(text: str) -> bool:
    """Whether a text is two numbers with a mark or word between them, as in 300 to 350 bar."""
    parts = [text.partition(mark) for mark in (*BETWEEN, "-")]
    both = [(first.strip(), last.strip()) for first, mark, last in parts if mark and first[-1:] not in ("e", "E")]
    return any(split_number(first)[0] and split_number(last)[0] for first, last in both)


def split_number(text: str) -> tuple[str, str]:
    """The leading number of `text` and what follows it, both stripped; the number is "" where there is none."""
    end, seen_exponent = 0, False
    while end < len(text):
        char = text[end]
        if char in _DIGITS or char in ".," or (char in "+-" and (end == 0 or text[end - 1] in "eE")):
            pass
        elif char in "eE" and not seen_exponent and _exponent_follows(text, end):
            seen_exponent = True
        elif not (char in _GROUPING and _group_follows(text, end)):
            break
        end += 1
    return text[:end].strip(), text[end:].strip()


def _exponent_follows(text: str, at: int) -> bool:
    after = text[at + 1 : at + 3].lstrip("+-")
    return at > 0 and text[at - 1] in _DIGITS + "." and after[:1] in _DIGITS and after != ""


def _group_follows(text: str, at: int) -> bool:
    """Three digits and then no fourth: the space in "1 500 bar" groups, the one in "25 600 V" of a list would too."""
    group = text[at + 1 : at + 4]
    return at > 0 and text[at - 1] in _DIGITS and len(group) == 3 and group.isdigit() and not text[at + 4 : at + 5].isdigit()


def parse_number(text: str, *, plain: bool = False) -> tuple[float, float]:
    """The number written as `text`, and one unit of its last digit.

    A decimal point or a decimal comma; thousands grouped by space, apostrophe, or the other mark. Raises Refused for what
    could be read in two ways (Ambiguous: `1,500` and `1.500`), for nan and inf, for more than 40 characters and for exponents
    beyond 30.
    plain: the text was written by a program, and a single point in it is a decimal one.
    """
    if len(text) > MAX_LENGTH:
        raise Refused(f"is a number of more than {MAX_LENGTH} characters", "round it")
    mantissa, mark, exponent = text.replace("E", "e").partition("e")
    sign, digits = (mantissa[0], mantissa[1:]) if mantissa[:1] in ("+", "-") and mantissa else ("", mantissa)
    # a point with an exponent is a program's; nobody parts thousands in 1.500e3
    digits = _decimal_point(_ungrouped(digits), plain=plain or (bool(mark) and "," not in digits))
    whole, _, fraction = digits.partition(".")
    if not (whole + fraction).isdigit() or not (whole + fraction).isascii():
        raise Refused("is not a number", "give digits, such as 350 or 1.5")
    power = _exponent(exponent) if mark else 0
    return float(f"{sign}{whole or '0'}.{fraction or '0'}e{power}"), 10.0 ** (power - len(fraction))


def _ungrouped(digits: str) -> str:
    """`digits` without the spaces and apostrophes that group its whole part by three."""
    plain = digits
    for char in _GROUPING:
        plain = plain.replace(char, " ")
    if " " not in plain:
        return digits
    whole, *fraction = plain.replace(",", ".").split(".")
    first, *groups = whole.split(" ")
    fits = 1 <= len(first) <= 3 and not first.startswith("0") and all(len(group) == 3 for group in groups)
    if not fits or any(" " in part for part in fraction):
        raise Refused("has groups of digits that do not fit together", "give one number, such as 1500 or 1 500")
    return plain.replace(" ", "")


def _exponent(text: str) -> int:
    digits = text.lstrip("+-")
    if not digits.isdigit() or not digits.isascii() or len(digits) > 2 or int(digits) > 30:
        raise Refused("has an exponent beyond 30", "give it in a larger or smaller unit")
    return -int(digits) if text.startswith("-") else int(digits)


def _decimal_point(digits: str, *, plain: bool) -> str:
    """`digits` with its decimal mark as a point and no grouping mark."""
    point, comma = digits.rfind("."), digits.rfind(",")
    if point >= 0 and comma >= 0:
        mark, group = (".", ",") if point > comma else (",", ".")
        head, _, tail = digits.rpartition(mark)
        _check_groups(head, group)
        return head.replace(group, "") + "." + tail
    mark = "," if comma >= 0 else "."
    if digits.count(mark) > 1:
        _check_groups(digits, mark)
        return digits.replace(mark, "")
    if not plain and _two_ways(digits):
        whole, _, tail = digits.partition(mark)
        decimal = tail.rstrip("0") or "0"  # never three decimals: the advice would be refused in turn
        raise Ambiguous("could be read in two ways", f"write {whole}{tail} or {unmistakable(f'{whole}.{decimal}')}")
    return digits.replace(",", ".")


def _two_ways(digits: str) -> bool:
    """Whether its one mark may group thousands as well: one to three digits, no leading zero, then just three."""
    whole, mark, tail = digits.replace(",", ".").partition(".")
    return bool(mark) and len(tail) == 3 and 1 <= len(whole) <= 3 and bool(whole.strip("0"))


def unmistakable(text: str) -> str:
    """A printed number so that it can be typed: with three decimals it gets a fourth."""
    return f"{text}0" if _two_ways(text.lstrip("+-")) else text


def typed(value: float, half_width: float, symbol: str) -> str:
    """A value with its 95 % half-width and its unit as it could be typed."""
    spread = f" ± {unmistakable(show(half_width, half_width))}" if half_width > 0 else ""
    return f"{unmistakable(show(value, half_width))}{spread} {symbol}"


def _check_groups(text: str, mark: str) -> None:
    head, *groups = text.split(mark)
    if not 1 <= len(head) <= 3 or any(len(group) != 3 for group in groups) or (groups and head.startswith("0")):
        raise Refused("has decimal and grouping marks that do not fit together", "write it as 1234.5")


def decimals_for(width: float) -> int:
    """Decimals that show two significant digits of `width` (may be negative); width must be positive and finite."""
    return 1 - int(f"{width:.1e}".partition("e")[2])


def show(value: float, width: float = 0.0) -> str:
    """A finite `value` rounded to two significant digits of its 95 % half-width; to six of its own where there is none."""
    if not 0 < width < float("inf"):
        return plain(value)
    decimals = decimals_for(width)
    if decimals < 0 and round(value, decimals) == 0:  # far wider than itself: its size still says more than 0
        return plain(value, 1)
    return fixed(value, decimals)


def rounding_width(low: float, high: float) -> float:
    """The half-width that rounds an interval's value and both its ends: half of it, whichever side is the larger."""
    return (high - low) / 2


def fixed(value: float, decimals: int) -> str:
    """`value` with that many decimals; negative `decimals` round to tens, hundreds …"""
    rounded = round(value, decimals) + 0.0  # + 0.0 turns -0.0 into 0.0
    text = f"{rounded:.{max(decimals, 0)}f}"
    return text if len(text) < 16 else f"{rounded:.6g}"


def plain(value: float, digits: int = 6) -> str:
    """`value` to so many significant digits, without an exponent where it reads well without one."""
    text = f"{value:.{digits}g}"
    if "e" not in text or not 1e-4 <= abs(value) < 1e15:
        return text
    return f"{float(text):.0f}" if abs(value) >= 1 else f"{float(text):.{digits}f}"


def assumed_shown(value: float, half_width: float, unit: str) -> str:
    """A value whose uncertainty was not typed, with half a unit of its last digit: `900 bar (± 0.5 assumed)`.

    It has six digits, or as many as reach a tenth of that uncertainty.
    """
    digits = max(6, 1 + len(f"{abs(value) / half_width:.0f}")) if half_width > 0 else 6
    return f"{plain(value, min(digits, 15))} {unit} (± {plain(half_width, 2)} assumed)".replace("  ", " ")


def percent_shown(probability: float) -> str:
    """A probability in per cent, never rounded to a certainty that it is not."""
    if probability > 0.999:
        return "over 99.9 %"
    return "under 0.1 %" if probability < 0.001 else f"{100 * probability:.1f} %"
