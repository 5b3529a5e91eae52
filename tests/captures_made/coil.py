"""Driven coils from first principles, many at a time: iron that saturates, an armature that moves, what a clamp shows.

Flux = L(x) i / sqrt(1 + (i/i_s)^2), U = R i + d flux/dt; the armature is a mass on a preloaded spring between two stops,
pulled by i^2 dL/dx / 2 (circuit theory and mechanics). Sizes: common practice, no source; the truth is what was put in
and what flowed.
Injectors: a boost voltage up to the peak, then the battery switched between two currents until the end, then a clamped decay.
Valves: the battery switched at a frequency and a duty, a diode or a switch between. SI units, but mm for the armature.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np


@dataclass(frozen=True)
class Coil:
    """One circuit, its drive and the clamp round its wire."""

    name: str
    form: str = "pulse"
    fault: str = "none"
    ohm: float = 0.35  # of the coil at 20 degrees
    celsius: float = 40.0
    contact: float = 0.0  # further resistance in the circuit
    henry: float = 2.0e-4
    grows: float = 0.25  # share by which the inductance grows over the whole travel
    saturates: float = 60.0  # A
    travel: float = 0.06  # mm
    mass: float = 0.01
    preload: float = 50.0  # N
    stuck: bool = False
    boost: float = 65.0
    battery: float = 13.8
    peak: float = 18.0
    hold: float = 11.0
    band: float = 1.0  # between which the hold is switched
    open_for: float = 1.2e-3
    clamp: float = 65.0  # V at which it dies away
    frequency: float = 200.0
    duty: float = 0.3
    diode: float = 0.7
    noise: float = 0.08
    offset: float = 0.0  # of the current clamp
    lag: float = 2e-6
    step: float = 2e-6
    seconds: float = 5e-3


@dataclass(frozen=True)
class Log:
    """What the clamp showed, and what was so."""

    coil: Coil
    time: Any
    shown: Any
    current: Any
    position: Any


NUMBERS = [f.name for f in fields(Coil) if f.name not in ("name", "form", "fault")]


def simulate(coils: Sequence[Coil], seed: int) -> list[Log]:
    """Run coils of one form, step and length side by side, from rest (a valve: from the middle of its first second)."""
    w = SimpleNamespace(**{name: np.array([getattr(c, name) for c in coils], float) for name in NUMBERS})
    dt, count = coils[0].step / 2, round(coils[0].seconds / coils[0].step * 2)
    w.r = w.ohm * (234.5 + w.celsius) / 254.5 + w.contact
    w.flux, w.x, w.v, w.seen = (np.zeros(len(coils)) for _ in range(4))
    w.phase, w.on = np.zeros(len(coils)), np.ones(len(coils), bool)
    if coils[0].form == "pwm":
        w.flux = w.henry * np.maximum(w.duty * w.battery - (1 - w.duty) * w.diode, 0) / w.r
    volts = _pulse if coils[0].form == "pulse" else _pwm
    kept = np.empty((count // 2, 3, len(coils)))
    for k in range(count):
        i = _current(w)
        u = volts(w, k * dt, i)
        w.flux = np.maximum(w.flux + (u - w.r * i) * dt, 0.0)
        _move(w, i, dt)
        w.seen = w.seen + (i - w.seen) * min(dt / float(w.lag.max()), 1.0)
        if k % 2 == 0:
            kept[k // 2] = w.seen, i, w.x
    time = np.arange(count // 2) * coils[0].step
    logs = []
    for j, coil in enumerate(coils):
        rng = np.random.default_rng([seed, j])
        shown = kept[:, 0, j] + coil.offset + rng.normal(0, coil.noise, len(time))
        logs.append(Log(coil, time, shown, kept[:, 1, j], kept[:, 2, j]))
    return logs


def _current(w: SimpleNamespace) -> Any:
    """flux = L i/sqrt(1 + (i/s)^2), turned round."""
    ratio = np.minimum(w.flux / (w.henry * (1 + w.grows * w.x / w.travel)) / w.saturates, 0.999)
    return w.saturates * ratio / np.sqrt(1 - ratio**2)


def _move(w: SimpleNamespace, i: Any, dt: float) -> None:
    pull = 0.5 * i**2 * w.henry * w.grows / (w.travel * 1e-3)
    force = np.where(w.stuck > 0, 0.0, pull - w.preload * (1 + 0.2 * w.x / w.travel))
    w.v = w.v + force / w.mass * dt * 1e3  # mm/s
    x = w.x + w.v * dt
    w.v = np.where((x <= 0) | (x >= w.travel), 0.0, w.v)
    w.x = np.clip(x, 0.0, w.travel)


def _pulse(w: SimpleNamespace, t: float, i: Any) -> Any:
    """phase 0: before; 1: boost; 2: falling to hold; 3: held; 4: off."""
    begun, ended = t >= 0.8e-3, t >= 0.8e-3 + w.open_for
    w.phase = np.where((w.phase == 0) & begun, 1, w.phase)
    w.phase = np.where((w.phase == 1) & (i >= w.peak), 2, w.phase)
    w.phase = np.where((w.phase == 2) & (i <= w.hold), 3, w.phase)
    w.phase = np.where(ended, 4, w.phase)
    w.on = np.where(i <= w.hold - w.band / 2, True, np.where(i >= w.hold + w.band / 2, False, w.on))
    held = np.where(w.on, w.battery, -0.7)
    return np.select([w.phase == 1, w.phase == 2, w.phase == 3, w.phase == 4], [w.boost, -0.7, held, -w.clamp], 0.0)


def _pwm(w: SimpleNamespace, t: float, i: Any) -> Any:
    return np.where((t * w.frequency) % 1.0 < w.duty, w.battery, np.where(i > 0, -w.diode, 0.0))


def write(log: Log, path: Path, german: bool = False) -> None:
    """A scope's export: ms and A, with a decimal comma where it is German."""
    head = "Zeit [ms];Spulenstrom [A]" if german else "Time [ms],Coil current [A]"
    rows = [f"{1e3 * t:.4f};{i:.3f}" for t, i in zip(log.time, log.shown, strict=True)]
    lines = [row.replace(".", ",") if german else row.replace(";", ",") for row in rows]
    path.write_text("\n".join([head, *lines]) + "\n", encoding="utf-8")


def injectors(seed: int) -> list[Coil]:
    """Sound ones, and one of each fault."""
    rng = np.random.default_rng([seed, 1])
    faults: dict[str, dict[str, Any]] = {
        "contact": {"contact": 4.0},
        "weak boost": {"boost": 16.0, "open_for": 0.35e-3},
        "shorted turns": {"ohm": 0.2, "henry": 0.7e-4},
        "low hold": {"hold": 5.0},
        "stuck armature": {"stuck": True},
        "none, noisy": {"noise": 0.3},
        "none, clamp off": {"offset": 0.6},
    }
    # driven by the battery alone, the rise is slow enough for the armature to be seen in it
    slow = {"boost": 13.8, "peak": 17.0, "open_for": 1.4e-3, "ohm": 0.3}
    faults |= {"none, slow": slow, "stuck, slow": slow | {"stuck": True}}
    drawn = []
    for name in ("none", "none", "none", "none", *faults):
        sound = {
            "ohm": rng.uniform(0.3, 0.45), "henry": rng.uniform(1.6e-4, 2.4e-4), "celsius": rng.uniform(20, 70),
            "boost": rng.uniform(50, 75), "peak": rng.uniform(17, 19), "hold": rng.uniform(10, 12),
            "grows": rng.uniform(0.3, 0.5), "preload": rng.uniform(40, 60),
        }  # fmt: skip
        drawn.append(Coil(f"{len(drawn)}: {name}", "pulse", name, **(sound | faults.get(name, {}))))
    return drawn


def valves(seed: int) -> list[Coil]:
    """Inlet and outlet valves, sound and not; resistances of 2.9 to 3.5 ohm at 20 degrees are right."""
    rng = np.random.default_rng([seed, 2])
    faults: dict[str, dict[str, Any]] = {
        "contact": {"contact": 1.6}, "shorted turns": {"ohm": 1.9, "henry": 6e-3}, "open": {"contact": 5000.0},
        "none, noisy": {"noise": 0.03}, "none, clamp off": {"offset": 0.02},
    }  # fmt: skip
    drawn = []
    for name in ("none", "none", "none", "none", "none", *faults):
        sound = {
            "ohm": rng.uniform(3.05, 3.35), "celsius": rng.uniform(20, 80), "henry": rng.uniform(12e-3, 20e-3), "grows": 0.2,
            "saturates": 8.0, "preload": 1e3, "mass": 0.02, "frequency": float(rng.choice([180.0, 250.0, 400.0])),
            "duty": rng.uniform(0.25, 0.5), "diode": float(rng.choice([0.0, 0.7])), "noise": 0.006, "lag": 1e-5,
            "step": 2e-5, "seconds": 0.12, "battery": rng.uniform(12.5, 14.2),
        }  # fmt: skip
        drawn.append(Coil(f"{len(drawn)}: {name}", "pwm", name, **(sound | faults.get(name, {}))))
    return drawn
