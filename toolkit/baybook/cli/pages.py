"""The seam between the command line and the look of pages: calls the renderer and puts its refusals into our words."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, TypeVar

from ..errors import BaybookError, InputError, MissingLibrary, PluginError, Problem
from .output import harmless

T = TypeVar("T")

if TYPE_CHECKING:
    from ..cards.data import Block, Card
    from ..declare import Calculator
    from ..language import Language


def rendered_report(data: Mapping[str, Any], kind: str, language: str) -> bytes:
    """The report as "pdf" or "html". Raises MissingLibrary where Pango is missing, InputError for an unknown language."""
    from baybook_cards.report import render_report_pdf, report_html

    if kind == "html":
        return _bytes(_asked(lambda: report_html(data, language)))
    return _asked(lambda: render_report_pdf(data, language))


def rendered_plot(plot: Mapping[str, Any], kind: str, language: str) -> bytes:
    """One plot as "pdf" or "svg". Raises MissingLibrary where Pango is missing."""
    from baybook_cards.plot_page import plot_pdf, plot_svg

    if kind == "svg":
        return _bytes(_asked(lambda: plot_svg(plot, language)))
    return _asked(lambda: plot_pdf(plot, language))


def _bytes(page: str) -> bytes:
    """What is written of a page: a browser too turns round what a control character tells it to."""
    return harmless(page).encode()


def rendered_explanation(calculator: Calculator, screen: Language) -> bytes:
    """What a calculator is, as "pdf". Raises MissingLibrary where Pango is missing."""
    from baybook_cards.explanation_page import explanation_pdf

    from ..explanation import parts

    return _asked(lambda: explanation_pdf(screen.text(calculator.title), parts(calculator, screen), screen.code))


def rendered_cards(cards: Sequence[Card], paper: Mapping[str, Any], kind: str) -> bytes:
    """The cards as "pdf" or "html". Raises MissingLibrary, or InputError where a card does not fit the paper."""
    _check_paper(paper)
    return _made(cards, paper, kind).content


@dataclass(frozen=True, slots=True)
class Printed:
    """A document: how many cards it holds, how it is to be printed, and what kept other cards, or the charts of one, from being
    in it."""

    content: bytes
    cards: int
    advice: str = ""
    failed: tuple[BaybookError, ...] = ()


def printed_cards(cards: Sequence[Card], paper: Mapping[str, Any], kind: str) -> Printed:
    """The cards as `rendered_cards` gives them; where that fails, those that can be printed alone, without their charts if need
    be. Raises as `rendered_cards` where none can or where each could."""
    _check_paper(paper)
    key_ring = kind != "html" and paper["size"].upper().replace("-", "") == "ID1"
    small = [card for card in cards if key_ring and not card.small]
    if small:
        return _without_small([card for card in cards if card not in small], small, paper, kind)
    try:
        return _made(cards, paper, kind)
    except MissingLibrary:
        raise
    except Exception as whole:
        good, failed = list["Card"](), list[BaybookError]()
        for card in cards:
            error = _fault(card, paper, kind)
            bare = replace(card, front=_without_charts(card.front), back=_without_charts(card.back))
            good += [card] if error is None else [bare] if bare != card and _fault(bare, paper, kind) is None else []
            failed += [error] if error is not None else []
        if not failed:
            raise
        if not good and isinstance(whole, BaybookError):
            raise
        if not good:
            raise failed[0] from whole
        return replace(_made(good, paper, kind), failed=tuple(failed))


def _without_small(rest: Sequence[Card], small: Sequence[Card], paper: Mapping[str, Any], kind: str) -> Printed:
    """The other cards: a key-ring card has room for few. Raises InputError where there are no others."""
    why = "has no room for this card"
    problems = [Problem("--size", paper["size"], f"{why}: {card.key}", "use A6 or larger") for card in small]
    if not rest:
        raise InputError(problems)
    done = printed_cards(rest, paper, kind)
    return replace(done, failed=(*done.failed, *(InputError([problem]) for problem in problems)))


def _fault(card: Card, paper: Mapping[str, Any], kind: str) -> BaybookError | None:
    """Why the card cannot be printed, in one line; None if it can."""
    from baybook_cards.pdf import LayoutError

    try:
        _made([card], paper, kind)
    except BaybookError as error:
        return error if isinstance(error.__cause__, LayoutError) else _cannot_print(card, str(error))
    except Exception as error:
        return _cannot_print(card, f"{type(error).__name__}: {error}")
    return None


def _cannot_print(card: Card, why: str) -> PluginError:
    """With the plugin that the card is of, where one can be found."""
    from ..registry import registry

    index = registry().index
    owner = next((offer.plugin for offer in (*index.cards(), *index.calculators()) if offer.name == card.name), "")
    whose = next((f"{plugin.words()}: " for plugin in index.plugins() if plugin.name == owner), "")
    return PluginError(f"{whose}card {card.key} cannot be printed: {' '.join(why.split())[:300]}")


def _without_charts(blocks: tuple[Block, ...]) -> tuple[Block, ...]:
    from ..cards.data import Chart

    return tuple(block for block in blocks if not isinstance(block, Chart))


def _made(cards: Sequence[Card], paper: Mapping[str, Any], kind: str) -> Printed:
    if kind == "html":
        from baybook_cards.screen import render_html

        words = {name: paper.get(name, "") for name in ("language", "title", "date", "emergency")}
        page = _asked(lambda: render_html(cards, **words))
        return Printed(_bytes(page), len(cards))
    from baybook_cards.render import Paper, print_cards

    done = _asked(lambda: print_cards(cards, Paper(**paper)))
    return Printed(done.content, len(cards), done.advice)


def card_sizes() -> list[str]:
    """The sizes of cards by name."""
    from baybook_cards.sizes import SIZES

    return list(SIZES)


def card_sheets() -> list[str]:
    """The sheets by name that take several cards."""
    from baybook_cards.sizes import SHEETS

    return list(SHEETS)


LONGEST_LINK = 100
"""Letters of an address whose code is still read beside the small print of a card (common practice, no source)."""


def _telephone_problems(link: str, emergency: str) -> Iterator[Problem]:
    """An address that no telephone opens, a number that none dials."""
    if link and (not re.fullmatch(r"https?://[^\s#]+", link) or len(link) > LONGEST_LINK):
        hint = f"give one of at most {LONGEST_LINK} letters, such as https://shop.example/cards.html"
        yield Problem("--link", link, "is no address that a telephone opens from a card", hint)
    if emergency and not re.fullmatch(r"(?=.*\d\d)[\d\s+*#()./-]+", emergency, re.ASCII):
        yield Problem("--emergency", emergency, "is no number that a telephone dials", "give one number in digits, such as 112")


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
    problems += _telephone_problems(paper.get("link", ""), paper.get("emergency", ""))
    if paper.get("language", "en") not in LANGUAGES:
        hint = f"use {', '.join(LANGUAGES)}"
        problems.append(Problem("--language", paper["language"], "is not a language of the cards", hint))
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
