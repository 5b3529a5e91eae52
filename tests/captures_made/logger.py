"""A logger at the engine: sample rates, labels, units and dialects of many kinds, and the file that comes of them."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from .engine import Run

LABELS = {
    "plain": ("Time", "Rail pressure", "Rail pressure setpoint", "Inlet metering valve duty", "Inlet metering valve current",
              "Pressure control valve duty", "Pressure control valve current", "Engine speed", "Feed pressure",
              "Battery voltage"),
    "short": ("t", "P_rail", "P_rail_set", "DC_inlet", "I_inlet", "DC_outlet", "I_outlet", "n_eng", "P_supply", "U_bat"),
    "tool": ("timestamp", "Fuel rail pressure actual", "Fuel rail pressure target", "Suction control duty cycle",
             "Suction control current", "Outlet pressure control valve duty cycle", "Outlet pressure control valve current",
             "RPM", "Supply pressure", "Control unit voltage"),
    "German": ("Zeit", "Raildruck Ist", "Raildruck Soll", "Zumesseinheit Tastverhältnis", "Zumesseinheit Strom",
               "Druckregelventil Tastverhältnis", "Druckregelventil Strom", "Motordrehzahl", "Kraftstoffvordruck",
               "Batteriespannung"),
}  # fmt: skip
KEYS = ("t", "rail", "set", "d_mv", "i_mv", "d_pcv", "i_pcv", "rpm", "low", "battery")
FACTOR = {"bar": 10.0, "MPa": 1.0, "psi": 145.0377, "kPa": 1000.0, "s": 1.0, "ms": 1000.0, "A": 1.0, "mA": 1000.0}


@dataclass(frozen=True)
class Dialect:
    """How one logger writes."""

    labels: str = "plain"
    rate: float = 200.0  # rows a second
    delimiter: str = ","
    comma: bool = False
    pressure: str = "bar"
    time: str = "s"
    current: str = "A"
    row_of_units: bool = False
    bom: bool = False
    left_out: tuple[str, ...] = ()
    lost: float = 0.005  # share of rows that are missing
    serial: bool = False  # a tool that asks for one value after the other: times jitter, channels are a little apart


DIALECTS = (
    Dialect(),
    Dialect("German", 100, ";", True, "bar", "ms", "mA"),
    Dialect("tool", 500, "\t", False, "MPa", "s", row_of_units=True, bom=True),
    Dialect("short", 50, ";", True, "bar", "s", lost=0.01),
    Dialect("plain", 800, ",", False, "psi", "ms"),
    Dialect("German", 20, ";", True, "MPa", "s", serial=True, left_out=("battery",)),
    Dialect("tool", 250, ",", False, "kPa", "s", "mA", left_out=("d_mv", "d_pcv")),
    Dialect("short", 100, ",", False, "bar", "s", left_out=("i_mv", "i_pcv", "low")),
)


def write(run: Run, path: Path, dialect: Dialect) -> dict[str, str]:
    """Write what the logger recorded; the file's columns by channel."""
    keys = [k for k in KEYS if k not in dialect.left_out and _there(run, k)]
    rows = _rows(run, keys, dialect)
    units = {"t": dialect.time, "rail": dialect.pressure, "set": dialect.pressure, "rpm": "1/min", "low": "bar", "battery": "V"}
    units |= dict.fromkeys(("d_mv", "d_pcv"), "%") | dict.fromkeys(("i_mv", "i_pcv"), dialect.current)
    label = dict(zip(KEYS, LABELS[dialect.labels], strict=True))
    digits = {"t": 2 if dialect.time == "ms" else 5, "i_mv": 1 if dialect.current == "mA" else 3}
    digits |= {"rail": 3 if dialect.pressure == "MPa" else 2, "set": 2, "rpm": 0, "low": 2, "battery": 2, "d_mv": 1, "d_pcv": 1}
    digits["i_pcv"] = digits["i_mv"]
    if dialect.row_of_units:
        lines = [dialect.delimiter.join(label[k] for k in keys), dialect.delimiter.join(units[k] for k in keys)]
    else:
        lines = [dialect.delimiter.join(f"{label[k]} [{units[k]}]" for k in keys)]
    scale = {k: FACTOR.get(units[k], 1.0) for k in keys} | {"low": 10.0}
    for row in rows:
        text = dialect.delimiter.join(f"{v * scale[k]:.{digits[k]}f}" for k, v in zip(keys, row, strict=True))
        lines.append(text.replace(".", ",") if dialect.comma else text)
    path.write_text("\n".join(lines) + "\n", encoding="utf-8-sig" if dialect.bom else "utf-8")
    return {k: label[k] for k in keys}


def _there(run: Run, key: str) -> bool:
    control = run.engine.control
    return not ((key.endswith("_mv") and control == "outlet") or (key.endswith("_pcv") and control == "inlet"))


def _rows(run: Run, keys: list[str], dialect: Dialect) -> Any:
    rng, engine = run.random, run.engine
    times = np.arange(0, run.time[-1], 1 / dialect.rate)
    if dialect.serial:
        times = times + rng.uniform(0, 0.3 / dialect.rate, len(times))
    times = times[rng.random(len(times)) > dialect.lost]
    columns = []
    for place, key in enumerate(keys):
        at = times + place * 0.08 / dialect.rate if dialect.serial else times
        exact = at if key == "t" else np.interp(at, run.time, run.seen[key])
        columns.append(_seen(key, exact, engine, rng))
    columns[0] = times
    return np.column_stack(columns)


def _seen(key: str, exact: Any, engine: Any, rng: np.random.Generator) -> Any:
    """What a sensor and its converter make of it."""
    noisy = lambda size: exact + rng.normal(0, size, len(exact))  # noqa: E731
    if key == "rail":
        return np.round(noisy(engine.noise) / engine.step) * engine.step
    if key == "rpm":
        slow = np.where(exact < 25, 0, exact)  # two teeth have to pass before a speed is told
        return np.maximum(slow + rng.normal(0, 2, len(exact)) * (slow > 0), 0)
    sizes = {"i_mv": 0.01, "i_pcv": 0.01, "d_mv": 0.1, "d_pcv": 0.1, "low": 0.004, "battery": 0.03}
    return noisy(sizes[key]) if key in sizes else exact
