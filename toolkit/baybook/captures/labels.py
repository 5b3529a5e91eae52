"""Header cells: a label and its unit, from brackets, from the end of the label, or from a row of units."""

from __future__ import annotations

import re
from collections.abc import Sequence

from .model import Column
from .plugin_channels import families
from .quantities import family, split_reference

_BRACKETS = re.compile(
    r"^(?P<label>.*?)[\s_,;:-]*(?:\[(?P<square>[^\[\]]*)\]|\((?P<round>(?:[^()]|\([^()]*\))*)\))\s*$", re.DOTALL
)
# "Time, s", "p / bar", "Druck in bar", "t_ms", "Rail pressure MPa"
_ENDING = re.compile(r"^(?P<label>.+?)(?P<mark>\s*[,/]\s*|\s+in\s+|[\s_]+)(?P<unit>[^\s_,/]+(?:/[^\s_,/]+)?)$")
# families a workshop's logger records; others (an inch, a litre) would turn words into units
_LOGGED = ("pressure", "time", "current", "ratio", "speed", "temperature", "voltage", "frequency", "resistance")
_NO_UNIT = ("", "-", "--", "---", "n/a", "none", "[]", "()", "1")


def columns_of(header: Sequence[str], units: Sequence[str] | None) -> tuple[Column, ...]:
    """The columns of a header row; `units` is the row of units under it, if there is one."""
    return tuple(
        _column(number, cell.strip(), units[number - 1].strip() if units else "") for number, cell in enumerate(header, 1)
    )


def _column(number: int, cell: str, unit_cell: str) -> Column:
    unit = bare_unit(unit_cell)
    label, bracketed = split_brackets(cell)
    if unit:
        return Column(number, label if bracketed else cell, unit, "units row", cell)
    if bracketed:
        return Column(number, label, bracketed, "brackets", cell)
    label, ending = _split_ending(cell)
    return Column(number, label, ending, "end of label" if ending else "", cell)


def split_brackets(cell: str) -> tuple[str, str]:
    """("Rail pressure", "MPa") of "Rail pressure [MPa]"; ("Rail pressure (actual)", "") where the brackets hold no unit.

    Square brackets hold a unit even if it is not known; round ones only if it is.
    """
    found = _BRACKETS.match(cell)
    if not found:
        return cell, ""
    text = (found["square"] if found["square"] is not None else found["round"]).strip()
    if is_unit(text) or (found["square"] is not None and re.fullmatch(r"[^\W\d]\S*", text) and found["label"]):
        return found["label"].strip() or text, text
    return cell, ""


def _split_ending(cell: str) -> tuple[str, str]:
    found = _ENDING.match(cell)
    if not found:
        return cell, ""
    unit, mark = found["unit"], found["mark"].strip(" ")
    # a lone letter is a name (Channel A) unless something says that a unit follows
    sure = mark in (",", "/", "in") or len(unit) > 1 or unit in ("%", "s")
    return (found["label"], unit) if sure and is_unit(unit) else (cell, "")


def bare_unit(cell: str) -> str:
    """A unit cell without brackets around it; "" where the cell says that there is none."""
    text = cell.strip()
    if text[:1] + text[-1:] in ("[]", "()"):
        text = text[1:-1].strip()
    return "" if text.lower() in _NO_UNIT else text


def is_unit(text: str) -> bool:
    """Whether `text` is the unit of something that a logger records, a gauge or absolute mark included."""
    return text != "1" and (found := family(split_reference(text)[0])) is not None and (found in _LOGGED or found in families())


def unknown_unit(cell: str) -> str:
    """What stands in round brackets at the end of a label and may be a unit that is not known; else ""."""
    found = _BRACKETS.match(cell)
    text = (found["round"] or "").strip() if found else ""
    return text if re.fullmatch(r"[^\W\d]{1,3}|\S{1,8}[/^²³]\S{1,4}", text) else ""


def is_units_row(cells: Sequence[str]) -> bool:
    """Whether a row of cells under the labels is a row of units.

    It is where most are in brackets and nothing else is, or where a third of them is known and all are short.
    """
    filled_cells = [cell.strip() for cell in cells if cell.strip()]
    bracketed = [cell for cell in filled_cells if cell[0] + cell[-1] in ("[]", "()")]
    if 2 * len(bracketed) > len(filled_cells):
        return all(cell in bracketed or not re.search(r"\w", cell) for cell in filled_cells)
    bare = [bare_unit(cell) for cell in cells]
    known = sum(is_unit(text) for text in bare)
    filled = sum(bool(text) for text in bare)
    return known > 0 and 3 * known >= filled and all(len(text) <= 10 for text in bare)
