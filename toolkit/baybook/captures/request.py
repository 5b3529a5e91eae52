"""A capture that a calculator is to read: the file and what the user said of its columns. Nothing is opened here."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from ..dataclass import dataclass, field
from ..errors import Refused
from ..kinds import KINDS, Kind

if TYPE_CHECKING:
    from .model import Capture
    from .source import Progress

_KEYS = ("file", "columns", "units", "rate", "decimal")
_DECIMAL = {"point": ".", "comma": ",", ".": ".", ",": ","}


@dataclass(frozen=True)
class CaptureRequest:
    """columns: channel -> label; units: channel -> unit; rate: the sample rate as typed; channels: those that must be there;
    also: those that are read where they are.

    decimal: "point" or "comma" where the file leaves open which is its decimal mark.
    """

    file: str
    columns: Mapping[str, str] = field(default_factory=dict)
    units: Mapping[str, str] = field(default_factory=dict)
    rate: str | None = None
    channels: Mapping[str, Kind] = field(default_factory=dict)
    decimal: str | None = None
    also: Mapping[str, Kind] = field(default_factory=dict)

    @classmethod
    def parse(cls, raw: Any, channels: Mapping[str, Kind], also: Mapping[str, Kind] | None = None) -> CaptureRequest:
        """From a path, from a mapping of file, columns, units and rate, or as it is. Raises Refused for anything else."""
        if isinstance(raw, cls):
            return raw
        if isinstance(raw, Mapping) and isinstance(raw.get("value"), Mapping):
            raw = raw["value"]  # the record of an earlier result
        if isinstance(raw, str):
            raw = {"file": raw}
        if not isinstance(raw, Mapping) or not isinstance(raw.get("file"), str) or not raw["file"]:
            raise Refused("is not a capture", 'give a file, or {file = "hold.csv", columns = {rail = "…"}}')
        unknown = [key for key in raw if key not in _KEYS]
        if unknown:
            raise Refused(f"has a part {unknown[0]!r} that is not known", f"use {', '.join(_KEYS)}")
        rate = raw.get("rate")
        if rate is not None:
            _hertz(str(rate))
        decimal = raw.get("decimal")
        if decimal is not None and str(decimal) not in _DECIMAL:
            raise Refused(f"has a decimal mark {str(decimal)!r} that is not known", "use point or comma")
        rate = None if rate is None else str(rate)
        return cls(raw["file"], _texts(raw, "columns"), _texts(raw, "units"), rate, channels, decimal, also or {})

    def __str__(self) -> str:
        return self.file

    def to_dict(self) -> dict[str, Any]:
        """So that it can be given again."""
        parts = {
            "file": self.file,
            "columns": dict(self.columns),
            "units": dict(self.units),
            "rate": self.rate,
            "decimal": self.decimal,
        }
        return {key: value for key, value in parts.items() if value}

    def read(self, on_progress: Progress | None = None) -> Capture:
        """Read the file. Raises InputError for what cannot be used."""
        from .reader import read_capture

        rate = None if self.rate is None else _hertz(self.rate)
        return read_capture(
            self.file,
            self.columns,
            self.units,
            wanted=tuple(self.channels),
            also=tuple(self.also),
            sample_rate_hz=rate,
            decimal=_DECIMAL[self.decimal] if self.decimal else None,
            on_progress=on_progress,
        )


def _texts(raw: Mapping[str, Any], key: str) -> dict[str, str]:
    found = raw.get(key) or {}
    if not isinstance(found, Mapping):
        raise Refused(f"has {key} that are not a table", f'give {key} = {{rail = "…"}}')
    return {str(name): str(value) for name, value in found.items()}


def _hertz(text: str) -> float:
    from ..reading import parse

    try:
        rate = parse(text, KINDS["frequency"]).number("Hz")
    except Refused as error:
        raise Refused(f'has a sample rate "{text}" that {error.why}', error.hint) from error
    if not rate > 0:
        raise Refused(f'has a sample rate "{text}" that is not above zero', "give one, such as 1000 Hz")
    return rate
