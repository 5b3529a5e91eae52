"""What the core adds to what a calculator returns: declared units and order, and a finding for a verdict without one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, cast

from .errors import PluginError
from .estimate import Estimate
from .kinds import KINDS
from .quantity import resolve
from .result import Finding, Result, Side, Stage, Strength, Verdict

if TYPE_CHECKING:
    from .declare import Calculator, Output

STRENGTH_OF: dict[str, Strength] = {"outside": "indicated", "undecided": "undecided", "within": "cleared"}
STATEMENTS = {
    "outside": "{what}: {shown} is outside {range}.",
    "undecided": "{what}: {shown} is too uncertain to be told from {range}.",
    "within": "{what}: {shown} is within {range}.",
}


def completed_outputs(calculator: Calculator, result: Result) -> dict[str, Estimate | str]:
    """The outputs in their declared units and in the declared order. Raises PluginError where they are not as declared."""
    declared = {name: _declared(calculator, name) for name in result.outputs}
    order = list(calculator.outputs.values())
    names = sorted(declared, key=lambda name: next(at for at, output in enumerate(order) if output is declared[name]))
    return {name: _as_declared(calculator, name, declared[name], result.outputs[name]) for name in names}


def _declared(calculator: Calculator, name: str) -> Output:
    declared = declared_output(calculator, name)
    if declared is None:
        raise PluginError(f"{calculator.words()} returned the output {name!r}, which it does not declare")
    return declared


def _as_declared(calculator: Calculator, name: str, declared: Output, value: Estimate | str) -> Estimate | str:
    if isinstance(value, str) != (declared.kind == "word") or not isinstance(value, str | Estimate):
        raise PluginError(f"{calculator.words()} declares {name!r} as {declared.kind} and returned {value!r}")
    if isinstance(value, str):
        return value
    try:
        return _in_unit(declared, value)
    except (PluginError, ValueError) as error:
        raise PluginError(f"{calculator.words()}, output {name!r}: {error}") from error


def _in_unit(declared: Output, value: Estimate) -> Estimate:
    if declared.kind != "any":
        value = value.of_kind(KINDS[declared.kind])
    if value.kind is None:
        raise PluginError(f"{value.unit.symbol} may be of more than one kind; make the estimate with kind=")
    if declared.shown_unit():
        value = value.to(resolve(declared.shown_unit(), value.kind)[0])
    if declared.at_least is None or value.at_least is not None:
        return value
    return Estimate(value.value, value.unit, value.low, value.high, value.kind, declared.at_least, value.assumed, value.origin)


def declared_output(calculator: Calculator, name: str) -> Output | None:
    """The declaration of an output, `{n}` standing for a number and `{unit}` for a unit; None where there is none."""
    if name in calculator.outputs:
        return calculator.outputs[name]
    for pattern, output in calculator.outputs.items():
        if pattern == "{unit}":
            return output
        head, mark, tail = pattern.partition("{n}")
        if mark and name.startswith(head) and name.endswith(tail) and name[len(head) : len(name) - len(tail)].isdigit():
            return output
    return None


def default_findings(calculator: Calculator, result: Result) -> tuple[Finding, ...]:
    """A finding for the verdicts of a calculator that returned none, at its declared stage and side."""
    if not result.verdicts or "any" in (calculator.stage, calculator.side):
        return ()
    word = next(word for word in ("outside", "undecided", "within") if any(v.verdict == word for v in result.verdicts))
    said = " ".join(_statement(verdict, result) for verdict in _of_word(result.verdicts, word))
    return (Finding(cast(Stage, calculator.stage), cast(Side, calculator.side), said, STRENGTH_OF[word]),)


def _of_word(verdicts: Sequence[Verdict], word: str) -> list[Verdict]:
    return [verdict for verdict in verdicts if verdict.verdict == word]


def _statement(verdict: Verdict, result: Result) -> str:
    found = result.outputs.get(verdict.what)
    shown = found.show() if isinstance(found, Estimate) else verdict.verdict
    what = verdict.what.replace("_", " ")
    return STATEMENTS[verdict.verdict].format(what=what[:1].upper() + what[1:], shown=shown, range=verdict.range.show())
