"""`baybook job list`, `show`, `edit`, `remove`, `move`: the steps of a job sheet."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from ..columns import table
from ..errors import InputError
from ..fields import Choice
from ..jobs.condition import CONDITIONS
from ..registry import registry
from .arguments import OF_STEP
from .calculators import command_for
from .options import ASK, FROM, Option
from .output import say, say_done
from .usage import Command, Group

if TYPE_CHECKING:
    from ..declare import Calculator

SHEET = typer.Argument(metavar="SHEET", help="The job sheet, a TOML file.", show_default=False)
STEP = typer.Argument(metavar="STEP", help="The step's number, as list shows it.", show_default=False)
TO = typer.Argument(metavar="TO", help="The number that it shall have.", show_default=False)
TITLE = Option("title", "--title", "What this step was, in your words.", "TEXT", default="")
NOTE = Option("note", "--note", "A remark that the report shows.", "TEXT", default="")
CONDITION = Option(
    "step_condition", "--condition", f"In which condition it was taken: {', '.join(CONDITIONS)}; several with commas.", "WORDS",
    default="", suggests=lambda typed: [(word, about) for word, about in CONDITIONS.items()],
)  # fmt: skip
"""Of a calculator that has no such input itself."""


def step_options(calculator: Calculator, *options: Option) -> tuple[Option, ...]:
    """The options of a step, its condition among them unless the calculator asks for that itself."""
    own = any(parameter.name == "condition" for parameter in calculator.parameters)
    shown = options if own else (*options[:2], CONDITION, *options[2:])
    return tuple(option._replace(group=OF_STEP) for option in shown)


def of_step(calculator: Calculator, given: dict[str, Any], options: Mapping[str, Any]) -> str:
    """The step's condition: as its option says it, or what stands beside the word that the calculator asks for itself.

    `returns --condition "hot, cranking"` was made while cranking, and the step hot; what is not the calculator's is taken out.
    """
    field = next((p.field for p in calculator.parameters if p.name == "condition"), None)
    typed = given.get("condition")
    if not isinstance(field, Choice) or not isinstance(typed, str) or "," not in typed:
        return str(options.get("step_condition") or "")
    words = [word.strip() for word in typed.split(",")]
    own = [word for word in words if word in field.words]
    given["condition"] = own[0] if own else typed
    return ", ".join(word for word in words if word not in own[:1])


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of a job."""
    app.command("list", cls=Command)(list_)
    app.command("show", cls=Command)(show)
    app.command("remove", cls=Command)(remove)
    app.command("move", cls=Command)(move)
    editing = typer.Typer(cls=Editing, rich_markup_mode=None, add_completion=False, no_args_is_help=True)
    editing.callback()(edit)
    app.add_typer(editing, name="edit", subcommand_metavar="STEP [OPTIONS]...")


def list_(sheet: str = SHEET) -> None:
    """List the steps: number, calculator, title, whether taken or planned."""
    from ..jobs.step_edits import step_rows

    rows = list(step_rows(Path(sheet)))
    say("\n".join(table(rows)) if rows else f"  no steps yet: baybook job add {sheet} CALCULATOR …")


def show(sheet: str = SHEET, step: str = STEP) -> None:
    """Show what a step holds, and the command that would add it."""
    from ..jobs.sheet import read_sheet
    from .dialogue import command_line

    number = _number(step)
    steps = read_sheet(sheet).steps
    if not 1 <= number <= len(steps):
        raise InputError.one("STEP", step, "is not a step of the sheet", f"{sheet} has {len(steps)} steps")
    found = steps[number - 1]
    rows = [("calculator", found.calculator), ("title", found.title), ("note", found.note), ("object", found.object)]
    rows += [("condition", ", ".join(found.condition))]
    rows += [(name.replace("_", " "), _shown(value)) for name, value in found.inputs.items()]
    say("\n".join(table([row for row in rows if row[1]])))
    if found.inputs:
        calculator = registry().calculator(found.calculator)
        places = [parameter.name for parameter in calculator.parameters if parameter.field.positional]
        typed = {
            name: value if isinstance(value, Mapping) and "file" in value else _shown(value)
            for name, value in found.inputs.items()
        }
        say(f"\n  {command_line(f'baybook job add {sheet} {found.calculator}', typed, places)}")


def remove(sheet: str = SHEET, step: str = STEP) -> None:
    """Take a step out of the sheet."""
    from ..jobs.step_edits import remove_step

    name = remove_step(Path(sheet), _number(step))
    say_done(f"step {step} ({name}) removed; the later ones have moved up")


def move(sheet: str = SHEET, step: str = STEP, to: str = TO) -> None:
    """Put a step at another place in the order."""
    from ..jobs.step_edits import move_step

    name = move_step(Path(sheet), _number(step), _number(to, "TO"))
    say_done(f"step {step} ({name}) is step {to} now")


def edit(sheet: str = SHEET) -> None:
    """Correct a step, or fill a planned one: its number and the options of its calculator; what is not given stays."""


class Editing(Group):
    """The steps of a sheet by number, each with its calculator's options."""

    kind, place = "step of the sheet", "STEP"

    def list_commands(self, ctx: Any) -> list[str]:
        """The numbers of the steps that are tests."""
        return [number for number, _ in self.offered(ctx)]

    def offered(self, ctx: Any) -> list[tuple[str, str]]:
        """(number, calculator and title) of each step that is a test; none where there is no sheet."""
        from ..jobs.sheet import read_sheet

        try:
            steps = read_sheet(ctx.params.get("sheet") or "").steps
        except InputError:
            return []
        return [(str(step.number), f"{step.calculator} {step.title}".strip()) for step in steps if step.calculator]

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        """The command of the step's calculator that changes the step."""
        from ..jobs.sheet import read_sheet

        sheet = ctx.params.get("sheet") or ""
        step = read_sheet(sheet).steps[int(cmd_name) - 1]
        action = partial(edit_step, sheet, step.number)
        calculator = registry().calculator(step.calculator)
        return command_for(calculator, action, step_options(calculator, TITLE, NOTE, FROM, ASK), sheet)

    def hint(self, ctx: Any, name: str, known: Iterable[str]) -> str:
        """The numbers that there are. Raises InputError for a sheet that cannot be read, which has none to offer."""
        from ..jobs.sheet import read_sheet

        sheet, numbers = ctx.params.get("sheet") or "", list(known)
        if sheet and not numbers:
            read_sheet(sheet)
        return (
            f"use {', '.join(numbers)}; see baybook job list {sheet}" if numbers else f"see baybook job list {sheet or 'SHEET'}"
        )


def edit_step(sheet: str, number: int, calculator: Calculator, given: dict[str, Any], options: Mapping[str, Any]) -> int:
    """Check the inputs with those that the step has, then write them into the sheet."""
    from ..jobs import step_edits
    from .names import in_sheet

    texts = {key: str(options[key]) for key in ("title", "note") if options[key]}
    said = of_step(calculator, given, options)
    texts |= {"condition": said} if said else {}
    raw = {**_raw_of(given, options, calculator, sheet, number)}
    raw = in_sheet(Path(sheet), calculator, raw)
    if not raw and not texts:
        raise InputError.one(
            "", None, "nothing is given to change", f"give options, such as those of baybook {calculator.name}"
        )
    step_edits.edit_step(Path(sheet), number, calculator, texts, raw)
    say_done(f"step {number} ({calculator.name}) changed")
    return 0


def _raw_of(
    given: dict[str, Any], options: Mapping[str, Any], calculator: Calculator, sheet: str, number: int
) -> dict[str, Any]:
    from .calculation import raw_inputs

    return raw_inputs(calculator, given, options, f"baybook job edit {sheet} {number}")


def _number(text: str, place: str = "STEP") -> int:
    if not (text.isascii() and text.isdigit()):
        raise InputError.one(place, text, "is not a step's number", "give one, such as 2")
    return int(text)


def _shown(value: Any) -> str:
    """An input as it would be typed."""
    if isinstance(value, Mapping):
        text = str(value.get("range", value.get("file", value.get("text", dict(value)))))
        return f"{text}; {value['source']}" if value.get("source") else text
    return "; ".join(map(_shown, value)) if isinstance(value, list | tuple) else str(value)
