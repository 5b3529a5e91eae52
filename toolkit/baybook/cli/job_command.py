"""`baybook job`: new, add, run, report."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer
from typer.core import TyperCommand

from ..declare import Calculator
from ..errors import InputError
from ..files import check_ending, check_target, write_whole
from .calculators import ASK, FROM, JSON, STEPS, asked, command_for, inputs_from
from .calling import call
from .printing import complain, say, say_done, say_json
from .speaking import spoken

if TYPE_CHECKING:
    from typer._click.core import Context

    from ..jobs.working import Outcome

app = typer.Typer(
    rich_markup_mode=None, add_completion=False, no_args_is_help=True, help="Job sheets: one TOML file for a job."
)
SHEET = typer.Argument(metavar="SHEET", help="The job sheet, a TOML file.", show_default=False)
LANGUAGE = typer.Option("en", "--language", help="en or de.")
SCREEN = typer.Option(None, "--language", metavar="LANGUAGE", help="Show the results in this language: de or en.")
FORCE = typer.Option(False, "--force", help="Write over an existing file.")
SET = typer.Option([], "--set", metavar="FIELD=TEXT", help='A field of the job: --set vehicle="van".')


@app.command()
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


class _Add(TyperCommand):
    """--help is for `job add` itself up to the calculator's name, and for the calculator behind it."""

    def parse_args(self, ctx: Context, args: list[str]) -> list[str]:
        """Show the help, or read the arguments."""
        if "--help" in args[:2]:
            say(ctx.get_help())
            ctx.exit()
        return super().parse_args(ctx, args)


@app.command(
    cls=_Add,
    context_settings={"allow_extra_args": True, "ignore_unknown_options": True, "help_option_names": []},
    add_help_option=False,
)
def add(
    context: typer.Context,
    sheet: str = SHEET,
    calculator: str = typer.Argument(
        metavar="CALCULATOR", help="Which calculator; its own options follow.", show_default=False
    ),
) -> None:
    """Add a step: the calculator's name and its options. Without options the step is noted as planned."""
    from ..registry import registry

    common = {"title": (str, TITLE), "note": (str, NOTE), "from_file": (str | None, FROM), "ask": (bool, ASK)}
    command = command_for(registry().calculator(calculator), _Adding(Path(sheet)), common)
    raise typer.Exit(call(command, list(context.args), f"baybook job add {sheet} {calculator}"))


TITLE = typer.Option("", "--title", help="What this step was, in your words.")
NOTE = typer.Option("", "--note", help="A remark that the report shows.")


class _Adding:
    """What `job add` does with a calculator's options: check them, then write them into the sheet."""

    def __init__(self, sheet: Path) -> None:
        self.sheet = sheet

    def __call__(
        self, calculator: Calculator, given: dict[str, Any], *, title: str, note: str, from_file: str | None, ask: bool
    ) -> None:
        from ..jobs.editing import add_step
        from ..jobs.sheet import read_sheet

        check_target(self.sheet, force=True)
        read_sheet(self.sheet)  # before anything is asked
        raw: Mapping[str, Any] = {**(inputs_from(from_file) if from_file else {}), **given}
        if ask:
            raw = asked(calculator, raw)
        number = add_step(self.sheet, calculator, title, note, raw)
        say_done(f"step {number} ({calculator.name}) {'added' if raw else 'planned'}")


@app.command()
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


@app.command()
def report(
    sheet: str = SHEET,
    pdf: str | None = typer.Option(None, "--pdf", metavar="FILE", help="Write the report as PDF."),
    html: str | None = typer.Option(None, "--html", metavar="FILE", help="Write it as one HTML file; needs no system library."),
    language: str = LANGUAGE,
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
