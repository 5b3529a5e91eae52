"""Engines with known faults, drawn anew for each seed: what is wrong, and what a person at the vehicle would know and type."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from .engine import Engine

# name of the fault: what it changes in an engine that cranks. Sizes: so that a start fails, or nearly
CRANK: dict[str, dict[str, Any]] = {
    "none": {},
    "none, starts": {"starts": True, "injects": True},
    "none, noisy": {"noise": 0.6, "step": 0.5},
    "none, tired battery": {"battery": 12.2, "inner": 0.011},
    "weak element": {"last_fill": 0.15},
    "leaky element": {"last_slip": 0.35},
    "worn pump": {"slip": 0.11},
    "injector return": {"excess": 0.13},
    "injector return, reaches": {"excess": 0.045, "displacement": 1.1},
    "external leak": {"external": 0.55},
    "outlet valve leaks": {"outlet_orifice": 0.55},
    "outlet valve stuck open": {"outlet_lift": 7.0},
    "outlet valve without current": {"outlet_broken": True},
    "inlet valve stuck shut": {"inlet_high": 0.004},
    "blocked filter": {"feed_drop": 2.5},
    "low feed": {"feed": 0.002, "feed_drop": 0.012},
    "air": {"air_share": 0.93, "air_length": 8.0, "air_in_rail": 1.5},
    "sensor high": {"offset": 5.0},
    "sensor low": {"offset": -5.0},
    "slow starter": {"drag": 235.0},
    "weak battery": {"battery": 11.7, "inner": 0.032},
}
RUNNING: dict[str, dict[str, Any]] = {
    "none": {},
    "none, noisy": {"noise": 0.6, "step": 0.5},
    "weak element": {"last_fill": 0.15},
    "leaky element": {"last_slip": 0.9},
    "injector return": {"excess": 0.05},
    "blocked filter": {"feed_drop": 1.0},
    "outlet valve without current": {"outlet_broken": True},
    "outlet valve stuck open": {"outlet_lift": 12.0},
    "inlet valve without current": {"inlet_broken": True},
    "inlet valve stuck open": {"inlet_low": 0.06},
    "sensor high": {"offset": 5.0},
}
DRIVE: dict[str, dict[str, Any]] = {
    "none": {},
    "none, noisy": {"noise": 0.6, "step": 0.5},
    "blocked filter": {"feed_drop": 0.075},
    "worn pump": {"slip": 0.05},
    "injector return": {"excess": 0.14},
    "inlet valve stuck shut": {"inlet_high": 0.11},
    "outlet valve stuck open": {"outlet_lift": 60.0},
}
CONTROLS = {"outlet": ("outlet", "both"), "inlet": ("inlet",), "": ("inlet", "outlet", "both")}


def _drawn(kind: str, fault: str, number: int, seed: int) -> Engine:
    rng = np.random.default_rng([seed, number, 77])
    controls = CONTROLS[fault.split()[0] if fault.split()[0] in CONTROLS else ""]
    elements, ratio = ((3, 0.5), (2, 0.6667), (3, 0.6667), (2, 1.0), (3, 1.0))[rng.integers(5)]
    each_crank_turn = rng.uniform(0.42, 0.62)
    engine = Engine(
        f"{kind} {number}: {fault}",
        kind=kind,
        control=controls[number % len(controls)],
        fault=fault,
        elements=elements,
        ratio=ratio,
        displacement=each_crank_turn / ratio,
        volume=rng.uniform(16, 30),
        temperature=float(rng.uniform(12, 35) if kind == "crank" else rng.uniform(40, 65)),
        static=rng.uniform(0.01, 0.018) * (1.0 if kind == "crank" else 0.5),
        slip=rng.uniform(0.002, 0.006),
        dead=rng.uniform(0.15, 0.4),
        cylinders=int(rng.choice([4, 4, 4, 6, 5])),
        offset=rng.uniform(-0.5, 0.5),
        gain=rng.uniform(0.995, 1.005),
        noise=rng.uniform(0.04, 0.2),
        step=float(rng.choice([0.05, 0.1, 0.2])),
        feed=rng.uniform(0.4, 0.6),
        speed=rng.uniform(220, 270) if kind == "crank" else rng.uniform(750, 880),
        target=float(rng.choice([26.0, 30.0, 34.0])),
    )
    return replace(engine, **_running(kind, rng, engine))


def _running(kind: str, rng: np.random.Generator, engine: Engine) -> dict[str, Any]:
    if kind == "crank":
        return {"turned": rng.uniform(0.7, 1.3), "released": rng.uniform(5.4, 6.2), "seconds": 8.0}
    common = {"injects": True, "enable": 5.0, "quantity": rng.uniform(0.006, 0.01)}
    if kind == "idle":
        later = float(rng.choice([0.0, 45.0, 55.0]))
        return common | {"initial": engine.target, "target_later": later, "lead": 2.5, "seconds": 10.5}
    return common | {"initial": 30.0, "lead": 2.5, "seconds": 24.0, "profile": str(rng.choice(["hill", "town"]))}


def engines(kind: str, repeats: int, seed: int) -> list[Engine]:
    """`repeats` engines of each fault of a kind, and twice as many without one."""
    table = {"crank": CRANK, "idle": RUNNING, "drive": DRIVE}[kind]
    found = []
    for fault, change in table.items():
        for _ in range(repeats * (2 if fault.startswith("none") else 1)):
            drawn = _drawn(kind, fault, len(found), seed)
            scaled = dict(change)
            if kind == "drive" and not fault.startswith("none"):
                scaled["profile"] = "hill"
            found.append(replace(drawn, **scaled))
    return found


# where the fault of that name lies: stage and side that may be pointed at, and the places of a job's map
CELLS: dict[str, tuple[str, ...]] = {
    "weak element": ("generation hydraulic",), "leaky element": ("generation hydraulic",),
    "worn pump": ("generation hydraulic",),
    "injector return": ("storage hydraulic", "delivery hydraulic"), "external leak": ("storage hydraulic",),
    "outlet valve leaks": ("storage hydraulic",), "outlet valve stuck open": ("storage hydraulic",),
    "outlet valve without current": ("storage control",), "inlet valve without current": ("generation control",),
    "inlet valve stuck open": ("generation hydraulic", "supply hydraulic"),
    # what too little comes through a valve at the pump's inlet, or a filter, the pump gives too little
    "inlet valve stuck shut": ("generation hydraulic", "supply hydraulic"),
    "blocked filter": ("supply hydraulic", "generation hydraulic"), "low feed": ("supply hydraulic", "generation hydraulic"),
    "air": ("supply hydraulic",), "sensor high": ("storage control",), "sensor low": ("storage control",),
}  # fmt: skip
PLACES: dict[str, tuple[str, ...]] = {
    "weak element": ("pump elements",), "leaky element": ("pump elements",), "worn pump": ("pump elements",),
    "injector return": tuple(f"injector {n}" for n in range(1, 7)), "external leak": ("rail and joints",),
    "outlet valve leaks": ("outlet valve",), "outlet valve stuck open": ("outlet valve",),
    "outlet valve without current": ("outlet valve coil", "outlet valve wiring", "outlet valve driver"),
    "inlet valve without current": ("inlet valve coil", "inlet valve wiring", "inlet valve driver"),
    "inlet valve stuck open": ("inlet valve",), "inlet valve stuck shut": ("inlet valve",), "blocked filter": ("filter",),
    "low feed": ("tank pump",), "air": ("air leak", "feed line"), "sensor high": ("rail sensor", "rail sensor wiring"),
    "sensor low": ("rail sensor", "rail sensor wiring"),
}  # fmt: skip


def sheet(engine: Engine) -> str:
    """What a job's sheet says of the vehicle."""
    outlet = {"inlet": "none", "outlet": "pump", "both": "rail"}[engine.control]
    inlet = str(engine.control != "outlet").lower()
    return (
        f'[system]\nlow_pressure = ["tank pump"]\nfilter = true\ninlet_valve = {inlet}\noutlet_valve = "{outlet}"\n'
        f"injector_bleed = false\ninjectors = {engine.cylinders}\n"
    )


# what a pump that is known by its drawing sweeps, and a rail's volume, are known that well
VOLUME_PER_CENT = 5.0
TEMPERATURE = 4.0


def known(engine: Engine, seed: int) -> dict[str, Any]:
    """What the person types: drawn about the truth as well as the stated uncertainty says."""
    rng = np.random.default_rng([seed, hash_of(engine.name)])
    volume = engine.volume * (1 + rng.normal() * VOLUME_PER_CENT / 196)
    warm = engine.temperature + rng.normal() * TEMPERATURE / 1.96
    return {
        "elements": engine.elements,
        "pump_ratio": f"{engine.ratio} 1",
        "pump": f"{engine.displacement:.4f} ± 0.005 cm3/rev",
        "volume": f"{volume:.2f} ± {volume * VOLUME_PER_CENT / 100:.2f} mL",
        "temperature": f"{warm:.2f} ± {TEMPERATURE} °C",
    }


def hash_of(text: str) -> int:
    """A number that is the same in every process."""
    return sum((k + 1) * ord(c) for k, c in enumerate(text))
