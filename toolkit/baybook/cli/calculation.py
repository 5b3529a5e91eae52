"""A calculator worked out and its result printed, whichever way its inputs were typed."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING, Any

from ..errors import InputError
from ..execution import run
from ..fields import CaptureFile
from .inputs import capture_input, inputs_from
from .names import written_out
from .options import CAPTURE, COMMON, FAIL_ON, Option
from .output import complain, say, say_json
from .screen_language import spoken

if TYPE_CHECKING:
    from ..declare import Calculator
    from ..language import Language
    from ..result import Result

Action = Callable[["Calculator", dict[str, Any], Mapping[str, Any]], int]


def carry_out(calculator: Calculator, typed: Mapping[str, Any], action: Action, common: Iterable[Option] = COMMON) -> int:
    """Do with the typed values what `action` does with (calculator, raw inputs, the common options' values); the exit code."""
    given = {name: value for name, value in typed.items() if value not in (None, False, [], ())}
    options = {option.name: given.pop(option.name, option.default) for option in common}
    columns = {option.name: given.pop(option.name, None) for option in CAPTURE}
    for parameter in calculator.parameters:
        if isinstance(parameter.field, CaptureFile) and parameter.name in given:
            given[parameter.name] = capture_input(given[parameter.name], **columns)
    return action(calculator, given, options)


def work_out(calculator: Calculator, given: dict[str, Any], options: Mapping[str, Any]) -> int:
    """Work it out, print the result, and give the exit code: 3 for a verdict to fail on. Raises InputError, PluginError."""
    fail_on = options["fail_on"]
    if fail_on and fail_on not in dict(FAIL_ON.choices):
        words = " or ".join(dict(FAIL_ON.choices))
        raise InputError.one(FAIL_ON.spelling, fail_on, "is not a verdict to fail on", f"use {words}")
    screen = spoken(options["language"], (calculator.package,))
    if options["how"]:
        from ..how import how_lines

        say("\n".join(how_lines(calculator, screen, given)))
        return 0
    raw = raw_inputs(calculator, written_out(calculator, given), options)
    if sys.stderr.isatty():
        from .progress import progress

        with progress(calculator.name):
            result = run(calculator, raw, spell="--")
    else:
        result = run(calculator, raw, spell="--")
    if options["as_json"]:
        say_json(result.to_dict())
    else:
        from ..text import result_lines

        if options["plot"]:
            say("\n".join(plotted(result, screen)))
        say("\n".join(result_lines(result, steps=bool(options["steps"]), explain=bool(options["explain"]), language=screen)))
    return 3 if any(verdict.verdict == fail_on for verdict in result.verdicts) else 0


def plotted(result: Result, screen: Language) -> list[str]:
    """The result's plots, each with an empty line behind it, or a line that there is none."""
    from ..message import Message
    from ..plot_text import plot_lines

    if not result.plots:
        return [Message("These readings give no plot; a log of them does, where it is taken (--capture).").text(screen), ""]
    return [line for plot in result.plots for line in (*plot_lines(plot, screen), "")]


def raw_inputs(
    calculator: Calculator, given: Mapping[str, Any], options: Mapping[str, Any], before: str = ""
) -> dict[str, Any]:
    """What is typed, over what is in the file; the rest asked for if that is wanted, cautions and entry conditions first.

    before: how the command begins.
    """
    raw = {**(inputs_from(options["from_file"]) if options["from_file"] else {}), **given}
    if not options["ask"]:
        return raw
    from ..how import before_asking
    from .dialogue import asked

    screen = spoken(options.get("language"), (calculator.package,))
    complain("\n".join(before_asking(calculator, screen)))
    return asked(calculator, raw, before or f"baybook {calculator.name}", language=screen)
