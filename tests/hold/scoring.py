"""Estimates for simulated cases, and how they did."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from baybook.fuels import diesel
from baybook_plugins.hold.blocks import reduce
from baybook_plugins.hold.fit import problem
from baybook_plugins.hold.posterior import understand
from baybook_plugins.hold.prior import Known
from baybook_plugins.hold.summary import Asked, HoldEstimate, summarise

from .simulator import Case, draw_case


def estimate_case(case: Case) -> HoldEstimate:
    """The product's answer to a case."""
    rho, u_rho = case.density or (None, None)
    fuel = diesel(rho, u_rho, case.viscosity)
    known = Known(
        volume=case.volume, temperature=case.temperature, ambient=(case.truth.ambient, 1.0), zero=case.zero,
        back_pressure=case.truth.back,
    )  # fmt: skip
    task = problem(reduce(case.time, case.pressure), known, fuel)
    return summarise(understand(task), Asked(reference=case.reference))


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
    verdicts = [verdict(e.conformity(None, c.limit)) for c, e in pairs]
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
