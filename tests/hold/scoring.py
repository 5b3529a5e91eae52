"""Estimates for simulated cases, and how they did."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from baybook_physics.fuels import FuelModel, diesel, ester, known_better, paraffinic
from baybook_plugins.hold.capture.fitted import explained_from
from baybook_plugins.hold.capture.window import find_window
from baybook_plugins.hold.estimate.posterior import Explained, Posterior, conclude, explain
from baybook_plugins.hold.estimate.summary import Asked, HoldEstimate, summarise
from baybook_plugins.hold.simulator.known import Known
from baybook_plugins.hold.simulator.problem import RailProblem
from baybook_plugins.hold.two_point.estimate import TwoReadingResult, estimate
from baybook_plugins.hold.two_point.readings import TwoReadings

from .simulator import Case, draw_case


def infer(task: RailProblem) -> Posterior:
    """Belief after the capture of `task`. Raises `NotAHoldError` where nothing explains it."""
    return conclude(explain(task))


def conformity(found: HoldEstimate, low: float | None, high: float | None) -> float:
    """Probability that `leak_collected` lies within `low` to `high` (mL/min; None: open)."""
    values, weights = found.collected_draws
    inside = (values >= (-np.inf if low is None else low)) & (values <= (np.inf if high is None else high))
    return min(float(weights[inside].sum()) / float(weights.sum()), 1.0)


def estimate_case(case: Case) -> HoldEstimate:
    """The product's answer to a case."""
    return summarise(posterior_of(case), Asked(reference=case.reference))


def posterior_of(case: Case) -> Posterior:
    """Belief after a case's capture."""
    known = Known(
        volume=case.volume, temperature=case.temperature, ambient=case.ambient, zero=case.zero, free_gas=case.gas,
        back_pressure=(case.truth.back, 0.0), one_temperature=case.settled,
    )  # fmt: skip
    return conclude(within(case, known))


def within(case: Case, known: Known) -> Explained:
    """The hold, found behind a running pump where there was one, and explained."""
    window = find_window(case.time, case.pressure) if case.lead else None
    first, end = (window.first, window.end) if window else (0, len(case.time))
    fuel = fuel_of(case, case.viscosity)
    return explained_from(case.time[first:end], case.pressure[first:end], known, fuel, window)[0]


def fuel_of(case: Case, viscosity: float | None = None) -> FuelModel:
    """What is known of a case's fuel."""
    rho, u_rho = case.density or (None, None)
    if case.fuel == "diesel":
        return diesel(rho, u_rho, viscosity)
    return known_better(ester() if case.fuel == "ester" else paraffinic(), rho, u_rho, viscosity, None)


@dataclass(frozen=True)
class Score:
    """Counts over many cases."""

    cases: int
    leaking: int
    line_inside: int
    collected_inside: int
    line_inside_leaking: int
    collected_inside_leaking: int
    median_error: float
    median_width: float
    wrong_verdicts: int
    undecided: int
    false_leaks: int
    missed: int
    wrong_laws: int
    named_laws: int


def score(count: int, seed: int) -> Score:
    """Run `count` cases."""
    random = np.random.default_rng(seed)
    pairs = [(case, estimate_case(case)) for case in (draw_case(random) for _ in range(count))]
    return tally(pairs)


def tally(pairs: list[tuple[Case, HoldEstimate]]) -> Score:
    """Counts of cases and their estimates."""
    leaking = [(c, e) for c, e in pairs if c.kind != "none"]
    line = [inside(e.leak_at_line, c.at_line) for c, e in pairs]
    collected = [inside(e.leak_collected, c.collected) for c, e in pairs]
    verdicts = [verdict(conformity(e, None, c.limit)) for c, e in pairs]
    right = ["within" if c.collected <= c.limit else "outside" for c, _ in pairs]
    named = [(c, e) for c, e in pairs if e.law != "unknown"]
    return Score(
        cases=len(pairs),
        leaking=len(leaking),
        line_inside=sum(line),
        collected_inside=sum(collected),
        line_inside_leaking=sum(ok for ok, (c, _) in zip(line, pairs, strict=True) if c.kind != "none"),
        collected_inside_leaking=sum(ok for ok, (c, _) in zip(collected, pairs, strict=True) if c.kind != "none"),
        median_error=float(np.median([abs(e.leak_at_line.value / c.at_line - 1.0) for c, e in leaking])),
        median_width=float(np.median([(e.leak_at_line.high - e.leak_at_line.low) / 2.0 / c.at_line for c, e in leaking])),
        wrong_verdicts=sum(v not in ("undecided", r) for v, r in zip(verdicts, right, strict=True)),
        undecided=verdicts.count("undecided"),
        false_leaks=sum(e.leaks for c, e in pairs if c.kind == "none"),
        missed=sum(e.law == "none" for c, e in leaking),
        wrong_laws=sum(e.law != c.kind for c, e in named),
        named_laws=len(named),
    )


def inside(interval: tuple[float, ...], truth: float) -> bool:
    """Whether a truth lies within low to high."""
    return interval[1] <= truth <= interval[2]


def verdict(probability: float) -> str:
    """The decision rule: 95 % either way, else undecided."""
    if probability >= 0.95:
        return "within"
    return "outside" if probability <= 0.05 else "undecided"


@dataclass(frozen=True)
class Wide:
    """How one answer did against its truth; `bias` and `width` (half of the interval) are relative to the truth."""

    group: str
    kind: str
    truth: float
    line: bool
    collected: bool
    bias: float
    width: float
    verdict: str
    probability: float
    wrong_verdict: bool
    false_leak: bool
    law: str
    growth: float
    low: float
    value: float
    high: float


def widely(case: Case, found: HoldEstimate | TwoReadingResult) -> Wide:
    """Score an answer from a capture or from two readings of the same hold."""
    values, weights = (np.asarray(part) for part in found.collected_draws)
    probability = float(weights[values <= case.limit].sum() / weights.sum())
    word = verdict(probability)
    if isinstance(found, HoldEstimate) and not found.fits:
        word = "undecided"
    at = found.leak_at_line
    scale = case.at_line or 1.0
    return Wide(
        group=case.group, kind=case.kind, truth=case.at_line, line=inside(at, case.at_line),
        collected=inside(found.leak_collected, case.collected), bias=at.value / scale - 1.0,
        width=(at.high - at.low) / 2.0 / scale,
        verdict=word, probability=probability,
        wrong_verdict=word not in ("undecided", "within" if case.collected <= case.limit else "outside"),
        false_leak=at.low > 0.0 and case.kind == "none", law=found.law if isinstance(found, HoldEstimate) else "unknown",
        growth=found.noise_inflation if isinstance(found, HoldEstimate) else 1.0, low=at.low, value=at.value, high=at.high,
    )  # fmt: skip


def two_of(case: Case) -> TwoReadingResult | None:
    """The answer from a first and a last reading of a case; None where noise makes them rise."""
    shut = case.time >= case.lead
    time, pressure = case.time[shut], case.pressure[shut]
    count = max(len(time) // 60, 2)
    noise = float(np.std(np.diff(pressure)) / np.sqrt(2.0 * count)) + 1e-3
    span = float(time[-count:].mean() - time[:count].mean())
    first, last = float(pressure[:count].mean()), float(pressure[-count:].mean())
    if last - first > 1.96 * np.hypot(noise, noise):
        return None
    readings = TwoReadings(
        start=(first, noise), end=(last, noise), time=(span, 0.02), volume=case.volume, temperature=case.temperature,
        ambient=case.ambient, zero=case.zero, back_pressure=(case.truth.back, 0.0), reference=case.reference, free_gas=case.gas,
        one_temperature=case.settled,
    )  # fmt: skip
    return estimate(readings, fuel_of(case))
