"""What stands on the faces of a card: one sheet, its front for the hands and its back for the head.

Parts are given in their order; a face that is too full at its least letter loses the last that may go (`Face.tighter`). Nothing
that is done or warned of may go; on a face at its tightest what is warned of is said short and the sources go.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from baybook.cards.data import Block, Card, Chart, Table
from baybook_cards.sizes import LEAST_SCALE, Size

Side = Literal["front", "back", "more"]
READY = ("needs", "proves")
"""What is read before the work begins."""
MEANT = 2
"""Rank of what a card is turned over for: what the result means."""
BROAD = 4
"""More columns than this in a table want the whole width."""
SHRINKING = 0.68
"""Power of the share of the room by which letters shrink: 0.5 were all of a face full lines, 1 were none; between them so that
most faces fit at the second layout and few letters are smaller than there is room for."""
GROWING = 0.5
"""The same where there is room left: all of a face full lines, so that larger letters do not fill more than there is."""
NOTE = 0.025
"""Share of the room that the foot takes once more to say what is left out."""
SMALLER = 0.99
"""A little smaller than that, since lines break otherwise."""


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a face: its kind, for the template; its item, where it is a block; rank: what goes first, 0 never."""

    kind: str
    item: Block | None = None
    rank: int = 0

    @property
    def title(self) -> str:
        """What it is called where it is left out."""
        graph = isinstance(self.item, Chart)  # (whose title is long)
        return self.item.title if self.item and not graph else "chart" if graph else self.kind


@dataclass(frozen=True, slots=True)
class Face:
    """One side of a card as it will be set: its parts in order, and the size of its letters as a share of the preferred one.

    left_out: titles of the parts that had no room. tight: lines closer together, the last resort before a card is refused.
    """

    card: Card
    side: Side
    parts: tuple[Part, ...]
    scale: float = 1.0
    left_out: tuple[str, ...] = ()
    tight: bool = False

    @property
    def name(self) -> str:
        """What tells this face from every other of a document."""
        return f"{self.card.key} {self.side}"

    @property
    def broad(self) -> bool:
        """Whether it holds a table that is broader than half of a card that lies across, or one of sentences."""
        wide = (isinstance(part.item, Table) and len(part.item.columns) > BROAD for part in self.parts)
        return any(wide) or any(part.kind == "meanings" for part in self.parts)

    def tighter(self, room: float, over: float, heights: Sequence[float]) -> Face | None:
        """The face for when it is `over` mm higher than its room: parts left out that cannot fit at the least size, and letters
        as large as the rest has room for; None if nothing more may go. heights: of its parts in mm, as laid out. What a card
        is turned over for goes only where it was measured not to fit, lines as close as can be."""
        parts, total, whole = list(zip(self.parts, heights, strict=True)), room + over, room * (1 - NOTE)
        gone = list[str]()
        while total * (LEAST_SCALE / self.scale) ** 2 > (whole if gone else room) or (self.scale <= LEAST_SCALE and not gone):
            last = max(parts, key=lambda part: part[0].rank, default=None)
            if last is None or not last[0].rank or (last[0].rank == MEANT and not self.tight):
                break
            parts.remove(last)
            total -= last[1]
            gone.append(last[0].title)
        if not gone and self.scale <= LEAST_SCALE:
            return None if self.tight else replace(self, tight=True)
        # what is left out may have been higher than the estimate of all
        share = (whole if gone else room) / total if total > 0 else 1.0
        share = share if gone else min(1.0, share)
        scale = min(1.0, max(LEAST_SCALE, self.scale * share ** (SHRINKING if share < 1 else GROWING) * SMALLER))
        tight = self.tight or bool(gone and total * (LEAST_SCALE / self.scale) ** 2 > whole)
        return replace(self, parts=tuple(part for part, _ in parts), left_out=(*self.left_out, *gone), scale=scale, tight=tight)


def faces_of(card: Card, size: Size, all_leaves: bool = False) -> list[Face]:
    """The front and the back; with `all_leaves` a further face for what only the bench needs, where there is any, and on it
    what has to lie ready and what the test proves, for which the back has seldom room."""
    back = list(_back(card, size))
    bench = [part for part in _bench(card) if part.item not in [p.item for p in back] or part.item is None]
    if all_leaves and bench and size.detail > 1:  # (no leaf of its own: a binder holds a hundred pages)
        bench = [*(Part(kind, rank=1) for kind in READY if getattr(card, kind)), *bench]
        back = [part for part in back if part.kind not in READY]
    if size.detail == 4 and not all_leaves:  # (on the largest paper it may have room beside the rest)
        back, bench = [*back, *bench], []
    faces = [Face(card, "front", tuple(_front(card, size)))]
    faces += [Face(card, "back", tuple(back))] if back else []
    return faces + ([Face(card, "more", tuple(bench))] if all_leaves and bench else [])


def _front(card: Card, size: Size) -> Iterator[Part]:
    yield from (Part(name) for name in ("entry", "steps", "end") if getattr(card, name) and size.detail > 1)
    yield from _blocks(card.front, size)
    if card.record and size.detail > 2 and not card.lines:
        yield Part("record")


def _back(card: Card, size: Size) -> Iterator[Part]:
    if card.outcomes:
        yield Part("outcomes")
    if card.record and card.lines:  # (typed for this vehicle, read at no step)
        yield Part("record")
    if card.meanings and size.detail > 1:
        yield Part("meanings", rank=MEANT)  # (the last to go, where a small back has no room for the longest)
    if card.drawings and size.detail > 1:
        yield Part("drawings", rank=4)
    yield from _blocks(card.back, size)
    if size.detail > 1 and (len(card.cautions) > 1 or card.lines):
        yield Part("cautions")
    if card.needs and size.detail > 2:
        yield Part("needs", rank=8)
    if card.proves and size.detail > 2:
        yield Part("proves", rank=9)
    if card.record and size.detail == 2 and not card.lines:
        yield Part("record")


def _bench(card: Card) -> Iterator[Part]:
    """What only the bench needs: formulas with their letters, a worked example, graphs of the largest paper."""
    if card.formula:
        yield Part("formula", rank=10)
        if card.formula.terms:
            yield Part("terms", rank=11)
        if card.formula.example:
            yield Part("example", rank=12)
    yield from (Part("block", block, 7) for block in card.back if block.priority > 3)


def _blocks(blocks: tuple[Block, ...], size: Size) -> Iterator[Part]:
    """The blocks that this size has room for: the least important goes first where it has not."""
    for block in blocks:
        alone: Any = getattr(block, "on_small_alone", False)
        if block.priority <= size.detail and not (alone and size.detail > 1):
            yield Part("block", block, 0 if block.priority <= 2 else 4 + block.priority)
