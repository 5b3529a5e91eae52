"""What a workshop keeps for all its jobs: its name, technician, language, usual units, instruments; and the book of its ranges.

Two TOML files in the user's folder of settings, which a person may edit too: settings.toml and specs.toml.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

from .dataclass import dataclass, field
from .errors import InputError, Problem, Refused
from .settings_folder import settings_folder

TEXTS = ("workshop", "technician", "language")
SPEC_KEYS = ("range", "source", "system", "date")


@dataclass(frozen=True)
class Shop:
    """The settings. units: by input ("returns.volumes") or kind of quantity ("volume"); instruments: what and uncertainty."""

    texts: Mapping[str, str] = field(default_factory=dict)
    units: Mapping[str, str] = field(default_factory=dict)
    instruments: Mapping[str, Mapping[str, str]] = field(default_factory=dict)


def folder() -> Path:
    """The user's folder of settings."""
    return Path(settings_folder())


def shop() -> Shop:
    """The settings as they are; empty where there are none. Raises InputError with every problem of the file."""
    data = _read("settings.toml")
    problems = [Problem("settings.toml", key, "is not a setting", f"use {', '.join((*TEXTS, 'units', 'instruments'))}")
                for key in data if key not in (*TEXTS, "units", "instruments")]  # fmt: skip
    for key in ("units", "instruments"):
        if not isinstance(data.get(key, {}), dict):
            problems.append(Problem("settings.toml", data[key], "is not a table", f"write [{key}]"))
    tools = data.get("instruments", {})
    for name, tool in tools.items() if not problems else ():
        problems += _checked_tool(name, tool)
    if problems:
        raise InputError(problems)
    texts = {key: str(data[key]) for key in TEXTS if data.get(key)}
    return Shop(texts, {key: str(unit) for key, unit in data.get("units", {}).items()}, tools)


def _checked_tool(name: str, tool: Any) -> list[Problem]:
    from .reading import check_uncertainty

    given = tool.get("uncertainty") if isinstance(tool, dict) else tool
    try:
        check_uncertainty(str(given))
    except Refused as error:
        return [Problem(f"instrument {name}", given, error.why, error.hint)]
    return []


def keep(key: str, text: str) -> None:
    """Set a setting: workshop, technician, language, "unit volume", "instrument gauge" ("1 %; rail gauge").

    Raises InputError for what is none of these, and for a value that cannot be.
    """
    what, _, name = key.partition(" ")
    _check_line(key, text, may_lack=True)
    if what in TEXTS and not name:
        _check_language(what, text)
        _change("settings.toml", lambda data: data.update({what: text}))
    elif what == "unit" and name:
        _check_unit(name, text)
        _change("settings.toml", lambda data: data.setdefault("units", {}).update({name: text}))
    elif what == "instrument" and name:
        uncertainty, _, said = (part.strip() for part in text.partition(";"))
        if problems := _checked_tool(name, {"uncertainty": uncertainty}):
            raise InputError(problems)
        tool = {"what": said, "uncertainty": uncertainty}
        _change("settings.toml", lambda data: data.setdefault("instruments", {}).update({name: tool}))
    else:
        raise InputError.one("KEY", key, "is not a setting", f'use {", ".join(TEXTS)}, "unit KIND", "instrument NAME"')


def _check_line(where: str, text: str, *, may_lack: bool = False) -> None:
    """Raise InputError for a text that cannot stand in a line of a list: a line break in it, a control character, nothing."""
    if not text.strip() and not may_lack:
        raise InputError.one(where, None, "is empty", "give a name in words, such as return flow at idle")
    if not text.isprintable():
        raise InputError.one(
            where, text, "has a line break or another character that cannot be printed", "write it in one line"
        )


def _check_language(what: str, text: str) -> None:
    from .language import DECIMAL_SIGNS

    if what == "language" and text not in DECIMAL_SIGNS:
        raise InputError.one("language", text, "is not a language that is there", f"use {', '.join(DECIMAL_SIGNS)}")


def _check_unit(name: str, text: str) -> None:
    from . import units
    from .kinds import KINDS

    if not units.families_of(text):
        near = units.near(text)
        raise InputError.one(f"unit {name}", text, "is not a unit", f"did you mean {near[0]}?" if near else "see baybook units")
    if name in KINDS and KINDS[name].family not in units.families_of(text):
        raise InputError.one(f"unit {name}", text, f"is not a unit of {name}", f"give one, such as {KINDS[name].unit}")


def book() -> dict[str, dict[str, str]]:
    """The ranges of the spec book by name, each with range, source, system and date; raises InputError for a wrong file."""
    return {name: _checked(name, raw) for name, raw in _read("specs.toml").items()}


def spec_of(entry: Mapping[str, str]) -> dict[str, str]:
    """An entry of the book as an input: its range, and where it comes from with its date."""
    return {"range": entry["range"], "source": ", ".join(filter(None, (entry["source"], entry.get("date", ""))))}


def add_to_book(name: str, entry: Mapping[str, str], *, force: bool = False) -> None:
    """Write a range into the book. Raises InputError for one that is none, and for a name that is taken or reads as a range."""
    from .spec import check_range

    _check_line("NAME", name)
    for key in ("source", "system"):
        _check_line(f"--{key}", str(entry.get(key, "")), may_lack=True)
    new = _checked(name, entry)
    with suppress(Refused):
        check_range(name)
        raise InputError.one("NAME", name, "is a range itself", "give a name in words, such as return flow at idle")

    def change(entries: dict[str, Any]) -> None:
        if name in entries and not force:
            raise InputError.one("NAME", name, "is in the book already", "give --force to write over it")
        entries[name] = new

    _change("specs.toml", change)


def take_from_book(name: str) -> None:
    """Take a range out of the book. Raises InputError for a name that is not there."""

    def change(entries: dict[str, Any]) -> None:
        entry_named(name, entries)
        del entries[name]

    _change("specs.toml", change)


def entry_named(name: str, entries: Mapping[str, dict[str, str]]) -> dict[str, str]:
    """The entry of that name. Raises InputError with the near ones."""
    from difflib import get_close_matches

    if name not in entries:
        close = get_close_matches(name, entries, n=1)
        raise InputError.one(
            "NAME", name, "is not in the spec book", f"did you mean {close[0]}?" if close else "see baybook spec list"
        )
    return entries[name]


def import_book(path: Path, *, force: bool = False) -> list[str]:
    """Add all ranges of another book to this one; their names. Raises InputError for names that are taken, and wrong files."""
    new = {name: _checked(name, raw) for name, raw in _load(path).items()}

    def change(entries: dict[str, Any]) -> None:
        taken = [name for name in new if name in entries and entries[name] != new[name]]
        if taken and not force:
            raise InputError.one("", path, f"has other ranges for {', '.join(taken)}", "give --force to write over them")
        entries.update(new)

    _change("specs.toml", change)
    return list(new)


def book_text(entries: Mapping[str, Mapping[str, str]]) -> str:
    """The entries as TOML."""
    import tomlkit

    return tomlkit.dumps({name: {key: entry[key] for key in SPEC_KEYS if entry.get(key)} for name, entry in entries.items()})


def _checked(name: str, raw: Any) -> dict[str, str]:
    from .spec import check_range

    where = f"spec {name}"
    if not isinstance(raw, Mapping) or not isinstance(raw.get("range"), str):
        raise InputError.one(where, None, "has no range as text", 'give range = "max 6 mL/min"')
    unknown = [key for key in raw if key not in SPEC_KEYS]
    if unknown:
        raise InputError.one(where, unknown[0], "is not known there", f"use {', '.join(SPEC_KEYS)}")
    if not str(raw.get("source", "")).strip():
        raise InputError.one(where, None, "says not where it comes from", "give its source")
    try:
        check_range(raw["range"])
    except Refused as error:
        raise InputError.one(where, raw["range"], error.why, error.hint) from error
    return {key: str(raw.get(key, "")) for key in SPEC_KEYS}


def _read(name: str) -> dict[str, Any]:
    path = folder() / name
    return _load(path) if path.exists() else {}


def _load(path: Path) -> dict[str, Any]:
    from .toml_file import load_toml

    return load_toml(path)


def _change(name: str, change: Callable[[dict[str, Any]], None]) -> None:
    """Write what `change` makes of the file's data; another terminal's change stays. Raises InputError."""
    import tomlkit

    from .changes import changed
    from .small_files import read_small
    from .toml_file import toml_of

    path = folder() / name
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError.one("", path, f"cannot be written: {error.strerror}", "BAYBOOK_CONFIG names another folder") from error

    def of_bytes(before: bytes) -> tuple[bytes, None]:
        data = toml_of(before, path)
        if name == "specs.toml":
            data = {key: _checked(key, raw) for key, raw in data.items()}
        change(data)
        return (book_text(data) if name == "specs.toml" else tomlkit.dumps(data)).encode(), None

    changed(path, lambda file: read_small(file) if file.exists() else b"", of_bytes)
