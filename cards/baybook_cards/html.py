"""Faces and reports as HTML: the one place where a template meets data. Everything is escaped unless made here."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from itertools import groupby
from typing import TYPE_CHECKING, Any

from baybook.cards.data import SIDES, STAGES, Card, Caution, Chart, Figure, Ladder, Number, Signal
from baybook.cautions import RUNNING_ENGINE
from baybook.procedure import BEFORE_HANDS, BEFORE_RUNNING
from baybook_cards import figures, ladders, markup, plots, qr, symbols
from baybook_cards.language import Language

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup

PART_NAMES = {
    "example": "Example", "terms": "Letters", "formula": "Formula", "record": "Write down", "needs": "You need",
    "drawings": "Pictures", "proves": "Proves", "cautions": "Mind", "chart": "Graph", "meanings": "What it means",
}  # fmt: skip
"""Headings of the fixed parts, for the line that says what was left out."""


_HARMFUL = [*range(0x20), *range(0x7F, 0xA0), *range(0x202A, 0x202F), *range(0x2066, 0x206A)]
HARMLESS = {code: "?" for code in _HARMFUL if chr(code) not in "\n\t"}
"""A question mark for each control character and each that turns the direction of writing: the same as in a terminal, where a
replacement character stands for them, which the cards' font has not."""
LONGEST = 60
"""Letters of a job's number or a step's title that stand on a card; the report has them whole."""


@dataclass(frozen=True, slots=True)
class Look:
    """How a page is to look: language, grey or colour, the letter size in mm, and that of drawings where it is not the same."""

    language: Language
    mono: bool
    font_size: float
    screen: bool = False
    fine: float = 0.0

    @property
    def drawn(self) -> float:
        """Letter size of drawings in mm."""
        return self.fine or self.font_size


def style(name: str) -> str:
    """A stylesheet of this package."""
    return files("baybook_cards").joinpath("styles", name).read_text(encoding="utf-8")


@lru_cache(maxsize=1)
def environment() -> Environment:
    """The template environment: autoescape on, an unknown name is an error, templates from this package only; no control
    character of a text reaches a page."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    env = Environment(
        loader=PackageLoader("baybook_cards"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=False,
        lstrip_blocks=True,
        auto_reload=False,
        finalize=lambda value: value.translate(HARMLESS) if isinstance(value, str) else value,
    )
    env.filters.update(groupby_signal=by_signal, ended=ended)
    env.tests.update(number_cell=lambda value: isinstance(value, Number))
    return env


def by_signal(cautions: Iterable[Caution]) -> Iterator[tuple[Signal, list[Caution]]]:
    """Ordered cautions in groups of one signal word."""
    for signal, group in groupby(cautions, key=lambda caution: caution.signal):
        yield signal, list(group)


def ended(text: str) -> str:
    """A text with a full stop, so that several can stand in one paragraph."""
    return text if text.endswith((".", "!", "?")) else f"{text}."


def _said_on_front(card: Card, caution: Caution, language: Language) -> bool:
    """Whether a caution stands at a step of the front, or its bars before hands and before running say it whole."""
    bars = {line.text for line in card.lines if line.bar}
    barred = {language.text(bar.text) for bar in (BEFORE_HANDS, BEFORE_RUNNING)} <= bars
    running = caution.text in (RUNNING_ENGINE.text, language.text(RUNNING_ENGINE.text))
    top = card.strong is not None and card.strong.text == caution.text
    return top or any(line.caution == caution for line in card.lines) or (running and barred)


def context(look: Look) -> dict[str, Any]:
    """What every template may use."""
    language = look.language
    return {
        "_": language.text,
        "lang": language.code,
        "look": "mono" if look.mono else "colour",
        "said_on_front": lambda card, caution: _said_on_front(card, caution, language),
        "stages": STAGES,
        "sides": SIDES,
        "symbols": symbols.SYMBOLS,
        "slot": slot,
        "draw": pictogram(look),
        "anchor": lambda card: card.key.replace(" ", "-"),
        "listed": lambda card: listed(card, language),
        "filled_with": lambda card: filled_with(card, language),
        "qr": lambda text: qr.svg(text, language.text("code for a telephone")),
        "call": qr.call,
        "code_side": qr.side,
        "badge": lambda card: badge(card, look),
        "slot_name": lambda name: language.named(name.replace("_", " ")),
        "slot_word": lambda name, word: language.named(name, word),
        "picture": lambda name, width: picture(name, width, look),
        "letter": look.font_size,
        "look_whole": False,
        "screen": look.screen,
        "detail": 4,
        "plot": lambda chart, width, height=None: plot_svg(chart, width, look, height),
        "ladder": lambda item, width: ladder_svg(item, width, look),
        "figure": lambda item, width: figure_svg(item, width, look),
        "known": language.measured,
        "formula": lambda text: markup.formula(text, language),
        "cell": lambda value: markup.cell(value, language),
        "part_name": lambda name: language.text(PART_NAMES.get(str(name), str(name))),
        "number": language.number,
    }


def pictogram(look: Look) -> Callable[[str], Markup]:
    """Draws a safety sign by its code."""
    from markupsafe import Markup

    return lambda code: Markup(symbols.drawing(code, look.mono))  # (drawn in this package)


def slot(card: Card) -> int:
    """The place of a card's thumb tab: 0 for general cards, then the stages in the order of the fuel's way."""
    return 0 if card.stage is None else STAGES.index(card.stage) + 1


def listed(card: Card, language: Language) -> str:
    """A card in a list: its title, and the step that fills it."""
    return f"{card.title} ({language.text('step')} {card.step})" if card.step else card.title


def filled_with(card: Card, language: Language) -> str:
    """Whose readings stand on the card: job, step and its title, which part."""
    job = [f"{language.text('Job')} {card.job[:LONGEST]}"] if card.job else []
    step = [f"{language.text('Step')} {card.step}"] if card.step else []
    title = [card.step_title[:LONGEST]] if card.step_title else []
    words = (f"{language.named(name.replace('_', ' '))}: {language.named(name, word)}" for name, word in card.chosen)
    return " · ".join([*job, *step, *title, *words])


def badge(card: Card, look: Look) -> Markup:
    """What tells a card from every other at a glance: its own bold picture, or the first letter of its title."""
    from markupsafe import Markup

    from baybook_cards import pictograms

    return Markup(pictograms.drawing(card.name, card.title, look.mono))  # (drawn in this package; the letter is escaped there)


def picture(name: str, width: float, look: Look) -> Markup:
    """A drawing that belongs to a step, with its title below it; nothing for one that there is not."""
    from markupsafe import Markup

    from baybook_cards.pictures import PICTURES

    if name not in PICTURES:
        return Markup("")
    told = look.language.text(PICTURES[name][1])
    drawing = figures.named(name, width, look.drawn, look.language)
    caption = Markup("<figcaption>{}</figcaption>").format(told)
    return _svg("figure.svg.j2", look, drawing=drawing, alternative=told, draw=pictogram(look)) + caption


def plot_svg(chart: Chart, width: float, look: Look, height: float | None = None) -> Markup:
    """A chart drawn `width` mm wide."""
    text = look.drawn
    tall = height or plots.height_of(width, text)
    plot = plots.layout(chart, width, tall, text, look.language)
    said = f"{chart.title}. {look.language.text('Across:')} {plot.x_label}; {look.language.text('up:')} {plot.y_label}."
    return _svg("plot.svg.j2", look, plot=plot, alternative=said)


def ladder_svg(ladder: Ladder, width: float, look: Look) -> Markup:
    """A ladder of unit scales drawn `width` mm wide."""
    text = look.drawn
    height = ladders.height_of(text)
    scales = ladders.uprights(ladder, width, height, text, look.language)
    said = f"{ladder.title}: {', '.join(rung.unit for rung in ladder.rungs)}"
    return _svg("ladder.svg.j2", look, scales=scales, width=width, height=height, text=text, alternative=said)


def figure_svg(item: Figure, width: float, look: Look) -> Markup:
    """A named drawing of this package."""
    drawing = figures.named(item.name, width, look.drawn, look.language)
    return _svg("figure.svg.j2", look, drawing=drawing, alternative=item.alternative, draw=pictogram(look))


def _svg(template: str, look: Look, **data: Any) -> Markup:
    from markupsafe import Markup

    # On a screen the page's own stylesheet colours the drawings, so that they follow light and dark.
    palette = Markup("" if look.screen else style("drawing-mono.css" if look.mono else "drawing.css"))
    return Markup(environment().get_template(template).render(palette=palette, **data))  # (autoescaped)


def render(template: str, look: Look, *, level: int = 2, **data: Any) -> str:
    """A whole page from a template of this package; `level` is that of the headings inside a card."""
    return environment().get_template(template).render({**context(look), "level": level, **data})
