"""About how high a face will be, without laying it out: saves the renderer a second try.

Heights are in lines of body text. The figures follow styles/parts.css and templates/page.css.j2 roughly; nothing rests
on them, since the laid-out page is checked.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import ceil

from baybook.cards.data import Block, Card, Chart, Figure, Ladder, Number, Section, Table
from baybook_cards.faces import Face
from baybook_cards.sizes import FIRST_COLUMN, Size

LETTER = 0.485
"""Mean advance of a letter of running text over the font size."""
RAGGED, RAGGED_SHARE = 3, 0.07
"""Letters lost at the end of a line, on average, and at most so large a share of a short one."""
LINE = 1.28
"""Line height over the font size."""
FINE = 0.73
"""A line of small print, in body lines."""

SLACK = 0.99
"""Share of a face that may be taken by estimate; the page itself has the last word, and a second try costs as much again."""


class Estimate:
    """Heights for one size: `wide` is the width of the face in em, `text` that beside a hanging heading."""

    def __init__(self, size: Size, width: float, height: float) -> None:
        em = size.font_size
        across = width > height and size.detail > 1
        self.small, self.tiny = size.detail <= 2, size.detail == 1
        self.face = (width - 2 * size.safe) / em
        gap = size.safe / em
        first = (self.face - gap) * FIRST_COLUMN
        self.columns = (first, self.face - gap - first) if across else (self.face, self.face)
        self.across = across
        self.room = (height - 2 * size.safe) / em / LINE
        self.wide = self.text = 0.0
        self.in_column(1)

    def in_column(self, place: int) -> None:
        """Measure in the first (0) or second (1) column from here on."""
        self.wide = self.columns[place]
        self.text = self.wide if self.small else self.wide - 7.4

    def lines(self, text: str, width: float, scale: float = 1.0) -> int:
        """Lines that `text` takes in `width` em."""
        letters = max(4.0, width / (LETTER * scale))
        return max(1, ceil(len(text) / (letters - min(RAGGED, letters * RAGGED_SHARE))))

    def cells(self, rows: Sequence[Sequence[str]], shares: Sequence[float], pad: float = 0.3) -> float:
        """Lines of a table whose columns take these shares of its width."""
        widths = [self.wide * share - 0.5 for share in shares]
        return sum(max(self.lines(*cell) for cell in zip(row, widths, strict=True)) + pad for row in rows)

    def block(self, content: float, hanging: bool = True) -> float:
        """A block with its rule and heading."""
        heading = 0.0 if hanging and not self.small else 1.1
        return content + heading + (0.35 if self.small else 0.6)

    def fits(self, face: Face) -> bool:
        """Whether the face has room for all it holds, as far as can be told."""
        self.in_column(0)
        first = self.first(face)
        self.in_column(1)
        second = self.second(face)
        body = max(first, second) if self.across else first + second
        return self.header(face) + body + self.foot(face) <= self.room * SLACK

    def pages_of(self, titles: Sequence[str]) -> list[int]:
        """How many titles stand on each page of a list of contents."""
        pages, height = [0], 3.0
        for title in titles:
            lines = self.lines(title, self.face - 6) + 0.5
            if height + lines > self.room * 0.9 - 1.5 and pages[-1]:
                pages, height = [*pages, 0], 3.0
            pages[-1] += 1
            height += lines
        return pages

    def header(self, face: Face) -> float:
        """Way of the fuel, title, rule."""
        if self.tiny:
            return 1.5 + (0.9 if face.card.stage or face.card.side else 0)
        return 3.2 if not self.small else 2.9

    def foot(self, face: Face) -> float:
        """Code, sources, the line that defers, imprint."""
        card, wide = face.card, self.face
        height = 2.2 if not self.small else 1.8
        if not face.parts & {"command", "sources"}:
            return height
        beside = wide - 5.5
        text = 1.0 if "command" in face.parts else 0.0
        text += FINE * self.lines(card.limits_origin, beside, 0.76) if card.limits_origin else 0
        if "sources" in face.parts:
            text += FINE * self.lines(" ".join(card.sources), beside, 0.76)
        return height + max(text, 4.0 if self.small else 3.0) + 0.6

    def first(self, face: Face) -> float:
        """Cautions or their reminder, what it proves, what is needed, the formula."""
        card, height = face.card, 0.0
        height += self.cautions(face) if "cautions" in face.parts else self.reminder(face)
        parts: dict[str, Callable[[Card], float]] = {
            "proves": lambda c: self.lines(c.proves, self.text),
            "needs": lambda c: self.lines(" · ".join(c.needs), self.text),
            "formula": lambda c: 1.4 * (1 if self.tiny else len(c.formula.expressions)) if c.formula else 0,
            "terms": lambda c: self.terms(c) - 0.6,
            "example": self.example,
        }
        height += sum(self.block(measure(card)) for name, measure in parts.items() if name in face.parts)
        return height + sum(self.free(block) for block in face.blocks if getattr(block, "signal", None))

    def second(self, face: Face) -> float:
        """Steps, the card's own blocks, the record, the meanings."""
        card, height = face.card, 0.0
        if "steps" in face.parts:
            height += self.block(sum(self.lines(step, self.text - 1.4) for step in card.steps) + 0.1 * len(card.steps))
        height += sum(self.free(block) for block in face.blocks if not getattr(block, "signal", None))
        if "record" in face.parts:
            rows = [max(1.35, self.lines(row.what, self.wide * 0.4) + 0.05) for row in card.record[: face.rows]]
            height += self.block(1.3 + sum(rows), hanging=False)
        if "meanings" in face.parts:
            told = [(m.observation, m.next) if face.slim else (m.observation, m.says, m.next) for m in card.meanings]
            shares = (0.26, 0.74) if face.slim else (0.26, 0.37, 0.37)
            height += self.block(1.3 + self.cells(told, shares), hanging=False)
        return height

    def reminder(self, face: Face) -> float:
        """The one caution that a back repeats."""
        if face.side == "front" or self.tiny:
            return 0.0
        text = face.card.ordered_cautions[0].short or "Read the cautions on the front first."
        return self.lines(text, self.wide - 9, 1.1) * 1.06 + 1.0

    def cautions(self, face: Face) -> float:
        """All caution panels."""
        panel = 5.6 + 1.2 if face.brief else 1.2
        height, signals = 0.4, {caution.signal for caution in face.card.cautions}
        for caution in face.card.cautions:
            text = (caution.short or caution.text) if face.brief else caution.text
            symbols = (2.0 if face.brief else 2.9) * min(len(caution.symbols), 1 if self.tiny else 9)
            lines = self.lines(text, self.wide - panel - symbols, 1.1) * 1.06
            height += max(lines, 1.3 if face.brief else 2.1) + (0.25 if face.brief else 0.4)
        return height + len(signals) * (0.3 if face.brief else 1.7)

    def terms(self, card: Card) -> float:
        """The letters of the formula, run in."""
        text = " · ".join(f"{t.letter} {t.meaning} ({t.unit})" for t in card.formula.terms) if card.formula else ""
        return self.lines(text, self.text) + 0.2

    def example(self, card: Card) -> float:
        """The worked lines and where their numbers come from."""
        if card.formula is None:
            return 0.0
        steps = (f"{step.expression} = {step.numbers} = {step.result}" for step in card.formula.example)
        return sum(self.lines(step, self.text) for step in steps) + FINE * self.lines(card.formula.source, self.text, 0.76)

    def free(self, block: Block) -> float:
        """A block of the card's own."""
        if isinstance(block, Section):
            items = block.short if self.tiny and block.short else block.items
            lines = sum(self.lines(item, self.text - 1.4) + 0.1 for item in items)
            return self.block(lines + (self.lines(block.text, self.text) if block.text and not self.tiny else 0))
        if isinstance(block, Table):
            rows = [[_text(cell) for cell in row] for row in block.rows]
            blank = 0.35 * sum(None in row for row in block.rows)
            table = self.cells(rows, _shares([[_text(cell) for cell in block.columns], *rows]))
            return self.block(1.3 + blank + table + _note(block.note), hanging=False)
        return self.block(self.drawing(block) + _note(block.note if not isinstance(block, Figure) else ""), hanging=False)

    def drawing(self, block: Chart | Ladder | Figure) -> float:
        """Height of a drawing in lines."""
        if isinstance(block, Ladder):
            return 14.1
        return 9.0 if isinstance(block, Figure) else self.wide * 0.5 / LINE + 3


def _text(cell: str | Number | None) -> str:
    return "0" * 8 if isinstance(cell, Number) else cell or ""


def _shares(rows: Sequence[Sequence[str]]) -> list[float]:
    """Widths that a table gives its columns: by their longest text, none less than a tenth."""
    longest = [max(4, *(len(row[column]) for row in rows)) for column in range(len(rows[0]))]
    shares = [max(0.1, length / sum(longest)) for length in longest]
    return [share / sum(shares) for share in shares]


def _note(note: str) -> float:
    return FINE * 1.4 if note else 0.0


def trimmed(face: Face, estimate: Estimate) -> Face:
    """The face made lighter until it seems to fit, or until nothing more may go."""
    while not estimate.fits(face) and (lighter := face.lighter()) != face:
        face = lighter
    return face
