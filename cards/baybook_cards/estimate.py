"""How high a face will be, without laying it out: saves the renderer a second try.

Heights are in em of body text and follow styles/parts.css and templates/page.css.j2; text breaks by the advances of the
fonts. Nothing rests on them, since the laid-out page is checked.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from baybook.cards.data import Blank, Block, Card, Chart, Figure, Ladder, Section, Table
from baybook_cards import advances, figures, html, ladders, markup, plots, qr
from baybook_cards.faces import Face
from baybook_cards.language import Language
from baybook_cards.sizes import STACKED, Size, drawn_letter

LINE = 1.28
"""A line of body text."""
FINE, FINE_LINE = 0.76, 0.76 * 1.22
"""Small print: its letter, and a line of it."""
CAUTION, CAUTION_LINE = 1.1, 1.1 * 1.22
"""Cautions: their letter, and a line of them."""
LARGE = 1.25 * 1.04
"""Large type; it is bold and runs wider."""
SMALLER = 0.75
"""Share of its height that a place to write in keeps on a key-ring card."""
GOES_ON = "The steps go on overleaf."
HANGING = 7.4
"""Width that a heading takes beside its content."""
UNDER = 0.28
"""Space that a line of text keeps under a drawing."""


class Estimate:
    """Heights for one size: `wide` is the width in em of the column that is measured, of the whole face at first."""

    def __init__(self, size: Size, width: float, height: float, spoken: Language | None = None) -> None:
        em, self.size = size.font_size, size
        self.small, self.tiny = size.detail <= 2, size.detail == 1
        self.spoken = spoken or Language("en")
        self.face = (width - 2 * size.safe) / em
        self.gap = size.safe / em
        self.across = width > height and size.detail > 1
        self.em = em
        self.room = (height - 2 * size.safe) / em
        self.wide, self.hanging = self.face, not self.small
        self._drawn: dict[tuple[str, float], float] = {}

    @property
    def text(self) -> float:
        """Width beside a hanging heading, or the whole."""
        return self.wide - HANGING if self.hanging else self.wide

    def in_column(self, face: Face, first: bool) -> None:
        """Measure in the first or the second column of `face` from here on; a face that is not parted is one."""
        parted = self.across and face.parted
        left = (self.face - self.gap) * face.share
        self.wide = (left if first else self.face - self.gap - left) if parted else self.face
        self.hanging = not self.small and not (parted and first)

    def paragraph(self, text: str, width: float) -> float:
        """Body text."""
        return LINE * advances.lines(text, width)

    def fine(self, text: str, width: float) -> float:
        """Small print."""
        return FINE_LINE * advances.lines(text, width / FINE)

    def listed(self, items: Sequence[str], width: float) -> float:
        """A list with numbers or dots."""
        return sum(self.paragraph(item, width - 1.35) + 0.12 for item in items)

    def cells(self, rows: Sequence[Sequence[str]], widths: Sequence[float], bold: bool = False) -> float:
        """Rows of a table with columns of these widths; `bold`: of the first column."""
        height = 0.0
        for row in rows:
            lines = [
                advances.lines(text, width - 0.5, bold and not column)
                for column, (text, width) in enumerate(zip(row, widths, strict=True))
            ]
            height += LINE * max(lines) + 0.38
        return height

    def head(self, texts: Sequence[str], widths: Sequence[float]) -> float:
        """The head of a table."""
        lines = [advances.lines(text, width - 0.5, bold=True) for text, width in zip(texts, widths, strict=True)]
        return LINE * max(lines) + 0.44

    def block(self, content: float, title: str = "", hanging: bool = True, signs: int = 0) -> float:
        """A block with its rule and heading, before which so many signs stand."""
        border = 0.41 if self.small else 0.71
        beside = hanging and self.hanging
        lines = advances.lines(title, (HANGING - 0.4 if beside else self.wide) - 1.9 * signs, bold=True)
        heading = 0.07 + 1.15 * lines + (0.45 if signs else 0.0)
        return border + (max(content, heading) if beside else content + heading + self.below(hanging))

    def below(self, hanging: bool) -> float:
        """Space between a heading and what stands under it."""
        if self.small:
            return 0.05 if hanging else 0.2
        return 0.2 if self.hanging else 0.1

    def height(self, face: Face) -> float:
        """Of all that the face holds."""
        return self.header(face) + self.body(face) + self.foot(face)

    def fits(self, face: Face, short: float = 0.0) -> bool:
        """Whether the face has room for all it holds; `short`: by how much the estimate was found short."""
        return self.height(face) + short <= self.room

    def body(self, face: Face) -> float:
        """Height between header and footer: of the higher column where there are two."""
        self.in_column(face, first=True)
        first = self.first(face)
        self.in_column(face, first=False)
        second = self.second(face)
        return max(first, second) if self.across and face.parted else first + second

    def pages_of(self, titles: Sequence[str]) -> list[int]:
        """How many titles stand on each page of a list of contents."""
        pages, height = [0], 4.0
        for title in titles:
            entry = self.paragraph(title, self.face - 6) + 0.6
            if height + entry > self.room * 0.9 - 2 and pages[-1]:
                pages, height = [*pages, 0], 4.0
            pages[-1] += 1
            height += entry
        return pages

    def header(self, face: Face) -> float:
        """Way of the fuel, title, rule."""
        size = 1.15 if self.tiny else 1.3 if self.small else 1.75
        if face.side == "front" and face.leaf == 1:
            tight = self.face / size + 0.01 * len(face.card.title)
            title = size * (1.08 * advances.lines(face.card.title, tight, bold=True) + (0.1 if self.tiny else 0.18))
        else:
            title = 1.2 * (LINE * advances.lines(face.card.title, self.face / 1.2, bold=True) + 0.15)
        filled = html.filled_with(face.card, self.spoken)
        title += self.fine(filled, self.face) + 0.15 if filled else 0.0
        if self.tiny:
            return title + 0.43 + (FINE_LINE + 0.08 if face.card.stage or face.card.side else 0)
        return FINE_LINE + 0.38 + title + 0.8

    def foot(self, face: Face) -> float:
        """Code, sources, the line that defers, imprint."""
        card, say = face.card, self.spoken.text
        imprint = f"{card.name} · {say('revision')} {card.revision} · {card.date} · {say('Read at')} 500 mm · {say(face.side)}"
        if face.leaf > 1:
            imprint += f", {say('leaf')} 1/2"
        if face.left_out:
            imprint += f" · {say('left out here:')} {', '.join(map(say, face.left_out))}"
        defer = say("The maker's data, local rules and licensed practice come before this card.")
        letter, line = (FINE, 1.22) if self.small else (1.0, LINE)
        height = letter * (line * advances.lines(defer, self.face / letter, bold=True) + 0.4) + 0.06
        height += self.fine(imprint, self.face)
        if not face.parts & {"command", "sources"}:
            return height
        code = qr.side(card.command or card.job) / self.em if "command" in face.parts else 0.0
        beside = self.face - (code + 0.8 if code else 0.0)
        text = 0.0
        if "command" in face.parts:
            text += LINE * advances.lines(card.command, beside, bold=True)
        if card.limits_origin:
            text += self.fine(f"{say('Limits from:')} {card.limits_origin}", beside)
        if "sources" in face.parts and card.sources:
            text += self.fine(f"{say('Sources:')} {'. '.join(card.sources)}", beside)
        return height + max(text, code) + 0.76

    def first(self, face: Face) -> float:
        """Cautions or their reminder, what it proves, what is needed, the formula."""
        card, height = face.card, 0.0
        height += self.cautions(face) if "cautions" in face.parts else self.reminder(face)
        parts: dict[str, Callable[[Card], float]] = {
            "proves": self.proves,
            "needs": lambda c: self.paragraph(" · ".join(c.needs), self.text),
            "example": lambda c: self.example(c, face.lines_of("example")),
        }
        height += sum(self.block(measure(card)) for name, measure in parts.items() if name in face.parts)
        if "formula" in face.parts:
            height += self.block(self.formulas(card) + (self.terms(card) if "terms" in face.parts else 0.0))
        return height + sum(self.free(block) for block in face.beside(first=True))

    def second(self, face: Face) -> float:
        """Steps, the card's own blocks, the record, the meanings."""
        card, height = face.card, 0.0
        if "steps" in face.parts:
            height += self.block(self.steps(face))
        height += sum(self.free(block) for block in face.beside(first=False))
        if "record" in face.parts:
            height += self.block(self.record(card, face.lines_of("record")), hanging=False)
        if "meanings" in face.parts:
            height += self.block(self.meanings(card, face.slim, face.lines_of("meanings")), hanging=False)
        return height

    def proves(self, card: Card) -> float:
        """What the test proves, and what it does not."""
        denied = f"{self.spoken.text('Does not prove:')} {card.proves_not}"
        return self.paragraph(card.proves, self.text) + (0.2 + self.paragraph(denied, self.text) if card.proves_not else 0)

    def steps(self, face: Face) -> float:
        """The steps that stand here, and the line that they go on."""
        shown = face.card.steps[: face.lines_of("steps")]
        more = self.paragraph(self.spoken.text(GOES_ON), self.text) if "steps" in face.cut else 0.0
        wide = self.text - (0.65 if face.first_step + len(shown) > 10 else 0.0)
        return self.listed(shown, wide) + more

    def record(self, card: Card, count: int) -> float:
        """The table to write in: the columns for value and half-width are 22 % each, the others as wide as they need."""
        say, rows = self.spoken.text, card.record
        if not any(row.unit for row in rows):
            name = 0.4 * self.wide
        else:
            units = [advances.width(say("Unit"), bold=True), *(advances.width(row.unit) for row in rows)]
            signs = [advances.width(say("Sign"), bold=True), *(advances.width(_plain(row.symbol)) for row in rows)]
            name = 0.56 * self.wide - max(units) - 0.5 - (max(signs) + 0.5 if any(row.symbol for row in rows) else 0)
        heights = [max(1.65, self.paragraph(row.what, name - 0.5)) + 0.06 for row in rows[:count]]
        return LINE + 0.44 + sum(heights)

    def meanings(self, card: Card, slim: bool, count: int) -> float:
        """What may be seen, what it says, what to test next."""
        say, rows = self.spoken.text, card.meanings[:count]
        told = [(row.observation, row.next) if slim else (row.observation, row.says, row.next) for row in rows]
        heads = [say("You see"), say("Test next")] if slim else [say("You see"), say("It says"), say("Test next")]
        first, others = 0.26 * self.wide + 0.5, len(heads) - 1
        widths = [first, *[(self.wide - first) / others] * others]
        return self.head(heads, widths) + self.cells(told, widths, bold=True)

    def reminder(self, face: Face) -> float:
        """The one caution that every face repeats after the first."""
        if self.tiny:
            return 0.0
        worst = face.card.ordered_cautions[0]
        text = worst.short or self.spoken.text("Read the cautions on the front first.")
        panel = 1.21 * (self.word(worst.signal, 0.08) - 0.08 + 1)  # (nothing is spaced behind the last letter)
        lines = advances.lines(text, (self.wide - 0.352 - panel - 1.1) / CAUTION)
        return 0.352 + 0.66 + max(CAUTION_LINE * lines + 0.484, 1.82)

    def word(self, signal: str, spacing: float) -> float:
        """Width of a signal word with its sign."""
        said = self.spoken.text(signal.upper())
        return advances.width(said, bold=True) + spacing * len(said) + (1.4 if signal != "notice" else 0)

    def cautions(self, face: Face) -> float:
        """All caution panels."""
        signals = dict.fromkeys(caution.signal for caution in face.card.ordered_cautions)
        between = CAUTION * (0.15 if self.tiny else 0.25 if face.brief else 0.4)
        frame = CAUTION * (0.2 if self.tiny else 0.32)
        return 0.5 - between + sum(self.group(face, signal) + frame + between for signal in signals)

    def group(self, face: Face, signal: str) -> float:
        """The cautions under one signal word."""
        brief = face.brief
        beside = brief and not self.wide < STACKED
        column = 5.7 if self.tiny else 6.3
        panel = CAUTION * (column + (0.4 if self.tiny else 0.8)) if beside else 0.0
        around = 0.08 if self.tiny else 0.24 if brief else 0.44
        symbol = (1.3 if self.tiny else 1.5 if self.small else 1.75) if brief else 2.4
        found = [caution for caution in face.card.cautions if caution.signal == signal]
        height = 0.066 * (len(found) - 1)
        for caution in found:
            text = (caution.short or caution.text) if brief else caution.text
            count = min(len(caution.symbols), 1) if self.tiny else len(caution.symbols)
            symbols = CAUTION * (count * (symbol + 0.2) + 0.6) if count else 0.0
            room = self.wide - 0.352 - panel - CAUTION * (0.6 if self.tiny else 0.8 if brief else 1.0) - symbols
            drawn = CAUTION * symbol if count else 0.0
            height += max(CAUTION_LINE * advances.lines(text, room / CAUTION), drawn) + CAUTION * around
        if not beside:
            return height + (1.76 if brief else 1.82)
        lines = 1.0 if self.word(signal, 0.0 if self.tiny else 0.03) <= column else 2.32  # (the sign above the word is higher)
        return max(height, CAUTION * (1.3 * lines + (0.2 if self.tiny else 0.3)))

    def formulas(self, card: Card) -> float:
        """The formula lines, short ones beside each other."""
        expressions = card.formula.expressions[: 2 if self.tiny else None] if card.formula else ()
        lines, free = 0, 0.0
        for expression in map(_plain, expressions):
            width = 1.15 * (advances.width(expression, bold=True) + 1.6)
            if width > free:
                lines, free = lines + advances.lines(expression, self.text / 1.15 - 1.6, bold=True), self.text
            free -= width
        return 1.15 * 1.4 * lines

    def terms(self, card: Card) -> float:
        """The letters of the formula, run in, and the note on it."""
        if card.formula is None:
            return 0.0
        text = " · ".join(f"{_plain(t.letter)} {t.meaning}{f' ({t.unit})' if t.unit else ''}" for t in card.formula.terms)
        note = FINE * 0.25 + self.fine(card.formula.note, self.text) if card.formula.note else 0.0
        return 0.2 + self.paragraph(text, self.text) + note

    def example(self, card: Card, worked: int) -> float:
        """The worked lines and where their numbers come from."""
        if card.formula is None:
            return 0.0
        steps = [_plain(f"{step.expression} = {step.numbers} = {step.result}") for step in card.formula.example[:worked]]
        height = sum(self.paragraph(step, self.text) + 0.12 for step in steps)
        source = f"{self.spoken.text('Numbers from:')} {card.formula.source}"
        return height + (self.fine(source, self.text) if card.formula.source else 0.0)

    def free(self, block: Block) -> float:
        """A block of the card's own."""
        if isinstance(block, Section):
            return self.section(block)
        if isinstance(block, Table):
            return self.block(self.table(block) + self.note(block.note), block.title, hanging=False)
        if isinstance(block, Blank):
            height = block.height * (SMALLER if self.tiny else 1.0) + 0.1
            return self.block(height, block.title, hanging=False, signs=len(block.symbols))
        note = "" if isinstance(block, Figure) else block.note
        return self.block(self.drawing(block) + self.note(note), block.title, hanging=False)

    def section(self, block: Section) -> float:
        """Paragraph and list, framed like a caution if it is one."""
        items = block.short if self.tiny and block.short else block.items
        frame = (1.12 if self.small else 1.32) if block.signal else 0.0
        text = block.text if not self.tiny else ""
        letter = LARGE if block.large else 1.0
        room = (self.text - frame) / letter
        content = self.paragraph(text, room) + (0.2 if items else 0.0) if text else 0.0
        content = letter * (content + self.listed(items, room))
        return self.block(content, block.title, signs=len(block.symbols)) + (0.6 if block.signal else 0.0)

    def table(self, block: Table) -> float:
        """A table; one of numbers that is too wide takes all the room there is."""
        rows = [[markup.cell(cell, self.spoken) for cell in row] for row in block.rows]
        heads = [markup.cell(cell, self.spoken) for cell in block.columns]
        columns = [[row[place] for row in rows] for place in range(len(heads))]
        words = [column if block.of_numbers else [_longest(text) for text in column] for column in columns]
        pad = 1.0 if block.of_numbers else 0.5
        needs = [_widest(_longest(head), column) + pad for head, column in zip(heads, words, strict=True)]
        if block.of_numbers and sum(needs) - 1.0 > self.wide:  # (the space behind the last number may hang over)
            return self.room
        wishes = [_widest(head, column) + 0.5 for head, column in zip(heads, columns, strict=True)]
        widths = _shared(needs, wishes, self.wide)
        blank = [row for row in block.rows if None in row]
        return self.head(heads, widths) + self.cells(rows, widths) + 0.42 * len(blank)

    def note(self, note: str) -> float:
        """Small print under a table or a drawing."""
        return FINE * 0.25 + self.fine(note, self.wide) if note else 0.0

    def drawing(self, block: Chart | Ladder | Figure) -> float:
        """Height of a drawing."""
        width, letter = self.wide * self.em, drawn_letter(self.em)
        if isinstance(block, Ladder):
            return ladders.height_of(letter) / self.em + UNDER
        if isinstance(block, Chart):
            return plots.height_of(width, letter) / self.em + UNDER
        if self.wide < figures.NARROWEST.get(block.name, 0):
            return self.room
        key = block.name, width
        if key not in self._drawn:
            self._drawn[key] = figures.named(*key, letter, self.spoken).height / self.em + UNDER
        return self._drawn[key]


def _plain(marked: str) -> str:
    """A formula without the marks of its indices."""
    return marked.replace("_", "").replace("{", "").replace("}", "")


def _longest(text: str) -> str:
    """The longest word of a text."""
    return max(text.split(" "), key=len)


def _widest(head: str, column: Sequence[str]) -> float:
    """Width of a column in which no text breaks."""
    return max([advances.width(head, bold=True), *map(advances.width, column)])


def _shared(needs: Sequence[float], wishes: Sequence[float], wide: float) -> list[float]:
    """Widths of the columns of a table: what each needs, and of the rest a share by what each would like to have besides."""
    spare, more = max(0.0, wide - sum(needs)), [max(wish - need, 0.0) for need, wish in zip(needs, wishes, strict=True)]
    if sum(more) <= spare:
        return [wish + (spare - sum(more)) * wish / sum(wishes) for wish in wishes]
    return [need + spare * extra / sum(more) for need, extra in zip(needs, more, strict=True)]
