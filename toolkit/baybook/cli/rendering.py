"""The seam between the command line and the look of pages: calls the renderer and puts its refusals into our words."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, TypeVar

from ..errors import InputError, MissingLibrary

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
    from baybook_cards.render import Paper, render_pdf

    if kind == "html":
        from baybook_cards.screen import render_html

        return _asked(lambda: render_html(cards, language=paper["language"], title=paper["title"])).encode()
    return _asked(lambda: render_pdf(cards, Paper(**paper)))


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
