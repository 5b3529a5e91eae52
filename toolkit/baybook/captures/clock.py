"""Time of day, with or without a date, into seconds: one text at a time, or a whole column of equal layout at once.

The date beside a time of day, in the same cell or in a column of its own, is read by `dates`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from .model import Floats

DAY, HOUR = 86400.0, 3600.0
DATE = r"\d{4}[-/.,]\d{1,2}[-/.,]\d{1,2}|\d{1,2}[-/.,]\d{1,2}[-/.,](?:\d{4}|\d{2})"
# a point and a comma have changed places where the file's decimal mark is a comma: both are taken
_CLOCK = re.compile(
    r"\s*(?:(?P<date>" + DATE + r")(?:,?[ T]\s*|\s*$))?(?:(?P<days>\d{1,5}) ?days?,?\s+)?"
    r"(?:(?P<h>\d{1,3}):(?P<m>\d{2}):(?P<s>\d{2})(?:[.,:](?P<f>\d{1,9}))?|(?P<m2>\d{1,3}):(?P<s2>\d{2})[.,](?P<f2>\d{1,9})|"
    r"(?P<large>\d{1,3}):(?P<small>\d{2}))?"
    r"\s*(?P<half>[AaPp]\.?[Mm]\.?)?\s*(?P<zone>Z|[+-]\d{2}:?\d{2})?\s*",
    re.ASCII,
)
_WEIGHTS = {"days": DAY, "h": HOUR, "m": 60.0, "s": 1.0, "m2": 60.0, "s2": 1.0}
_SIXTY = ("m", "s", "s2", "small")  # parts that end at 59, seconds at 60 in the minute of a leap second
SHORT = {"hh:mm": (HOUR, 60.0), "mm:ss": (60.0, 1.0)}
_LAYOUTS = 64  # looked at all at once; what is left is read text by text


def match(text: str) -> re.Match[str] | None:
    """A match with the parts of a time such as `10:00:00.005`, `2024-03-05 10:00` or `2024-03-05`; None if it is none."""
    found = _CLOCK.fullmatch(text.strip('"'))
    return found if found and _possible(found) else None


def is_date(found: re.Match[str]) -> bool:
    """Whether the text is a date and no more."""
    return found["date"] is not None and found["h"] is found["m2"] is found["large"] is None


def is_short(found: re.Match[str]) -> bool:
    """Whether two numbers alone, such as 10:15, leave open whether they are hours and minutes or minutes and seconds."""
    return found["large"] is not None and not (found["date"] or found["half"] or found["days"])


def _possible(found: re.Match[str]) -> bool:
    hour = found["h"] or found["large"]
    if hour is None and found["m2"] is None:
        return is_date(found) and not (found["days"] or found["half"] or found["zone"])
    minute, second = int(found["m"] or found["small"] or 0), int(found["s"] or found["s2"] or 0)
    if found["half"] and not 1 <= int(hour or 0) <= 12:
        return False
    return minute < 60 and second < 61 and not (found["date"] and int(hour or 0) > 23)


class Clock:
    """Reads clock times into seconds from midnight; a day in front of them is left to `dates.Dates`.

    short: "hh:mm" or "mm:ss", what two numbers alone are; "" where they are not to be read.
    hourless: every time so far was minutes and seconds with a fraction, which begin again after an hour.
    """

    def __init__(self, short: str = "") -> None:
        self.short = short
        self.hourless = True

    def one(self, text: str) -> float:
        """Seconds of one clock time; NaN where it is none."""
        found = match(text)
        if found is None or (is_short(found) and not self.short):
            return float("nan")
        self.hourless = self.hourless and found["m2"] is not None
        total = sum(int(found[name]) * weight for name, weight in self._weights(found).items() if found[name] is not None)
        half, hour = (found["half"] or "").lower()[:1], int(found["h"] or found["large"] or 0)
        total += _afternoon(half, hour)
        fraction = found["f"] or found["f2"]
        return total + (int(fraction) / 10.0 ** len(fraction) if fraction else 0.0)

    def many(self, texts: NDArray[np.bytes_]) -> Floats:
        """Seconds for each of `texts`, shape (n,); NaN for what is no clock time."""
        import numpy as np

        seconds = np.full(len(texts), np.nan)
        for rows, figures, text in layouts(texts):
            found = match(text)
            if len(rows) == 1 or found is None:  # of a layout's texts all or none can be times, but for their limits
                seconds[rows] = [self.one(row.tobytes().decode("latin-1")) for row in figures]
            elif not (is_short(found) and not self.short):
                seconds[rows] = self._alike(figures, found)
        return seconds

    def _weights(self, found: re.Match[str]) -> dict[str, float]:
        large, small = SHORT[self.short if is_short(found) and self.short else "hh:mm"]
        return {**_WEIGHTS, "large": large, "small": small}

    def _alike(self, figures: NDArray[np.uint8], found: re.Match[str]) -> Floats:
        """Seconds for rows of characters laid out alike, shape (n, length)."""
        import numpy as np

        self.hourless = self.hourless and found["m2"] is not None
        seconds = np.zeros(len(figures))
        for name, weight in self._weights(found).items():
            if found[name] is not None:
                field = _number(figures, *found.span(name))
                seconds += field * weight
                if name in _SIXTY:
                    seconds[field > (60 if name in ("s", "s2") else 59)] = np.nan
        hour = next((name for name in ("h", "large") if found[name] is not None), "")
        if hour and (found["half"] or found["date"]):
            hours = _number(figures, *found.span(hour))
            seconds[hours > (12 if found["half"] else 23)] = np.nan
            half = (found["half"] or "").lower()[:1]
            seconds += np.where(hours == 12, _afternoon(half, 12), _afternoon(half, 0))
        fraction = "f" if found["f"] is not None else "f2"
        if found[fraction] is not None:
            seconds += _number(figures, *found.span(fraction)) / 10.0 ** len(found[fraction])
        return seconds


def _afternoon(half: str, hour: int) -> float:
    """What AM or PM adds to the hour, in s."""
    return (12 * HOUR * (half == "p") - 12 * HOUR * (hour == 12)) if half else 0.0


def layouts(texts: NDArray[np.bytes_]) -> Iterator[tuple[NDArray[np.int64], NDArray[np.uint8], str]]:
    """The texts in groups of like layout: rows, their characters, shape (n, length), and the first text.

    Alike are texts with digits in the same places and the same characters elsewhere.
    """
    import numpy as np

    lengths = np.char.str_len(texts)
    count = 0
    for length in sorted(set(lengths.tolist())):
        rows = np.flatnonzero(lengths == length)
        figures = np.ascontiguousarray(texts[rows]).view(np.uint8).reshape(len(rows), -1)[:, :length]
        while True:
            is_digit = (figures >= 48) & (figures <= 57)
            where = is_digit[0]
            alike = (is_digit == where).all(axis=1) & (figures[:, ~where] == figures[0, ~where]).all(axis=1)
            count += 1
            if count > _LAYOUTS:
                alike = np.arange(len(rows)) < 1
            yield rows[alike], figures[alike], figures[0].tobytes().decode("latin-1")
            if alike.all():
                break
            rows, figures = rows[~alike], figures[~alike]


def _number(figures: NDArray[np.uint8], start: int, end: int) -> Floats:
    import numpy as np

    value = np.zeros(len(figures))
    for position in range(start, end):
        value = value * 10 + (figures[:, position].astype(np.float64) - 48)
    return value
