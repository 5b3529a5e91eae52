"""What computed a result: versions of Baybook and the plugin, the fuel model, and the fingerprint of each capture."""

from __future__ import annotations

import os
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from .fields import CaptureFile, FuelName
from .version import __version__

if TYPE_CHECKING:
    from .declare import Calculator
    from .environment import Environment


def computed_by(calculator: Calculator, values: Mapping[str, Any]) -> dict[str, Any]:
    """For the record: `baybook`, `plugin` (distribution, version and entry point), `fuels` and `captures` by input."""
    fuels, captures = {}, {}
    for parameter in calculator.parameters:
        value = values.get(parameter.name)
        if value is None:
            continue
        if isinstance(parameter.field, FuelName):
            fuels[parameter.name] = fuel_record(str(value), calculator.surroundings)
        elif isinstance(parameter.field, CaptureFile):
            captures[parameter.name] = {"file": os.path.basename(str(value)), "sha256": sha256_of(str(value))}
    return {
        "baybook": __version__, "plugin": calculator.origin.removeprefix("plugin "), "fuels": fuels, "captures": captures,
    }  # fmt: skip


def fuel_record(name: str, around: Environment) -> dict[str, str]:
    """The fuel model of that name, or of that file, and a checksum of its data: coefficients, widths, limits.

    A model that cannot be made has none; the calculator says why.
    """
    from zlib import crc32

    from .errors import BaybookError

    try:
        model = around.find_fuel(name)
    except (BaybookError, OSError, ValueError, TypeError):
        return {"name": name, "data": ""}
    data = (model.coefficients, model.widths, model.temperatures, model.pressures)
    return {"name": model.name, "data": f"{crc32(repr(data).encode()):08x}"}


def sha256_of(path: str) -> str:
    """The SHA-256 of a file, in hexadecimal digits; "" where it cannot be read."""
    import hashlib

    try:
        with open(path, "rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError:
        return ""
