"""`baybook explain NAME`: what a trainer shows a class."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import typer

from ..errors import InputError
from ..files import check_ending, check_target, write_whole
from ..registry import registry
from .arguments import near
from .calculators import as_typer
from .options import LANGUAGE
from .output import say, say_done
from .screen_language import spoken
from .usage import Command

if TYPE_CHECKING:
    from ..declare import Calculator
    from ..language import Language

app = typer.Typer(rich_markup_mode=None, add_completion=False)


def _names() -> list[tuple[str, str]]:
    return [(listed.name, listed.summary) for listed in registry().listed()]


NAME = typer.Argument(metavar="CALCULATOR", help="The calculator.", show_default=False, autocompletion=_names)
MD = typer.Option(None, "--md", metavar="FILE", help="Write it to a Markdown file.")
PDF = typer.Option(None, "--pdf", metavar="FILE", help="Write it as PDF.")
FORCE = typer.Option(False, "--force", help="Write over an existing file.")
SCREEN = as_typer(LANGUAGE)


@app.command(cls=Command, help="What a calculator proves, its formulas, inputs, a worked example, sources.")
def explain(
    name: str = NAME, md: str | None = MD, pdf: str | None = PDF, language: str | None = SCREEN, force: bool = FORCE
) -> None:
    """Print it, or write it to a file."""
    from ..explanation import explanation_lines, explanation_markdown

    known = [listed.name for listed in registry().listed()]
    if name not in known:
        raise InputError.one("", name, "is not a calculator", near(name, known, "baybook --help lists them"))
    calculator = registry().calculator(name)
    screen = spoken(language, (calculator.package,))
    targets = [(option, Path(file)) for option, file in (("--md", md), ("--pdf", pdf)) if file is not None]
    for option, path in targets:
        check_ending(path, option.replace("--", "."), option=option)
        check_target(path, force=force, option=option)
    if not targets:
        say("\n".join(explanation_lines(calculator, screen)))
    for option, path in targets:
        write_whole(path, explanation_markdown(calculator, screen).encode() if option == "--md" else _pdf(calculator, screen))
        say_done(f"{path} written")


def _pdf(calculator: Calculator, screen: Language) -> bytes:
    from .pages import rendered_explanation

    return rendered_explanation(calculator, screen)
