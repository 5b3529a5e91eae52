"""A calculator's command where every argument is plain: its own inputs by name or place, --json, --steps, --fail-on.

Loading the command line's library takes longer than working most calculators out, so it is left out where it is not needed.
What is unusual is left to the ordinary way. A test compares the two.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..errors import PluginError
from ..fields import CaptureFile
from ..registry import registry
from ..running import run
from .printing import complain, json_text, say

if TYPE_CHECKING:
    from ..declare import Calculator
    from ..result import Result

SWITCHES = ("--json", "--steps")
FAIL_ON = "--fail-on"


def answer(arguments: list[str]) -> int | None:
    """Work it out and print it; the exit code, or None where the ordinary way has to answer (nothing is done then).

    Raises what `run` raises: what is refused is not worked out a second time.
    """
    known = registry()
    if len(arguments) < 2 or all(listed.name != arguments[0] for listed in known.listed()):
        return None
    try:
        calculator = known.calculator(arguments[0])
    except PluginError:  # nothing was worked out
        return None
    given = plain_inputs(calculator, [argument for argument in arguments[1:] if argument not in SWITCHES])
    if given is None:
        return None
    for complaint in known.left_out():
        complain(complaint)
    fail_on = given.pop(FAIL_ON, None)
    result = run(calculator, given, spell="--")
    say("\n".join(_lines(calculator, result, arguments)))
    return 3 if any(verdict.verdict == fail_on for verdict in result.verdicts) else 0


def plain_inputs(calculator: Calculator, arguments: list[str]) -> dict[str, Any] | None:
    """The raw inputs, and --fail-on where it stands; None unless every argument is one of the calculator's own, given once."""
    options = {"--" + p.name.replace("_", "-"): p for p in calculator.parameters if not p.field.positional}
    places = [p.name for p in calculator.parameters if p.field.positional and not p.field.many]
    given: dict[str, Any] = {}
    rest = iter(arguments)
    for argument in rest:
        if argument == FAIL_ON:
            name, value, many = FAIL_ON, next(rest, "--"), False
            if value not in ("outside", "undecided"):
                return None
        elif argument in options and not isinstance(options[argument].field, CaptureFile):
            name, value, many = options[argument].name, next(rest, "--"), options[argument].field.many
        elif not argument.startswith("-") and places:
            name, value, many = places.pop(0), argument, False
        else:
            return None
        if value.startswith("--") or (name in given and not many):
            return None
        given[name] = [*given.get(name, ()), value] if many else value
    return given


def _lines(calculator: Calculator, result: Result, arguments: list[str]) -> list[str]:
    if "--json" in arguments:
        return [json_text(result.to_dict())]
    from ..text import result_lines
    from .speaking import spoken

    return result_lines(result, steps="--steps" in arguments, language=spoken(None, (calculator.package,)))

