"""Drawings of how a step is done, plain and our own: each a function of width and letter size, placed in millimetres.

They are made for a field 100 wide; `_Pen` scales them, so that letters keep their size. No words but short labels.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from baybook_cards.figures import Drawing
    from baybook_cards.language import Language


@dataclass
class _Pen:
    """Collects the lines of a drawing on a field of 100 by `height`, `width` mm wide."""

    width: float
    height: float
    text: float
    say: Callable[[str], str]
    lines: list[tuple[str, str]] = field(default_factory=list)
    notes: list[tuple[float, float, str, str]] = field(default_factory=list)

    def line(self, *points: float, shape: str = "edge") -> None:
        """A path through points (x, y, x, y, ...)."""
        pairs = [f"{self._at(x):g} {self._at(y):g}" for x, y in zip(points[::2], points[1::2], strict=True)]
        self.lines.append((f"M{pairs[0]}L{' '.join(pairs[1:])}", shape))

    def box(self, x: float, y: float, width: float, height: float, shape: str = "shape") -> None:
        """A rectangle."""
        self.lines.append(
            (f"M{self._at(x):g} {self._at(y):g}h{self._at(width):g}v{self._at(height):g}h{-self._at(width):g}z", shape)
        )

    def ring(self, x: float, y: float, radius: float, shape: str = "edge") -> None:
        """A circle."""
        r = self._at(radius)
        self.lines.append(
            (f"M{self._at(x) - r:g} {self._at(y):g}a{r:g} {r:g} 0 1 0 {2 * r:g} 0a{r:g} {r:g} 0 1 0 {-2 * r:g} 0z", shape)
        )

    def arrow(self, x: float, y: float, dx: float, dy: float, shape: str = "edge") -> None:
        """An arrow from (x, y) by (dx, dy), its head at the end."""
        length = (dx * dx + dy * dy) ** 0.5
        ux, uy = dx / length, dy / length
        tip_x, tip_y = x + dx, y + dy
        self.line(x, y, tip_x, tip_y, shape=shape)
        back_x, back_y, aside_x, aside_y = tip_x - 4 * ux, tip_y - 4 * uy, 2.4 * uy, -2.4 * ux
        self.line(back_x + aside_x, back_y + aside_y, tip_x, tip_y, back_x - aside_x, back_y - aside_y, shape=shape)

    def note(self, x: float, y: float, words: str, anchor: str = "middle") -> None:
        """A short label."""
        self.notes.append((self._at(x), self._at(y), self.say(words), anchor))

    def done(self) -> Drawing:
        """The drawing."""
        from baybook_cards.figures import Drawing, Line, Note

        return Drawing(
            self.width, round(self._at(self.height), 3), self.text,
            lines=tuple(Line(path, shape) for path, shape in self.lines),
            notes=tuple(Note(round(x, 3), round(y, 3), words, anchor) for x, y, words, anchor in self.notes),
        )  # fmt: skip

    def _at(self, value: float) -> float:
        return value * self.width / 100


def _pen(width: float, height: float, text: float, language: Language) -> _Pen:
    return _Pen(width, height, text, language.text)


def returns(width: float, text: float, language: Language) -> Drawing:
    """Four injectors, each with its hose into a cylinder; the open stub of their branch plugged, the rail's left open."""
    pen = _pen(width, 66, text, language)
    for place in range(4):
        x = 6 + place * 17
        pen.box(x, 4, 8, 14, "shade")
        pen.line(x + 4, 18, x + 4, 40, shape="pipe")
        pen.box(x, 40, 9, 20)
        pen.box(x + 0.6, 60 - 5 - 3 * (place == 2), 7.8, 4.4 + 3 * (place == 2), "deep")
        pen.note(x + 4, 65.5, str(place + 1))
    pen.line(74, 10, 84, 10, shape="pipe")
    pen.box(84, 6.5, 6, 7, "deep")
    pen.note(87, 21, "plug")
    pen.line(74, 40, 98, 40, shape="pipe")
    pen.arrow(84, 40, 14, 0)
    pen.note(100, 50, "stays open", "end")
    return pen.done()


def back_probe(width: float, text: float, language: Language) -> Drawing:
    """A plug that stays on its socket, a thin insulated pin from behind along one of its wires."""
    pen = _pen(width, 50, text, language)
    pen.box(54, 12, 26, 24, "shade")
    pen.box(80, 16, 12, 16)
    pen.line(54, 19, 10, 19, shape="edge")
    pen.line(54, 29, 10, 29, shape="edge")
    pen.line(20, 8, 58, 17.6, shape="pipe")
    pen.line(58, 17.6, 66, 19, shape="edge")
    pen.note(30, 6, "insulated pin")
    pen.note(72, 45, "plug stays on")
    return pen.done()


def clamp(width: float, text: float, language: Language) -> Drawing:
    """A clamp round one wire of two, its arrow with the current."""
    pen = _pen(width, 50, text, language)
    pen.line(4, 16, 96, 16)
    pen.line(4, 36, 96, 36)
    pen.ring(46, 16, 11, "pipe")
    pen.box(42, 27, 8, 6, "deep")
    pen.line(46, 33, 46, 48, shape="pipe")
    pen.arrow(62, 9, 20, 0)
    pen.note(78, 47, "one wire alone")
    return pen.done()


def ohm_tips(width: float, text: float, language: Language) -> Drawing:
    """A meter set to ohm, its two tips held together."""
    pen = _pen(width, 50, text, language)
    pen.box(6, 6, 28, 40, "shade")
    pen.box(10, 10, 20, 10)
    pen.note(20, 18, "0.2 Ω")
    pen.ring(20, 33, 7)
    pen.line(20, 33, 24, 28)
    pen.line(34, 40, 54, 40, 78, 27)
    pen.line(34, 43, 58, 46, 78, 27.5, shape="pipe")
    pen.ring(78.5, 27, 3)
    pen.note(100, 14, "tips together", "end")
    return pen.done()


def hold_curve(width: float, text: float, language: Language) -> Drawing:
    """Three falls of pressure after the stop: shut, leaking, emptied by its own valve."""
    pen = _pen(width, 56, text, language)
    pen.line(12, 4, 12, 48, 96, 48)
    pen.line(12, 10, 40, 12, 92, 15)
    pen.line(12, 10, 30, 20, 55, 30, 92, 39, shape="pipe")
    pen.line(12, 10, 16, 40, 22, 46.5, 92, 47.5, shape="wire")
    pen.note(74, 11, "shut")
    pen.note(74, 29, "leaks")
    pen.note(44, 44, "emptied by its valve")
    pen.note(96, 55, "time", "end")
    return pen.done()


def _valve(pen: _Pen, x: float, y: float, *, driven: bool) -> None:
    """A valve seat with its needle: away from the seat at rest, on it while driven."""
    pen.box(x, y, 10, 24, "shade")
    shift = 8 if driven else 2
    pen.box(x + 3, y + shift, 4, 12, "deep")
    pen.line(x - 8, y + 22, x + 3, y + 22, shape="pipe")
    pen.line(x + 7, y + 22, x + 18, y + 22, shape="pipe" if not driven else "edge")


def valves(width: float, text: float, language: Language) -> Drawing:
    """Inlet and outlet valve at rest and driven, each with what pressure does: the usual kind, open without current."""
    pen = _pen(width, 84, text, language)
    for row, (name, signs) in enumerate((("inlet valve", ("▲", "▼")), ("outlet valve", ("▼", "▲")))):
        y = 12 + row * 40
        pen.note(2, y - 2, name, "start")
        for column, driven in enumerate((False, True)):
            x = 20 + column * 44
            _valve(pen, x, y, driven=driven)
            pen.arrow(x + 26, y + (20 if signs[column] == "▲" else 4), 0, -15 if signs[column] == "▲" else 15)
    pen.note(24, 83, "no current")
    pen.note(70, 83, "current")
    return pen.done()


def duty(width: float, text: float, language: Language) -> Drawing:
    """A wire switched to ground at 30 % on: low while on; a meter that counts the high time shows 70 %."""
    pen = _pen(width, 50, text, language)
    pen.line(4, 10, 12, 10, 12, 32, 22, 32, 22, 10, 45, 10, 45, 32, 55, 32, 55, 10, 62, 10, shape="pipe")
    pen.line(4, 38, 62, 38)
    pen.note(17, 46, "on 30 %")
    pen.box(70, 12, 27, 13)
    pen.note(83, 22, "70 %")
    pen.note(83, 36, "counts high")
    return pen.done()


PICTURES: dict[str, tuple[Callable[[float, float, Language], Drawing], str]] = {
    "returns": (returns, "Each injector's return into its cylinder; only the open stub plugged"),
    "back-probe": (back_probe, "Back-probing: plug on, insulated pin along the wire"),
    "clamp": (clamp, "Clamp round one wire, arrow with the current"),
    "ohm-tips": (ohm_tips, "Tips together: what the leads have"),
    "hold-curve": (hold_curve, "Pressure after the stop"),
    "valves": (valves, "Usual valves: at rest, and with current"),
    "duty": (duty, "Switched to ground, 30 % on: low while on"),
}
"""By name: how it is drawn, and what it shows."""
