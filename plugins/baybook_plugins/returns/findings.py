"""What a return balance says in words: the verdicts gathered, and the honest limits of four numbers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from baybook.api import Estimate, Finding, Verdict

REPEAT = (
    "engine stopped, exchange hoses and cylinders of two injectors; collect again: the excess has to stay with the injector"
)
LOW_NEXT = "look for a kinked, leaking or blocked return hose, then whether this injector is driven and works at all"
LONGER = "collect for longer, or read a finer cylinder, and judge again"
OTHER_STAGES = "returns do not explain the complaint: test supply and generation, and whether the rail holds"
NEED_LIMIT = "find the limit in the maker's data for this running condition, and type it in with its source"
FEW = (
    "A comparison cannot see a fault that most injectors share: compare the flows with an absolute limit, or their total with "
    "the pump's delivery, as well."
)
TWO = "With two injectors a comparison cannot tell which of them is off."


def findings(verdicts: Sequence[Verdict], estimates: Mapping[str, Estimate], noise: float) -> tuple[Finding, ...]:
    """Gather the verdicts into findings about delivery, hydraulic side; without a limit say what stands out."""
    if not verdicts:
        return (_without_limit(estimates, noise),)
    beyond: dict[tuple[str, bool], list[str]] = {}  # by injector and whether above: two rules broken are one finding
    for verdict in verdicts:
        if verdict.verdict == "outside":
            key, words = _outside(verdict, estimates[verdict.what])
            beyond.setdefault(key, []).append(words)
    found = [_beyond(injector, high, words) for (injector, high), words in beyond.items()]
    unsure = [named(verdict.what) for verdict in verdicts if verdict.verdict == "undecided"]
    if unsure:
        words = f"Not decided, the limit lies within the uncertainty: {', '.join(unsure)}."
        found.append(Finding("delivery", "hydraulic", words, "undecided", LONGER))
    if not found:
        words = "No injector's return is beyond the limit. This says nothing about what the injectors inject."
        found.append(Finding("delivery", "hydraulic", words, "cleared", OTHER_STAGES))
    return tuple(found)


def named(output: str) -> str:
    """An output's name as words: `flow_3` is "injector 3, flow"."""
    what, _, number = output.rpartition("_")
    return f"injector {number}, {what.replace('_', ' ')}"


def _outside(verdict: Verdict, estimate: Estimate) -> tuple[tuple[str, bool], str]:
    """(injector, whether above) and what is outside in words."""
    high = verdict.range.to(estimate.unit).high
    injector, what = named(verdict.what).split(", ")
    return (
        injector,
        high is not None and estimate.value > high,
    ), f"{what} {estimate.show()} is outside {verdict.range.show()}"


def _beyond(injector: str, high: bool, words: Sequence[str]) -> Finding:
    said = f"{injector.capitalize()}: {', '.join(words)}. "
    if high:
        said += "Fuel leaves the rail through its return instead of being injected; where inside it, is not shown."
    else:
        said += "It returns less than it should: the return is blocked or leaks elsewhere, or the injector does not work."
    return Finding("delivery", "hydraulic", said, "indicated", REPEAT if high else LOW_NEXT)


def farthest(estimates: Mapping[str, Estimate], prefix: str) -> str:
    """The name of the family's output that is farthest from 100 %, as a factor up or down."""
    family = [name for name in estimates if name.startswith(prefix)]
    return max(family, key=lambda name: _factor(estimates[name].value))


def _factor(percent: float) -> float:
    return max(percent, 1e4 / percent) if percent > 0 else float("inf")


def _without_limit(estimates: Mapping[str, Estimate], noise: float) -> Finding:
    if estimates["spread"].value <= noise:
        most = f"{float(f'{noise:.2g}'):g} %"
        words = f"The injectors do not differ by more than the readings' own errors would show (spread up to {most})."
        return Finding("delivery", "hydraulic", words, "undecided", NEED_LIMIT)
    if "flow_3" not in estimates:
        words = f"The two injectors differ by {estimates['spread'].show()} of their mean. Which of them is off is not shown."
        return Finding("delivery", "hydraulic", words, "undecided", NEED_LIMIT)
    prefix = "percent_of_median_" if "percent_of_median_1" in estimates else "percent_of_mean_"
    name = farthest(estimates, prefix)
    of = "the others" if prefix == "percent_of_median_" else "all"
    words = f"{named(name).capitalize()} of {of}: {estimates[name].show()} stands out most. Without a limit it has no verdict."
    return Finding("delivery", "hydraulic", words, "undecided", NEED_LIMIT)
