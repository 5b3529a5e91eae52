"""Verdicts and findings that follow from the declaration: limits that say what they judge, and what a verdict means."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any, cast

from .dataclass import replace
from .draws import AtLeast, Draws
from .errors import PluginError
from .estimate import Estimate
from .fields import Limits
from .message import Message, Word, joined
from .result import Finding, Side, Stage, Strength, Verdict, judge, judge_each
from .spec import SpecRange

if TYPE_CHECKING:
    from .declaration import Meaning
    from .declare import Calculator
    from .message import Argument
    from .result import Given, Result, Value

STRENGTH_OF: dict[str, Strength] = {"outside": "indicated", "undecided": "undecided", "within": "cleared"}
SINGLE = {
    "outside": ("{what}: {value} is outside {range}", "{what}: {value} is outside {range}: {says}"),
    "undecided": (
        "{what}: {value} is too uncertain to be judged against {range}",
        "{what}: {value} is too uncertain to be judged against {range}: {says}",
    ),
    "within": ("{what}: {value} is within {range}", "{what}: {value} is within {range}: {says}"),
}
"""What a finding says of one quantity, without and with what it means."""
NUMBERED = "{each} {index}, {what}"
SEVERAL = {
    "outside": ("{what} of {each} {numbers} is outside {range}", "{what} of {each} {numbers} is outside {range}: {says}"),
    "undecided": (
        "{what} of {each} {numbers} is too uncertain to be judged against {range}",
        "{what} of {each} {numbers} is too uncertain to be judged against {range}: {says}",
    ),
    "within": ("{what} of {each} {numbers} is within {range}", "{what} of {each} {numbers} is within {range}: {says}"),
}
"""The same of several of a vector."""


def completed_verdicts(
    calculator: Calculator, values: Mapping[str, Any], outputs: Mapping[str, Value], given: Result
) -> tuple[Verdict, ...]:
    """The calculator's own verdicts, each with the output that it is on, and those that the limits ask for.

    A verdict that the calculator has made stands: it may know more than the estimate does.
    """
    own = [replace(v, output=v.what if v.what in calculator.outputs else "") if not v.output else v for v in given.verdicts]
    done = {verdict.output for verdict in own}
    for parameter in calculator.parameters:
        spec = values.get(parameter.name)
        if not isinstance(parameter.field, Limits) or not isinstance(spec, SpecRange):
            continue
        name = parameter.field.judges
        if name in given.outputs and name not in done:
            own += _judged(name, _knowing(given.outputs[name], outputs.get(name)), spec)
    return tuple(_named(calculator, verdict) for verdict in own)


def _knowing(given: Given, told: Value | None) -> Given:
    """What knows most of an output: draws and bounds as they were given, estimates as they are told."""
    if isinstance(given, tuple):
        items = told if isinstance(told, tuple) else (None,) * len(given)
        return tuple(item if isinstance(item, Draws | AtLeast) else as_told for item, as_told in zip(given, items, strict=True))
    return given if told is None or isinstance(given, Draws | AtLeast) else told


def _judged(name: str, value: Given, spec: SpecRange) -> list[Verdict]:
    assert not isinstance(value, str)  # a range that judges a word is refused when it is declared
    found = judge_each(name, value, spec) if isinstance(value, tuple) else (judge(name, value, spec),)
    return [replace(verdict, output=name) for verdict in found]


def _named(calculator: Calculator, verdict: Verdict) -> Verdict:
    """A vector's verdict with the number in its name: `injector 3, flow`."""
    if verdict.index is None or not verdict.output:
        return verdict
    each = Word(calculator.outputs[verdict.output].each)
    return replace(verdict, what=Message(NUMBERED, each=each, index=verdict.index, what=Word(verdict.output)))


def completed_findings(
    calculator: Calculator, outputs: Mapping[str, Value], verdicts: Sequence[Verdict], result: Result
) -> tuple[Finding, ...]:
    """The calculator's findings at its declared stage and side where they leave that open; without any, what the verdicts say
    and, beside it, its further ones. Where they are placed by an input they stay as they are.

    Raises PluginError for a finding without stage or side where the declaration has none.
    """
    told = bool(verdicts) and ("any" not in (calculator.stage, calculator.side) or calculator.placing is not None)
    of_verdicts = _of_verdicts(calculator, outputs, verdicts) if told and not result.findings else ()
    found = (*result.findings, *of_verdicts, *result.further)
    return found if calculator.placing else tuple(_as_declared(calculator, finding) for finding in found)


def _as_declared(calculator: Calculator, finding: Finding) -> Finding:
    if finding.stage and finding.side:
        return finding
    if finding.part:
        from .places.layout import stage_of

        finding = replace(finding, stage=cast(Stage, stage_of(finding.part)))
    stage, side = finding.stage or calculator.stage, finding.side or calculator.side
    if "any" in (stage, side):
        raise PluginError(f"{calculator.words()} has a finding that leaves stage or side open, and declares any")
    return replace(finding, stage=cast(Stage, stage), side=cast(Side, side))


def _of_verdicts(calculator: Calculator, outputs: Mapping[str, Value], verdicts: Sequence[Verdict]) -> Iterator[Finding]:
    """A finding for each output and each way in which it is beyond its limit; for the worst word alone.

    Verdicts that no declared meaning is tied to share one.
    """
    word = next(word for word in STRENGTH_OF if any(verdict.verdict == word for verdict in verdicts))
    unexplained: list[Message] = []
    groups: dict[tuple[str, str, Any], list[Verdict]] = {}
    for verdict in verdicts:
        if verdict.verdict == word:
            way = "slip" if verdict.slipped else way_of(verdict, outputs)
            groups.setdefault((verdict.output or verdict.what, way, verdict.range), []).append(verdict)
    for (_, way, _), group in groups.items():
        if way == "slip":
            from .slips import CONFIRM

            yield from (Finding("", "", verdict.doubt, "undecided", CONFIRM) for verdict in group if verdict.doubt)
            continue
        meaning = meaning_of(calculator, group[0], way)
        if meaning is None:
            unexplained.append(_statement(calculator, group, outputs))
        else:
            said = _statement(calculator, group, outputs, meaning.says)
            yield Finding(meaning.stage, meaning.side, said, meaning.strength or STRENGTH_OF[word], meaning.next_test)
    if unexplained and (word != "within" or _of_one_output(calculator)):
        yield Finding("", "", joined(unexplained), STRENGTH_OF[word])


def _of_one_output(calculator: Calculator) -> bool:
    """Whether one output alone has a limit: then its being within clears what the calculator is about. Of several, one may be a
    circumstance, such as a battery, that is right and clears nothing."""
    return len({field.field.judges for field in calculator.parameters if isinstance(field.field, Limits)}) == 1


def way_of(verdict: Verdict, outputs: Mapping[str, Value]) -> str:
    """above or below for a verdict that is outside, else its word."""
    value = value_of(verdict, outputs)
    if verdict.way or verdict.verdict != "outside" or value is None:
        return verdict.way or verdict.verdict
    high = verdict.range.to(value.unit).high
    return "above" if high is not None and value.value > high else "below"


def value_of(verdict: Verdict, outputs: Mapping[str, Given]) -> Estimate | None:
    """The estimate that the verdict is on; None where it is on none of the outputs."""
    value: object = outputs.get(verdict.output)
    if isinstance(value, tuple):
        value = value[verdict.index - 1] if verdict.index else None
    return value if isinstance(value, Estimate) else None


def meaning_of(calculator: Calculator, verdict: Verdict, way: str) -> Meaning | None:
    """What the declaration says of such a verdict: of this output before any, of this way before outside."""
    ways = (way, "outside") if way in ("above", "below") else (way,)
    for output in (verdict.output, ""):
        for wanted in ways:
            for meaning in calculator.meanings:
                if meaning.verdict == wanted and meaning.output == output:
                    return meaning
    return None


def _statement(calculator: Calculator, group: Sequence[Verdict], outputs: Mapping[str, Value], says: str = "") -> Message:
    """What a finding says of verdicts on one output that fell alike."""
    first, value = group[0], value_of(group[0], outputs)
    told: dict[str, Argument] = {"range": first.range, **({"says": Message.of(says)} if says else {})}
    if first.index is not None and first.output:
        numbers = [verdict.index or 0 for verdict in group]
        each = Word(calculator.outputs[first.output].each)
        told |= {"what": Word(first.output, capital=True), "each": each, "numbers": numbers}
        return Message(SEVERAL[first.verdict][bool(says)], **told)
    what = first.what if isinstance(first.what, Message) else Word(first.what, capital=True)
    told |= {"what": what, "value": value or first.bound or Word(first.verdict, "verdict")}
    return Message(SINGLE[first.verdict][bool(says)], **told)
