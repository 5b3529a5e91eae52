"""`baybook job`: new, add, run, report."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from ..errors import InputError
from ..files import check_ending, check_target, write_whole
from ..registry import registry
from .calculation import raw_inputs
from .calculators import JSON, STEPS, as_typer, command_for, completion
from .options import ASK, FROM, LANGUAGE, Option
from .printing import complain, say, say_done, say_json
from .speaking import spoken
from .usage import Command, Group

if TYPE_CHECKING:
    from ..declare import Calculator
    from ..jobs.working import Outcome

app = typer.Typer(
    cls=Group, rich_markup_mode=None, add_completion=False, no_args_is_help=True, help="Job sheets: one TOML file for a job."
)
SHEET = typer.Argument(metavar="SHEET", help="The job sheet, a TOML file.", show_default=False)
SCREEN = as_typer(LANGUAGE)
LANGUAGE_OPTION = typer.Option("en", "--language", help=LANGUAGE.help, autocompletion=completion(LANGUAGE))
FORCE = typer.Option(False, "--force", help="Write over an existing file.")
SET = typer.Option([], "--set", metavar="FIELD=TEXT", help='A field of the job: --set vehicle="van".')


@app.command(cls=Command)
def new(
    sheet: str = SHEET,
    field: list[str] = SET,
    force: bool = FORCE,
) -> None:
    """Make a new job sheet, with remarks that say what goes where."""
    from ..jobs.editing import new_sheet

    path = Path(sheet)
    check_ending(path, ".toml")
    check_target(path, force=force)
    pairs = [text.partition("=") for text in field]
    bad = [text for text, (_, equals, _) in zip(field, pairs, strict=True) if not equals]
    if bad:
        raise InputError.one("--set", bad[0], "has no =", 'give both, such as --set vehicle="van"')
    text = new_sheet({key.strip(): value for key, _, value in pairs}, datetime.date.today().isoformat())
    write_whole(path, text.encode())
    say_done(f"{path} made; add steps with: baybook job add {path} CALCULATOR …")


class Adding(Group):
    """The calculators, each with its own options, behind the job sheet's name."""

    kind, place = "calculator that is known", "CALCULATOR"

    def list_commands(self, ctx: Any) -> list[str]:
        """The calculators' names."""
        return [listed.name for listed in registry().listed()]

    def offered(self, ctx: Any) -> list[tuple[str, str]]:
        """From the index: no plugin is imported."""
        return [(listed.name, listed.summary) for listed in registry().listed()]

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        """The calculator's command that adds a step to the sheet."""
        calculator = registry().calculator(cmd_name)
        return command_for(calculator, partial(add_step, ctx.params.get("sheet") or ""), (TITLE, NOTE, FROM, ASK))

    def would_do(self, ctx: Any, name: str, known: Iterable[str]) -> str:
        """Why a calculator that is installed is not there, or the nearest name."""
        return registry().why_absent(name) or super().would_do(ctx, name, known)

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        """List from the index: no plugin is imported."""
        with formatter.section("Calculators"):
            formatter.write_dl(self.offered(ctx))


TITLE = Option("title", "--title", "What this step was, in your words.", "TEXT", default="")
NOTE = Option("note", "--note", "A remark that the report shows.", "TEXT", default="")
adding = typer.Typer(cls=Adding, rich_markup_mode=None, add_completion=False, no_args_is_help=True)
app.add_typer(adding, name="add", subcommand_metavar="CALCULATOR [OPTIONS]...")


@adding.callback()
def add(sheet: str = SHEET) -> None:
    """Add a step: the calculator's name and its options. Without options the step is noted as planned."""


def add_step(sheet: str, calculator: Calculator, given: dict[str, Any], options: Mapping[str, Any]) -> int:
    """Check a calculator's inputs, then write them into the sheet as a step."""
    from ..jobs import editing
    from ..jobs.sheet import read_sheet

    path = Path(sheet)
    check_target(path, force=True)
    read_sheet(path)  # before anything is asked
    raw = raw_inputs(calculator, given, options)
    number = editing.add_step(path, calculator, options["title"], options["note"], raw)
    say_done(f"step {number} ({calculator.name}) {'added' if raw else 'planned'}")
    return 0


@app.command(cls=Command)
def run(sheet: str = SHEET, as_json: bool = JSON, steps: bool = STEPS, language: str | None = SCREEN) -> None:
    """Work the sheet out: findings by stage and side, verdicts, what is untested, what to test next."""
    outcome = _work_out(sheet)
    if as_json:
        say_json(outcome.to_dict())
        raise typer.Exit(outcome.exit_code)
    from ..jobs.telling import outcome_lines

    screen = spoken(language, [w.calculator.package for w in outcome.steps if w.calculator])
    say("\n".join(outcome_lines(outcome, steps=steps, language=screen)))
    raise typer.Exit(_told_errors(outcome))


def _told_errors(outcome: Outcome) -> int:
    """The exit code, after a line for each thing that kept a step from being worked out."""
    for error in outcome.errors:
        for line in str(error).splitlines():
            complain(line)
    return outcome.exit_code


@app.command(cls=Command)
def report(
    sheet: str = SHEET,
    pdf: str | None = typer.Option(None, "--pdf", metavar="FILE", help="Write the report as PDF."),
    html: str | None = typer.Option(None, "--html", metavar="FILE", help="Write it as one HTML file; needs no system library."),
    language: str = LANGUAGE_OPTION,
    force: bool = FORCE,
) -> None:
    """Write the report: findings, verdicts, every input, plots and worked steps, for the customer and a colleague.

    A step that cannot be worked out is named in it as such; there is none where no step can.
    """
    targets = [(option, Path(name)) for option, name in (("--pdf", pdf), ("--html", html)) if name is not None]
    if not targets:
        raise InputError.one("--pdf", None, "is missing", "give --pdf FILE or --html FILE")
    for option, path in targets:
        check_ending(path, option.replace("--", "."), option=option)
        check_target(path, force=force, option=option)
    if len({path.resolve() for _, path in targets}) < len(targets):
        raise InputError.one("--html", html, "leads to the same file as --pdf", "give another name")
    from ..jobs.report import report_data
    from .rendering import rendered_report

    outcome = _work_out(sheet)
    if outcome.errors and not any(worked.result for worked in outcome.steps):
        raise typer.Exit(_told_errors(outcome))
    data = report_data(outcome)
    contents = [rendered_report(data, option.removeprefix("--"), language) for option, _ in targets]
    for (_, path), content in zip(targets, contents, strict=True):
        write_whole(path, content)
        complain(f"{path} written")
    raise typer.Exit(_told_errors(outcome))


def _work_out(sheet: str) -> Outcome:
    from ..jobs.sheet import read_sheet
    from ..jobs.working import work_out

    return work_out(read_sheet(sheet))
