"""A common-rail engine from first principles, many at a time: what its loggers would show, and what truly flowed.

Units: MPa (gauge, but where a name says absolute), cm3, s, A, V, ohm, turns. Nothing here comes from a maker: each figure is of
the size that a car's engine has (common practice, no source); a test compares with the flow that was simulated.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, fields
from itertools import pairwise
from types import SimpleNamespace
from typing import Any

import numpy as np
from tests.captures_made.fuel import density_ratio, modulus, thin

ATMOSPHERE = 0.1013
CHANNELS = ("rail", "true", "set", "d_mv", "i_mv", "d_pcv", "i_pcv", "rpm", "low", "battery")
FLOWS = ("pumped", "static", "excess", "outlet", "injected", "external", "element_last")
_NAMED = ("name", "kind", "control", "fault", "profile")


@dataclass(frozen=True)
class Engine:
    """One engine on one day. Speeds in turns of the crank a minute; leaks in cm3/s at 1 MPa (orifice: at the root of 1 MPa)."""

    name: str
    kind: str = "crank"  # crank, idle or drive
    control: str = "inlet"  # inlet, outlet or both
    fault: str = "none"
    elements: int = 3
    ratio: float = 0.5  # turns of the pump for one of the crank
    displacement: float = 0.85  # of all elements in one turn of the pump
    dead: float = 0.3  # dead volume of an element for its swept volume
    slip: float = 0.004  # past one piston while it presses, cm3/s for each MPa
    last_fill: float = 1.0  # what the last element fills, of what the others do
    last_slip: float = 0.0  # what its piston lets past besides
    volume: float = 22.0
    temperature: float = 25.0
    wall: float = 60000.0  # stiffness of the rail's steel
    cylinders: int = 4
    static: float = 0.016  # all injectors' return without injection
    excess: float = 0.0  # one injector's return besides
    external: float = 0.0  # orifice, from the rail to the outside
    injects: bool = False
    enable: float = 18.0
    starts: bool = False
    quantity: float = 0.008  # of one injection at idle
    control_share: float = 0.6  # what an injector's servo takes of that
    relief: float = 190.0
    outlet_orifice: float = 0.0  # a seat that no longer closes
    outlet_lift: float = 200.0  # the pressure that the valve never closes beyond
    outlet_open: float = 6.0  # without current
    outlet_slope: float = 80.0  # MPa for each A
    outlet_ohm: float = 3.0
    outlet_broken: bool = False
    inlet_ohm: float = 3.2
    inlet_start: float = 0.3  # current up to which it is wide open
    inlet_shut: float = 1.4
    inlet_broken: bool = False
    inlet_low: float = 0.004  # least and greatest opening that its slide can take
    inlet_high: float = 1.0
    feed: float = 0.5
    feed_drop: float = 0.004  # MPa of filter and lines for each cm3/s
    air_share: float = 0.0  # of what the feed brings, until `air_length` cm3 have passed
    air_length: float = 1.0
    air_in_rail: float = 0.0  # at atmospheric pressure
    offset: float = 0.0
    gain: float = 1.0
    sensor_lag: float = 0.002
    noise: float = 0.08
    step: float = 0.1
    speed: float = 240.0  # of the starter on a good battery; of idling
    drag: float = 100.0  # N m of the engine at the crank
    compression: float = 60.0  # N m
    battery: float = 12.6
    inner: float = 0.008  # ohm
    target: float = 30.0
    target_later: float = 0.0  # from half the time on, where it changes
    profile: str = ""  # of a drive
    initial: float = 0.0
    lead: float = 0.0  # s before the log begins
    seconds: float = 9.0
    released: float = 7.0  # when the starter is let go
    turned: float = 1.0  # when it is engaged


@dataclass(frozen=True)
class Run:
    """What one engine did: `rate` rows a second of each channel, and of each flow in cm3/s at atmospheric pressure."""

    engine: Engine
    rate: float
    time: Any
    seen: dict[str, Any]
    flows: dict[str, Any]
    started: bool
    random: np.random.Generator = field(compare=False)


# ends of plateaus in s, speed in rpm, target in MPa, quantity in cm3: an invented road
DRIVES = {
    "hill": ((5, 800, 30, 0.007), (10, 1600, 55, 0.018), (15, 2400, 95, 0.036), (19, 1900, 70, 0.022), (24, 3000, 130, 0.048)),
    "town": ((6, 800, 30, 0.007), (11, 1500, 50, 0.014), (15, 800, 30, 0.007), (20, 2000, 75, 0.024), (24, 1300, 42, 0.010)),
}


def _profile(engine: Engine, times: Any) -> tuple[Any, Any, Any]:
    """Speed, target and quantity over time: plateaus with ramps of 1 s between."""
    if engine.kind != "drive":
        later = engine.target_later or engine.target
        ramp = np.clip((times - (engine.lead + engine.seconds) / 2) / 0.4, 0, 1)
        ones = np.ones_like(times)
        return engine.speed * ones, engine.target + (later - engine.target) * ramp, engine.quantity * ones
    plateaus = DRIVES[engine.profile]
    knots = [0.0]
    values = [plateaus[0][1:]]
    for (end, *now), (_, *after) in pairwise(plateaus):
        knots += [end - 0.5, end + 0.5]
        values += [tuple(now), tuple(after)]
    knots.append(plateaus[-1][0] + 1.0)
    values.append(plateaus[-1][1:])
    table = np.array(values)
    return tuple(np.interp(times, knots, table[:, k]) for k in range(3))  # type: ignore[return-value]


def simulate(engines: Sequence[Engine], seed: int, dt: float = 4e-4, every: int = 3) -> list[Run]:
    """Run engines of one kind and length side by side; each row kept is the `every`-th step."""
    world = SimpleNamespace(
        **{f.name: np.array([getattr(e, f.name) for e in engines]) for f in fields(Engine) if f.name not in _NAMED}
    )
    count = len(engines)
    world.metered = np.array([e.control != "outlet" for e in engines])
    world.outletted = np.array([e.control != "inlet" for e in engines])
    world.cranked = engines[0].kind == "crank"
    steps = round(engines[0].seconds / dt)
    times = np.arange(steps) * dt
    world.rpm_wanted, world.set, world.wanted = (np.array(v) for v in zip(*(_profile(e, times) for e in engines), strict=True))
    rngs = [np.random.default_rng([seed, k]) for k in range(count)]
    _begin(world, rngs)
    kept = np.empty(((steps + every - 1) // every, len(CHANNELS) + len(FLOWS), count), dtype=np.float32)
    with np.errstate(all="raise", under="ignore"):
        for k in range(steps):
            row = _step(world, k, float(times[k]), dt)
            if k % every == 0:
                kept[k // every] = row
    runs = []
    for j, engine in enumerate(engines):
        rows = times[::every] >= engine.lead
        seen = {name: kept[rows, i, j].astype(float) for i, name in enumerate(CHANNELS)}
        flows = {name: kept[rows, len(CHANNELS) + i, j].astype(float) for i, name in enumerate(FLOWS)}
        begun = times[::every][rows] - engine.lead
        runs.append(Run(engine, 1 / (dt * every), begun, seen, flows, bool(world.fired[j] > 0), rngs[j]))
    return runs


def _begin(w: SimpleNamespace, rngs: list[np.random.Generator]) -> None:
    n = len(rngs)
    w.p = w.initial.copy()
    w.read = w.p.copy()
    w.turns = np.array([r.random() for r in rngs])
    w.pump_turns = np.array([r.random() for r in rngs])
    w.omega = np.zeros(n) if w.cranked else w.speed / 60
    w.i_mv, w.i_pcv = np.zeros(n), np.zeros(n)
    w.sum_mv, w.sum_pcv = np.full(n, 0.2), np.zeros(n)
    if not w.cranked:
        w.i_mv, w.i_pcv = np.full(n, 1.0), (w.initial - w.outlet_open) / w.outlet_slope
        w.sum_mv = np.full(n, 0.12)
    w.air = w.air_in_rail.copy()
    w.passed = np.zeros(n)
    w.low = w.feed.copy()
    w.fired = np.zeros(n)
    w.phase = np.arange(3)[:, None] / w.elements
    w.there = np.arange(3)[:, None] < w.elements
    w.is_last = np.arange(3)[:, None] == w.elements - 1
    w.wet = thin(w.temperature)


def _step(w: SimpleNamespace, k: int, t: float, dt: float) -> list[Any]:
    battery = _turn(w, k, t, dt)
    d_mv, d_pcv = _control(w, k, t, battery, dt)
    elements = _pump(w, dt)
    flows = _losses(w, k, dt)
    k_fuel = modulus(w.p, w.temperature)
    absolute = w.p + ATMOSPHERE
    softness = w.volume / k_fuel + w.volume / w.wall + w.air * ATMOSPHERE / (1.2 * absolute**2)
    rate = (elements.sum(0) - sum(flows.values())) / softness
    w.p = np.maximum(w.p + np.clip(rate * dt, -5.0, 5.0), 0.0)
    w.read = w.read + (w.p - w.read) * min(dt / float(w.sensor_lag.min()), 1.0)
    out = density_ratio(w.p, w.temperature)
    shown = w.gain * w.read + w.offset
    last = np.where(w.is_last, elements, 0.0).sum(0)
    return [
        shown, w.p, w.set[:, k], d_mv, w.i_mv, d_pcv, w.i_pcv, w.omega * 60, w.low, battery,
        elements.sum(0) * out, *(flows[name] * out for name in FLOWS[1:-1]), last * out,
    ]  # fmt: skip


def _turn(w: SimpleNamespace, k: int, t: float, dt: float) -> Any:
    """Turn the crank; the battery's voltage."""
    if not w.cranked:
        w.omega = w.rpm_wanted[:, k] / 60 * (1 + 0.012 * np.sin(2 * np.pi * w.turns * w.cylinders / 2))
        w.turns = w.turns + w.omega * dt
        return np.full_like(w.omega, 14.1)
    on = (w.turned <= t) & (w.released > t) & (w.fired * w.omega * 60 < 500)
    # a motor with permanent field: current = (battery - its own voltage) / all resistances, torque in proportion to current
    own = 12.0 * w.omega / (w.speed / 60 * 1.4)
    current = np.where(on, np.maximum(w.battery - own, 0) / (w.inner + 0.02), 2.0)
    battery = w.battery - w.inner * current
    torque = np.where(on, 0.75 * current, 0.0)
    squeeze = w.compression * np.sin(2 * np.pi * w.turns * w.cylinders / 2) * np.clip(w.omega, 0, 1)
    w.fired = np.where(w.starts & w.injects & (w.read > w.enable) & (w.omega * 60 > 100) & on, w.fired + dt, w.fired)
    burning = np.where(w.fired > 0.25, np.clip((900 / 60 - w.omega) * 40, 0, 250), 0.0)
    friction = w.drag * np.clip(w.omega, 0, 1) * np.where(w.fired > 0.25, 0.4, 1.0)
    w.omega = np.maximum(w.omega + (torque + burning - friction - squeeze) / (0.4 * 2 * np.pi) * dt, 0.0)
    w.turns = w.turns + w.omega * dt
    return battery


def _control(w: SimpleNamespace, k: int, t: float, battery: Any, dt: float) -> tuple[Any, Any]:
    """What the control asks of both valves: proportional and integral, within limits; and their currents after that."""
    awake = t > 0.4 if w.cranked else True
    error = np.clip(w.set[:, k] - (w.gain * w.read + w.offset), -60, 60)
    slow = 800 / np.maximum(w.omega * 60, 400)
    cranking = w.omega * 60 < 450
    inlet_leads = w.metered & ~(w.outletted & cranking)
    quantity = w.wanted[:, k] * (1 + w.control_share) * w.omega * w.cylinders / 2
    ahead = np.clip((quantity + w.static * w.p) / np.maximum(w.displacement * w.omega * w.ratio, 0.05), 0, 0.9) * 0.25
    ask = ahead + 0.012 * slow * error + w.sum_mv
    held = np.clip(ask, 0.0, 1.0)
    free = (held == ask) | (np.sign(error) != np.sign(ask - held))
    w.sum_mv = np.where(inlet_leads & free & awake, w.sum_mv + 0.03 * slow * np.clip(error, -8, 8) * dt, w.sum_mv)
    held = np.where(w.outletted & cranking, 1.0, held)
    i_want = w.inlet_shut + 0.1 - held * (w.inlet_shut + 0.1 - w.inlet_start)
    d_mv = np.where(w.metered & awake, np.clip(i_want * w.inlet_ohm / battery, 0.01, 0.9), 0.01)
    p_want = np.where(inlet_leads, w.set[:, k] + 25, w.set[:, k] + 0.4 * error + w.sum_pcv)
    i_ask = (p_want - w.outlet_open) / w.outlet_slope
    i_held = np.clip(i_ask, 0.05, 2.2)
    free = (i_held == i_ask) | (np.sign(error) != np.sign(i_ask - i_held))
    w.sum_pcv = np.where(~inlet_leads & free & awake, w.sum_pcv + 3.0 * np.clip(error, -5, 5) * dt, w.sum_pcv)
    d_pcv = np.where(w.outletted & awake, np.clip(i_held * w.outlet_ohm / battery, 0.01, 0.9), 0.01)
    w.i_mv = w.i_mv + (np.where(w.inlet_broken, 0.0, d_mv * battery / w.inlet_ohm) - w.i_mv) * dt / 0.012
    w.i_pcv = w.i_pcv + (np.where(w.outlet_broken, 0.0, d_pcv * battery / w.outlet_ohm) - w.i_pcv) * dt / 0.006
    return 100 * d_mv, 100 * d_pcv


def _pump(w: SimpleNamespace, dt: float) -> Any:
    """What each element gives at the rail's pressure, in cm3/s."""
    turning = w.omega * w.ratio
    swept = w.displacement * turning
    opening = np.clip((w.inlet_shut - w.i_mv) / (w.inlet_shut - w.inlet_start), 0, 1)
    area = 80.0 * np.clip(np.where(w.metered, opening**2, 1.0), w.inlet_low, w.inlet_high)
    # feed pressure falls over the filter in proportion to flow and over the valve with its square
    passes = area**2 / 2 * (np.sqrt(w.feed_drop**2 + 4 * w.feed / area**2) - w.feed_drop)
    taken = np.minimum(swept, passes)
    fill = np.minimum(1.0, passes / np.maximum(swept, 1e-6))
    low = np.maximum(w.feed - w.feed_drop * taken, 0.0)
    w.low = w.low + (low - w.low) * dt / 0.03
    w.passed = w.passed + taken * dt
    air = w.air_share * np.exp(-w.passed / w.air_length)
    fill = fill * (1 - air)
    w.air = np.maximum(w.air + (air * taken * 0.5 - w.air * taken / w.volume) * dt, 0.0)
    w.pump_turns = w.pump_turns + turning * dt
    at = 2 * np.pi * (w.pump_turns + w.phase)
    up = np.sin(at)
    filled = fill * np.where(w.is_last, w.last_fill, 1.0)
    squeezed = (filled + w.dead) * w.p / modulus(w.p, w.temperature)
    pressing = w.there & (up > 0) & ((1 - np.cos(at)) / 2 > 1 - filled + squeezed)
    slip = (w.slip * w.wet + np.where(w.is_last, w.last_slip, 0.0)) * w.p
    return np.where(pressing, np.maximum(swept / w.elements * np.pi * up - slip, 0.0), 0.0)


def _losses(w: SimpleNamespace, k: int, dt: float) -> dict[str, Any]:
    """What leaves the rail, each in cm3/s at its pressure."""
    root = np.sqrt(w.p)
    firing = w.injects & (w.read > w.enable) & (w.omega * 60 > 100)
    beats = np.maximum(w.omega * w.cylinders / 2, 0.1)
    width = np.clip(0.0012 * beats, 2 * dt * beats, 1.0)
    open_now = ((w.turns * w.cylinders / 2) % 1.0) < width
    quantity = np.where(w.cranked & (w.fired < 0.5), 3.0, 1.0) * w.wanted[:, k] * (1 + w.control_share)
    closes_at = np.where(w.outletted, np.minimum(w.outlet_open + w.outlet_slope * w.i_pcv, w.outlet_lift), 1e4)
    escape = np.where(w.outletted, np.minimum(1.5 * np.maximum(w.p - closes_at, 0), 12.0 * root), 0.0)
    return {
        "static": w.static * w.wet * w.p,
        "excess": w.excess * w.wet * w.p,
        "outlet": escape + w.outlet_orifice * root + 2.0 * np.maximum(w.p - w.relief, 0),
        "injected": np.where(firing & open_now, quantity * beats / width, 0.0),
        "external": w.external * root,
    }
