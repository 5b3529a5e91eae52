"""About how high a face will be, without laying it out: saves the renderer a second try.

Heights are in lines of body text. The figures follow styles/parts.css and templates/page.css.j2 roughly; nothing rests
on them, since the laid-out page is checked.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import ceil

from baybook.cards.data import Block, Card, Chart, Figure, Ladder, Number, Section, Table
from baybook_cards.faces import Face
from baybook_cards.figures import NARROWEST, SIGN_ROW, sign_columns
from baybook_cards.sizes import FIRST_COLUMN, STACKED, Size
from baybook_cards.symbols import SYMBOLS

LETTER = 0.485
"""Mean advance of a letter of running text over the font size."""
BOLD = 0.55
"""The same of a formula."""
RAGGED, RAGGED_SHARE = 0.55, 0.09
"""Lost at the end of a line, on average: so much of a word of the text, and at most so large a share of a short line."""
LINE = 1.28
"""Line height over the font size."""
FINE = 0.73
"""A line of small print, in body lines."""

SURE, SLACK, GENEROUS = 0.97, 1.0, 1.05
"""Share of a face that an estimate is trusted for, that it may take, and that it may take where a table or a block would go
otherwise: the page itself has the last word, and a second try costs as much again."""


class Estimate:
    """Heights for one size: `wide` is the width in em of the column that is measured, of the whole face at first."""

    def __init__(self, size: Size, width: float, height: float) -> None:
        em = size.font_size
        self.small, self.tiny = size.detail <= 2, size.detail == 1
        self.face = (width - 2 * size.safe) / em
        self.gap = size.safe / em
        self.across = width > height and size.detail > 1
        self.em = em
        self.room = self.lines_of(height - 2 * size.safe)
        self.wide, self.hanging = self.face, not self.small

    def lines_of(self, millimetres: float) -> float:
        """A height in lines of body text."""
        return millimetres / self.em / LINE

    @property
    def text(self) -> float:
        """Width beside a hanging heading, or the whole."""
        return self.wide - 7.4 if self.hanging else self.wide

    def in_column(self, face: Face, first: bool) -> None:
        """Measure in the first or the second column of `face` from here on; a face that is not parted is one."""
        parted = self.across and face.parted
        left = (self.face - self.gap) * face.share
        self.wide = (left if first else self.face - self.gap - left) if parted else self.face
        self.hanging = not self.small and not (parted and first)

    def lines(self, text: str, width: float, scale: float = 1.0) -> int:
        """Lines that `text` takes in `width` em."""
        letters = max(4.0, width / (LETTER * scale))
        words = text.split()
        broken = sum(len(word) > letters for word in words)
        lost = min(RAGGED * len(text) / max(1, len(words)), letters * RAGGED_SHARE)
        return max(1, ceil(len(text) / (letters - lost))) + broken

    def cells(self, rows: Sequence[Sequence[str]], shares: Sequence[float], pad: float = 0.3) -> float:
        """Lines of a table whose columns take these shares of its width."""
        widths = [self.wide * share - 0.5 for share in shares]
        return sum(max(self.lines(*cell) for cell in zip(row, widths, strict=True)) + pad for row in rows)

    def block(self, content: float, hanging: bool = True) -> float:
        """A block with its rule and heading."""
        heading = 0.0 if hanging and self.hanging else 1.1
        return content + heading + (0.35 if self.small else 0.6)

    def height(self, face: Face) -> float:
        """Of all that the face holds, in lines."""
        return self.header(face) + self.body(face) + self.foot(face)

    def fits(self, face: Face, slack: float = SLACK, short: float = 0.0) -> bool:
        """Whether the face has room for all it holds, as far as can be told; `short`: lines the estimate was found short by."""
        return self.height(face) + short <= self.room * slack

    def body(self, face: Face) -> float:
        """Height between header and footer: of the higher column where there are two."""
        self.in_column(face, first=True)
        first = self.first(face)
        self.in_column(face, first=False)
        second = self.second(face)
        return max(first, second) if self.across and face.parted else first + second

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
            "formula": self.formulas,
            "terms": lambda c: self.terms(c) - 0.6,
            "example": lambda c: self.example(c, face.lines_of("example")),
        }
        height += sum(self.block(measure(card)) for name, measure in parts.items() if name in face.parts)
        return height + sum(self.free(block) for block in face.beside(first=True))

    def second(self, face: Face) -> float:
        """Steps, the card's own blocks, the record, the meanings."""
        card, height = face.card, 0.0
        if "steps" in face.parts:
            height += self.block(sum(self.lines(step, self.text - 1.4) for step in card.steps) + 0.1 * len(card.steps))
        height += sum(self.free(block) for block in face.beside(first=False))
        if "record" in face.parts:
            names = [row.what for row in card.record[: face.lines_of("record")]]
            table = sum(max(1.35, self.lines(name, self.wide * 0.4) + 0.05) for name in names)
            height += self.block(1.3 + table, hanging=False)
        if "meanings" in face.parts:
            rows = card.meanings[: face.lines_of("meanings")]
            told = [(row.observation, row.next) if face.slim else (row.observation, row.says, row.next) for row in rows]
            shares = (0.26, 0.74) if face.slim else (0.26, 0.37, 0.37)
            height += self.block(1.3 + self.cells(told, shares), hanging=False)
        return height

    def reminder(self, face: Face) -> float:
        """The one caution that every face repeats after the first."""
        if self.tiny:
            return 0.0
        text = face.card.ordered_cautions[0].short or "Read the cautions on the front first."
        return self.lines(text, self.wide - 9, 1.1) * 1.06 + 1.0

    def cautions(self, face: Face) -> float:
        """All caution panels."""
        beside = face.brief and not self.wide < STACKED
        panel = 6.3 + 1.2 if beside else 1.2
        height, signals = 0.4, {caution.signal for caution in face.card.cautions}
        for caution in face.card.cautions:
            text = (caution.short or caution.text) if face.brief else caution.text
            symbols = (2.0 if face.brief else 2.9) * min(len(caution.symbols), 1 if self.tiny else 9)
            lines = self.lines(text, self.wide - panel - symbols, 1.1) * 1.06
            height += max(lines, 1.3 if face.brief else 2.1) + (0.25 if face.brief else 0.4)
        return height + len(signals) * (0.3 if beside else 1.7)

    def formulas(self, card: Card) -> float:
        """The formula lines, short ones beside each other."""
        expressions = card.formula.expressions[: 2 if self.tiny else None] if card.formula else ()
        lines, free = 0, 0.0
        for expression in expressions:
            width = 1.15 * (len(expression.replace("_", "").strip("{}")) * BOLD + 1.6)
            if width > free:
                lines, free = lines + self.lines(expression, self.text, 1.25), self.text
            free -= width
        return 1.26 * lines

    def terms(self, card: Card) -> float:
        """The letters of the formula, run in."""
        text = " · ".join(f"{t.letter} {t.meaning} ({t.unit})" for t in card.formula.terms) if card.formula else ""
        return self.lines(text, self.text) + 0.2

    def example(self, card: Card, worked: int) -> float:
        """The worked lines and where their numbers come from."""
        if card.formula is None:
            return 0.0
        steps = (f"{step.expression} = {step.numbers} = {step.result}" for step in card.formula.example[:worked])
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
            heads = [_text(cell) for cell in block.columns]
            if block.of_numbers and _width([heads, *rows]) > self.wide:
                return self.room
            table = self.cells(rows, _shares([heads, *rows]))
            return self.block(1.3 + blank + table + _note(block.note), hanging=False)
        return self.block(self.drawing(block) + _note(block.note if not isinstance(block, Figure) else ""), hanging=False)

    def drawing(self, block: Chart | Ladder | Figure) -> float:
        """Height of a drawing in lines."""
        if isinstance(block, Ladder):
            return 14.1
        if isinstance(block, Figure) and self.wide < NARROWEST.get(block.name, 0):
            return self.room
        if isinstance(block, Figure) and block.name == "signs":
            return -(-len(SYMBOLS) // sign_columns(self.wide * self.em)) * SIGN_ROW * 18 / 22 / LINE
        return 9.0 if isinstance(block, Figure) else self.wide * 0.5 / LINE + 3


def _text(cell: str | Number | None) -> str:
    if isinstance(cell, Number):
        return f"{cell.value:.{cell.decimals}f} {cell.unit}".strip()
    return cell or ""


def _width(rows: Sequence[Sequence[str]]) -> float:
    """Width in em of a table whose cells do not break."""
    heads, *body = rows
    longest = [max(len(word) for word in (head or " ").split(" ")) for head in heads]  # (heads break, numbers do not)
    return sum(max(length, *(len(row[place]) for row in body)) * LETTER + 1.3 for place, length in enumerate(longest))


def _shares(rows: Sequence[Sequence[str]]) -> list[float]:
    """Widths that a table gives its columns: by their longest text, none less than a tenth."""
    longest = [max(4, *(len(row[column]) for row in rows)) for column in range(len(rows[0]))]
    shares = [max(0.1, length / sum(longest)) for length in longest]
    return [share / sum(shares) for share in shares]


def _note(note: str) -> float:
    return FINE * 1.4 if note else 0.0


def balanced(face: Face, estimate: Estimate) -> Face:
    """A face that lies across with its columns about as high as each other: the share of the first column chosen, and
    blocks of the second moved into the first where that helps."""
    if not estimate.across:
        return face
    return min((_moved(replace(face, share=share), estimate) for share in FIRST_COLUMN), key=estimate.body)


def _moved(face: Face, estimate: Estimate) -> Face:
    while face.parted and (movable := face.beside(first=False)):
        moved = min((face.moving(block.title) for block in movable), key=estimate.body)
        if not moved.parted or estimate.body(moved) >= estimate.body(face):
            break
        face = moved
    return face


def trimmed(face: Face, estimate: Estimate, short: float = 0.0) -> Face:
    """The face made lighter until it seems to fit, or until nothing more may go.

    short: lines by which the estimate of this face was found short when it was laid out; 0 before that.
    """
    whole = face
    while not estimate.fits(face, short=short):
        moved = balanced(face, estimate)
        if estimate.fits(moved, short=short):
            return filled(moved, whole, estimate, short)
        lighter = face.lighter()
        if lighter == face or (not short and _poorer(lighter, face) and estimate.fits(moved, GENEROUS)):
            return moved
        face = lighter
    return filled(face, whole, estimate, short)


def filled(face: Face, whole: Face, estimate: Estimate, short: float) -> Face:
    """The face with anything of `whole` that it lacks and has room for after all; what was left out last comes first."""
    others = [*sorted(whole.parts - face.parts), *(block.title for block in whole.blocks if block not in face.blocks)]
    for name in dict.fromkeys((*reversed(face.left_out), *others)):
        fuller = balanced(face.again(name, whole), estimate)
        if estimate.fits(fuller, short=short):
            face = fuller
    return face


def _poorer(lighter: Face, face: Face) -> bool:
    """Whether a table or a block has gone, and not some lines alone."""
    return lighter.blocks != face.blocks or bool((face.parts - lighter.parts) & {"meanings", "record"})
