"""`baybook job`: new, add, run, report."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from ..errors import InputError, Problem
from ..files import check_ending, check_target, write_whole
from ..registry import registry
from .calculation import raw_inputs
from .calculators import JSON, STEPS, as_typer, command_for, completion
from .job_marks import mark
from .names import in_sheet
from .options import ASK, FROM, LANGUAGE, Option
from .output import complain, say, say_done, say_json
from .screen_language import spoken
from .step_commands import NOTE, TITLE, add_to, of_step, step_options
from .usage import Command, Group

if TYPE_CHECKING:
    from ..declare import Calculator
    from ..jobs.evaluation import Outcome
    from ..language import Language
    from ..places.account import Account

app = typer.Typer(
    cls=Group, rich_markup_mode=None, add_completion=False, no_args_is_help=True, help="Job sheets: one TOML file for a job."
)
SHEET = typer.Argument(metavar="SHEET", help="The job sheet, a TOML file.", show_default=False)
SCREEN = as_typer(LANGUAGE)
LANGUAGE_OPTION = typer.Option("en", "--language", help=LANGUAGE.help, autocompletion=completion(LANGUAGE))
WHY = typer.Option(None, "--why", metavar="PLACE", help='How the odds of a place came about: --why "injector 3".')
RATES = typer.Option(
    None,
    "--rates",
    metavar="FILE",
    help="Base rates from baybook archive --rates; BAYBOOK_RATES may name them too.",
)
FORCE = typer.Option(False, "--force", help="Write over an existing file.")
SET = typer.Option([], "--set", metavar="FIELD=TEXT", help='A field of the job: --set vehicle="van".')


@app.command(cls=Command)
def new(
    sheet: str = SHEET,
    field: list[str] = SET,
    force: bool = FORCE,
) -> None:
    """Make a new job sheet, with remarks that say what goes where."""
    from ..jobs.edits import new_sheet

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
        sheet = ctx.params.get("sheet") or ""
        calculator = registry().calculator(cmd_name)
        return command_for(calculator, partial(add_step, sheet), step_options(calculator, *STEP_OPTIONS), sheet)

    def hint(self, ctx: Any, name: str, known: Iterable[str]) -> str:
        """What stands in the wrong place, why a calculator that is installed is not there, or the nearest name."""
        if name.startswith("-"):
            return "options stand behind the calculator: baybook job add SHEET CALCULATOR --title TEXT"
        if name.endswith(".toml"):
            return f"the sheet comes first: baybook job add {name} {ctx.params.get('sheet') or 'CALCULATOR'} …"
        return registry().why_absent(name) or super().hint(ctx, name, known)

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        """List from the index: no plugin is imported."""
        with formatter.section("Calculators"):
            formatter.write_dl(self.offered(ctx))


OBJECT = Option("step_object", "--object", "On which part it was taken: injector 3.", "PART", default="")
AFTER = Option("after_repair", "--after-repair", "The part that was repaired before it was taken.", "PART", default="")
STEP_OPTIONS = (TITLE, NOTE, OBJECT, AFTER, FROM, ASK)
adding = typer.Typer(cls=Adding, rich_markup_mode=None, add_completion=False, no_args_is_help=True)
app.add_typer(adding, name="add", subcommand_metavar="CALCULATOR [OPTIONS]...")


@adding.callback()
def add(sheet: str = SHEET) -> None:
    """Add a step: the calculator's name and its options. Without options the step is noted as planned.

    Every step takes --condition, in which condition it was taken: hot, cold, idle, raised, load, cranking, bumps; several with
    commas, other words beside them.
    """


def add_step(sheet: str, calculator: Calculator, given: dict[str, Any], options: Mapping[str, Any]) -> int:
    """Check a calculator's inputs, then write them into the sheet as a step."""
    from ..jobs import edits
    from ..jobs.sheet import read_sheet
    from ..jobs.verdict_line import verdict_line

    path = Path(sheet)
    check_target(path, force=True)
    read_sheet(path)  # before anything is asked
    condition = of_step(calculator, given, options)
    raw = raw_inputs(calculator, given, options, f"baybook job add {sheet} {calculator.name}")
    said = {
        "title": options["title"], "note": options["note"], "object": options["step_object"],
        "condition": condition,
    }  # fmt: skip
    after = [options["after_repair"]] if options["after_repair"] else []
    number, result = edits.added_step(path, calculator, in_sheet(path, calculator, raw), after=after, **said)
    line = verdict_line(result) if result else ""
    say_done(f"step {number} ({calculator.name}) {'added' if raw else 'planned'}{f': {line}' if line else ''}")
    if raw:
        _tell_against(path, number)
    return 0


def _tell_against(path: Path, number: int) -> None:
    """Say where the step turned the engine although something that was found before it says not to."""
    from ..jobs.evaluation import told_against
    from ..jobs.sheet import read_sheet

    for told in told_against(read_sheet(path), number):
        complain(told)


app.command(cls=Command)(mark)


@app.command(cls=Command)
def run(
    sheet: str = SHEET,
    as_json: bool = JSON,
    steps: bool = STEPS,
    language: str | None = SCREEN,
    why: str | None = WHY,
    rates: str | None = RATES,
) -> None:
    """Work the sheet out: verdicts and findings, where the fault can be and how likely, what to test next.

    With --why PLACE only how the odds of that place came about, test by test.
    """
    outcome = _work_out(sheet, rates)
    if why is not None:
        account = _account(outcome, why)
        if as_json:
            say_json(account.to_dict())
        else:
            from ..jobs.text_report import account_lines

            say("\n".join(account_lines(account, _screen(outcome, language))))
        raise typer.Exit(_told_errors(outcome))
    if as_json:
        say_json(outcome.to_dict())
        raise typer.Exit(outcome.exit_code)
    from ..jobs.text_report import outcome_lines

    say("\n".join(outcome_lines(outcome, steps=steps, language=_screen(outcome, language))))
    raise typer.Exit(_told_errors(outcome))


@app.command("next", cls=Command)
def next_(sheet: str = SHEET, as_json: bool = JSON, language: str | None = SCREEN, rates: str | None = RATES) -> None:
    """Say what to test next: the tests that tell most for their time, and what to mind for each."""
    outcome = _work_out(sheet, rates)
    if as_json:
        say_json({"conclusion": outcome.conclusion, "next": outcome.to_dict()["next"], "asked": list(outcome.asked)})
        raise typer.Exit(outcome.exit_code)
    from ..jobs.text_report import next_lines

    say("\n".join(next_lines(outcome, _screen(outcome, language))))
    raise typer.Exit(_told_errors(outcome))


def _screen(outcome: Outcome, code: str | None) -> Language:
    return spoken(code, outcome.packages)


def _account(outcome: Outcome, name: str) -> Account:
    """The account of a place. Raises InputError with near names for one that is not on the map."""
    try:
        return outcome.found.why(name)
    except InputError as error:
        raise InputError(Problem("--why", p.given, p.why, p.hint) for p in error.problems) from None


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
    from .pages import rendered_report

    outcome = _work_out(sheet)
    if outcome.errors and not any(worked.result for worked in outcome.steps):
        raise typer.Exit(_told_errors(outcome))
    data = report_data(outcome)
    from .progress import progress

    contents = []
    for option, path in targets:
        with progress(str(path)):
            contents.append(rendered_report(data, option.removeprefix("--"), language))
    for (_, path), content in zip(targets, contents, strict=True):
        write_whole(path, content)
        complain(f"{path} written")
    raise typer.Exit(_told_errors(outcome))


add_to(app)


def _work_out(sheet: str, rates: str | None = None) -> Outcome:
    """rates: a file that `baybook archive --rates` wrote, else the one that the environment names, else none."""
    import os

    from ..jobs.evaluation import work_out
    from ..jobs.learned import read_rates
    from ..jobs.sheet import read_sheet
    from .progress import progress

    file = rates or os.environ.get("BAYBOOK_RATES")
    with progress(sheet) as tell:
        return work_out(read_sheet(sheet), read_rates(file) if file else None, tell)
