"""A calculator's command without the command line's library, whose loading takes longer than working most of them out."""

from __future__ import annotations

from ..errors import PluginError
from ..registry import registry
from .arguments import asks_for_help
from .arrangement import typed_values
from .calculation import carry_out, work_out
from .options import command_options
from .output import complain


def answer(arguments: list[str]) -> int | None:
    """Work it out and print it; the exit code, or None where the library has to answer: for help, and for other commands.

    Raises what `work_out` raises: what is refused is not worked out a second time.
    """
    known = registry()
    if len(arguments) < 2 or asks_for_help(arguments) or not known.offers_calculator(arguments[0]):
        return None
    try:
        calculator = known.calculator(arguments[0])
    except PluginError:  # nothing was worked out
        return None
    for complaint in known.left_out():
        complain(complaint)
    return carry_out(calculator, typed_values(command_options(calculator), arguments[1:]), work_out)
