"""Fields for what lies outside the command: a logged file, a fuel by its name."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from ..dataclass import dataclass, field
from ..errors import Refused
from ..kinds import Kind
from .base import Field


@dataclass(frozen=True)
class CaptureFile(Field):
    """A logged signal: a file, and which of its columns is which channel.

    channels: for each channel that is wanted, the kind of quantity it holds; also: the same of those that are read where a
    column is plainly one, and done without elsewhere.
    """

    channels: Mapping[str, Kind] = field(default_factory=dict, kw_only=True)
    also: Mapping[str, Kind] = field(default_factory=dict, kw_only=True)

    def parse(self, raw: Any) -> Any:
        """A CaptureRequest: nothing is opened before the calculator asks. Raises Refused."""
        from ..captures.request import CaptureRequest

        return CaptureRequest.parse(raw, self.channels, self.also)

    def moved(self, raw: Any, way: Callable[[str], str]) -> Any:
        """A path, a mapping with a file, or the record of an earlier result, which holds one."""
        if isinstance(raw, str):
            return way(raw) if raw else raw
        if not isinstance(raw, Mapping):
            return raw
        if isinstance(raw.get("value"), Mapping):
            return {**raw, "value": self.moved(raw["value"], way)}
        return {**raw, "file": self.moved(raw["file"], way)} if "file" in raw else raw

    def record(self, value: Any) -> dict[str, Any]:
        """The file and its columns, so that it can be given again."""
        return {**super().record(str(value)), "value": value.to_dict()}

    def example(self) -> str:
        """A file name."""
        return "hold.csv"

    def schema(self) -> dict[str, Any]:
        """A path, or a mapping of file, columns, units and rate."""
        return {"type": ["string", "object"], "description": self.help}


@dataclass(frozen=True)
class FuelName(Field):
    """A fuel by name, or a TOML file that describes one."""

    def parse(self, raw: Any) -> str:
        """The name; the model is made when the calculator asks for it."""
        return str(raw.get("text", "") if isinstance(raw, Mapping) else raw).strip()

    def check(self, name: str, known: Sequence[str]) -> str:
        """The known name that is meant, however it is cased, or a file's. Raises Refused for what is neither."""
        found = name if name.endswith(".toml") else next((one for one in known if one.lower() == name.lower()), None)
        if found is None:
            raise Refused("is not a fuel that is known", f"use {', '.join(known)}, or a file ending in .toml")
        return found

    def moved(self, raw: Any, way: Callable[[str], str]) -> Any:
        """The text, or that of an earlier result's record, where it names a file."""
        if isinstance(raw, Mapping) and "text" in raw:
            return {**raw, "text": self.moved(raw["text"], way)}
        return way(raw.strip()) if isinstance(raw, str) and raw.strip().endswith(".toml") else raw

    def example(self) -> str:
        """The usual fuel."""
        return "diesel"
