"""The seam between the command line and the look of pages: calls the renderer and puts its refusals into our words."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, TypeVar

from ..errors import InputError, MissingLibrary, Problem

T = TypeVar("T")

if TYPE_CHECKING:
    from ..cards.data import Card


def rendered_report(data: Mapping[str, Any], kind: str, language: str) -> bytes:
    """The report as "pdf" or "html". Raises MissingLibrary where Pango is missing, InputError for an unknown language."""
    from baybook_cards.report import render_report_pdf, report_html

    if kind == "html":
        return _asked(lambda: report_html(data, language)).encode()
    return _asked(lambda: render_report_pdf(data, language))


def rendered_cards(cards: Sequence[Card], paper: Mapping[str, Any], kind: str) -> bytes:
    """The cards as "pdf" or "html". Raises MissingLibrary, or InputError where a card does not fit the paper."""
    return printed_cards(cards, paper, kind)[0]


def printed_cards(cards: Sequence[Card], paper: Mapping[str, Any], kind: str) -> tuple[bytes, tuple[tuple[str, int], ...]]:
    """The cards as `rendered_cards` gives them, and those without room for all their values, with how many are not on them."""
    from baybook_cards.render import Paper, print_cards

    _check_paper(paper)
    if kind == "html":
        from baybook_cards.screen import render_html

        return _asked(lambda: render_html(cards, language=paper["language"], title=paper["title"])).encode(), ()
    done = _asked(lambda: print_cards(cards, Paper(**paper)))
    return done.content, done.lost


def _check_paper(paper: Mapping[str, Any]) -> None:
    """Raise InputError, with a line for each, for sizes, sheets and languages that there are not."""
    from baybook_cards.language import LANGUAGES
    from baybook_cards.sizes import SHEETS, SIZES, size_named

    problems = []
    try:
        size_named(paper.get("size", "A4"))
    except ValueError:
        problems.append(Problem("--size", paper["size"], "is not a card size", f"use {', '.join(SIZES)}"))
    if paper.get("sheet") and paper["sheet"] not in SHEETS:
        problems.append(Problem("--sheet", paper["sheet"], "is not a sheet", f"use {', '.join(SHEETS)}"))
    if paper.get("language", "en") not in LANGUAGES:
        would_do = f"use {', '.join(LANGUAGES)}"
        problems.append(Problem("--language", paper["language"], "is not a language of the cards", would_do))
    if problems:
        raise InputError(problems)


def untranslated(texts: Sequence[str], language: str, catalogue: str) -> list[str]:
    """Texts that neither the package's own catalogue nor the handbook's has in that language.

    Raises ValueError for a language that the cards do not speak.
    """
    from baybook_cards.language import language as speak

    spoken = speak(language, (catalogue,))
    return [text for text in texts if any(map(str.isalpha, text)) and spoken.told(text) is None]


def _asked(render: Callable[[], T]) -> T:
    from baybook_cards.pdf import RendererMissing

    try:
        return render()
    except RendererMissing as error:
        raise MissingLibrary(f"{error} (or use --html)") from error
    except ValueError as error:
        raise InputError.one("", None, str(error)) from error
