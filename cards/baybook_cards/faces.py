"""Which parts of a card stand on which face at which size: plain data in, plain data out.

The front is for the hands: cautions, what it proves, what is needed, steps, the record. The back is for the head:
formula, example, tables and graphs, meaning, sources, the code that leads back to the tool.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from baybook.cards.data import Block, Card, Section
from baybook_cards.sizes import FIRST_COLUMN, Size

DETAIL: dict[str, int] = {
    "cautions": 1,
    "formula": 1,
    "command": 1,
    "proves": 2,
    "needs": 2,
    "steps": 2,
    "meanings": 2,
    "terms": 2,
    "sources": 3,
    "record": 3,
    "example": 3,
}
"""Priority of the fixed parts, on the scale of `baybook.cards.data.Priority`."""
FRONT = ("cautions", "proves", "needs", "steps", "record")
BACK = ("formula", "terms", "example", "meanings", "sources", "command")
READ_FIRST, READ_LAST = ("steps", "sources", "command", "proves", "needs", "terms", "example"), ("record", "meanings")
"""Parts of a further face in the order of reading, with blocks between; sources and code, which are small, before most."""
LEAST = {"steps": 1, "record": 3, "meanings": 3, "example": 2}
"""Lines of these parts below which they are left out rather than cut."""
MANY = 999
KEPT = frozenset({"cautions", "steps", "formula"})
"""What never goes, however full a face is; steps may go on overleaf."""


@dataclass(frozen=True, slots=True)
class Face:
    """One side of a leaf as it will be set: the fixed parts shown by name, then the free blocks.

    `leaf`, `leaves`: which leaf of how many this is a side of; `further`: a face for what had no room on those before.
    `brief`: short cautions; `fewer`: at most so many lines of the record, the example or the meanings; `slim`: meanings
    without their middle column; `left_out`: what had no room; `moved`: titles of blocks that stand in the first column of a
    face that lies across; `share`: how much of its width that column takes. `overleaf`: steps that have no room may go on
    on the next face, where their numbers go on from `first_step`.
    """

    card: Card
    side: str
    parts: frozenset[str]
    blocks: tuple[Block, ...]
    left_out: tuple[str, ...] = ()
    brief: bool = False
    fewer: Mapping[str, int] = field(default_factory=dict)
    slim: bool = False
    moved: frozenset[str] = frozenset()
    share: float = FIRST_COLUMN[0]
    leaf: int = 1
    leaves: int = 1
    further: bool = False
    overleaf: bool = False
    first_step: int = 1

    @property
    def name(self) -> str:
        """What tells this face from every other of a document."""
        return f"{self.card.key} {self.side}{f' {self.leaf}' if self.leaf > 1 else ''}"

    @property
    def cut(self) -> frozenset[str]:
        """The parts that stand here with fewer lines than the card has."""
        return frozenset(name for name in self.parts & self.fewer.keys() if self.fewer[name] < len(self._lines(name)))

    def lines_of(self, name: str) -> int:
        """How many steps or lines of the record, the example or the meanings stand here."""
        return min(self.fewer.get(name, MANY), len(self._lines(name)))

    def _lines(self, name: str) -> tuple[object, ...]:
        example = self.card.formula.example if self.card.formula else ()
        return {"steps": self.card.steps, "record": self.card.record, "example": example, "meanings": self.card.meanings}[name]

    def beside(self, first: bool) -> tuple[Block, ...]:
        """The blocks of the first column, framed like a caution or moved there; or those of the second."""
        return tuple(
            block for block in self.blocks if first == bool(getattr(block, "signal", None) or block.title in self.moved)
        )

    @property
    def parted(self) -> bool:
        """Whether there is a second column with something in it, where the face lies across."""
        return self.share < 1 and bool(self.beside(first=False) or self.parts & {"steps", "record", "meanings"})

    def moving(self, title: str) -> Face:
        """The same face with that block in the first column."""
        return replace(self, moved=self.moved | {title})

    def without(self, name: str) -> Face:
        """The same face with a fixed part or a block (by title) left out, and saying so."""
        kept = tuple(block for block in self.blocks if block.title != name)
        return replace(self, parts=self.parts - {name}, blocks=kept, left_out=(*self.left_out, name))

    def again(self, name: str, whole: Face) -> Face:
        """The same face with what was left out under this name in its old place, as it stood on `whole`."""
        blocks = tuple(block for block in whole.blocks if block in self.blocks or block.title == name)
        left_out = tuple(left for left in self.left_out if left != name)
        fewer = {part: lines for part, lines in self.fewer.items() if part != name}
        return replace(self, parts=self.parts | ({name} & whole.parts), blocks=blocks, left_out=left_out, fewer=fewer)

    def lighter(self) -> Face:
        """The same face with short cautions, or else with the least important thing left out; itself if nothing may go."""
        if not self.brief and "cautions" in self.parts and any(caution.short for caution in self.card.cautions):
            return replace(self, brief=True)
        name = self.droppable() or ("steps" if self.overleaf and "steps" in self.parts else None)
        if name == "steps" and self.lines_of(name) == LEAST[name]:
            return self
        if name == "meanings" and not self.slim:
            return replace(self, slim=True)
        if name in LEAST and (name != "meanings" or self.further) and self.lines_of(name) > LEAST[name]:
            return replace(self, fewer={**self.fewer, name: self.lines_of(name) - 1})
        return self if name is None else self.without(name)

    def droppable(self) -> str | None:
        """What to leave out next: of the lowest priority the card's last own block, or else the first of the fixed parts; on a
        further face the last to be read."""
        if self.further:
            names = [*(name for name in READ_FIRST if name in self.parts), *(block.title for block in self.blocks)]
            names += [name for name in READ_LAST if name in self.parts]
            return names[-1] if names else None
        own = [(block.priority, 1, index, block.title) for index, block in enumerate(self.blocks) if block.priority > 1]
        fixed = [(DETAIL[name], 0, -index, name) for index, name in enumerate((*FRONT, *BACK)) if name in self.parts - KEPT]
        return max([*own, *fixed], default=(0, 0, 0, None))[3]


def _present(card: Card) -> set[str]:
    """The fixed parts for which the card has content."""
    formula = card.formula
    content = {
        "cautions": card.cautions,
        "proves": card.proves,
        "needs": card.needs,
        "steps": card.steps,
        "record": card.record,
        "formula": formula,
        "terms": formula and formula.terms,
        "example": formula and formula.example,
        "meanings": card.meanings,
        "sources": card.sources or card.limits_origin,
        "command": card.command or card.job,
    }
    return {name for name, value in content.items() if value}


def _on_small_alone(block: Block) -> bool:
    return isinstance(block, Section) and block.on_small_alone


def _face(card: Card, side: str, names: tuple[str, ...], blocks: tuple[Block, ...], size: Size) -> Face:
    parts = frozenset(name for name in names if name in _present(card) and DETAIL[name] <= size.detail)
    shown = tuple(
        block for block in blocks if block.priority <= size.detail and (size.detail == 1 or not _on_small_alone(block))
    )
    return Face(card, side, parts, shown, brief=size.detail <= 2)


def faces_of(card: Card, size: Size) -> tuple[Face, ...]:
    """The faces of a card at a size: a front, and a back if more than sources and the code would stand on it.

    On small sizes the code has no room beside the cautions and stands on the back, whatever else does.
    """
    front = _face(card, "front", FRONT, card.front, size)
    back = _face(card, "back", BACK, card.back, size)
    if back.blocks or back.parts - {"sources", "command"} or (size.detail <= 2 and back.parts):
        return front, back
    return (replace(front, parts=front.parts | back.parts),)
