"""Which column is which channel: by the label that the user names, by words that leave no doubt, or not at all."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping, Sequence
from unicodedata import normalize

from ..dataclass import dataclass, field, replace
from ..errors import Problem, Refused
from . import quantities
from .labels import is_unit, split_brackets, unknown_unit
from .model import Column
from .plugin_channels import plugin_channels


@dataclass(frozen=True)
class Known:
    """A channel that calculators ask for: its family of units and the words in a label that leave no doubt.

    words, but_not, with_unit: regular expressions, all of it somewhere in the label; with_unit: words that will do only in a
    column whose unit is of the family.
    """

    what: str
    family: str
    words: str
    but_not: str = ""
    with_unit: str = ""


_SET = r"(?<!off)set\b|set ?point|target|desired|demand|command|\bcmd\b|request|wanted|soll|nominal|reference|vorgabe|anforder"
_NO_READING = (
    r"deviat|differ|\bdiff\b|error|correct|threshold|limit|\bmax|\bmin\b|minimum|model|calculat|previous|\bdrop\b|delta|δ|offset|"
    r"gradient|abweich|differenz|fehler|korrekt|schwelle|grenz|modell|berechnet|vorherig|abfall"
)
_NOT_RAIL = r"boost|charge|turbo|manifold|intake|\boil\b|supply|feed|\blow|lade|saugrohr|\böl|vorlauf|nieder|fuel press"
_DUTY = r"duty|\bdc\b|d\.c\.|pwm|tastverh"
_CURRENT = r"current|\bi\b|strom"
_INLET = r"inlet|suction|meter|\bmv\b|intake|zumess"
_COIL = r"coil|spule|solenoid|magnet|injector|injektor"
_VALVES = r"inlet|outlet|suction|\bmv\b|\bpcv\b|\bprv\b|metering|zumess|regel|pressure|druck"
_OUTLET = r"outlet|pressure ?(control|regulat)|\bpcv\b|\bprv\b|regel"
# common practice, no source: the words of loggers' labels
KNOWN: dict[str, Known] = {
    "t": Known(
        "time",
        "time",
        r"\btime\b|^t$|\bzeit\b|uhrzeit|time ?stamp|^x( value)?$|^temps$|^tiempo$|^tijd$|"
        r"^tempo$|^hora$|^heure$|^tid$|^czas$|^aika$|^millis$|^micros$|elapsed|\bseconds?\b|^secs?$",
    ),
    "rail": Known("rail pressure", "pressure", r"rail", rf"{_SET}|{_NO_READING}|low|supply|feed|valve"),
    "set": Known(
        "rail pressure setpoint",
        "pressure",
        rf"(?=.*rail).*({_SET})",
        rf"{_NOT_RAIL}|{_NO_READING}",
        rf"(?=.*({_SET})).*(press|druck)",
    ),
    "d_mv": Known("duty of the inlet metering valve", "ratio", rf"(?=.*({_DUTY})).*({_INLET})", r"outlet"),
    "i_mv": Known("current of the inlet metering valve", "current", rf"(?=.*({_CURRENT})).*({_INLET})", r"outlet"),
    "d_pcv": Known("duty of the outlet pressure-control valve", "ratio", rf"(?=.*({_DUTY})).*({_OUTLET})", r"inlet|suction"),
    "i_pcv": Known(
        "current of the outlet pressure-control valve", "current", rf"(?=.*({_CURRENT})).*({_OUTLET})", r"inlet|suction"
    ),
    "rpm": Known("crank speed", "speed", r"\brpm\b|engine speed|crank\w* speed|drehzahl|\bn eng\b|motordrehzahl"),
    "low": Known(
        "low-side supply pressure",
        "pressure",
        r"(?=.*(supply|\bfeed\b|\blow\b|lift pump|transfer)).*(press|druck|\bp\b)|vordruck|niederdruck|inlet pressure|"
        r"(vorlauf|zulauf|f(ö|oe)rder)druck",
        rf"rail|\bhigh\b|hochdruck|\bhd\b|\boil\b|\böl|boost|turbo|lade|brems|brake|{_SET}|{_NO_READING}",
        r"supply|\bfeed\b|low|vorlauf|vorf(ö|oe)rder",
    ),
    "i_coil": Known("coil current", "current", rf"(?=.*({_CURRENT})).*({_COIL})", _VALVES),
    "u_coil": Known("coil voltage", "voltage", rf"(?=.*(voltage|\bu\b|spannung)).*({_COIL})", _VALVES),
}
OWN = frozenset(KNOWN)
"""Baybook's own channels; plugins add others."""


def add_offered() -> None:
    """Make the channels that plugins offer known to this process."""
    for name, *known in plugin_channels():
        KNOWN.setdefault(name, Known(*known))


@dataclass
class Mapped:
    """The outcome: a column for each channel, notes on what was inferred, problems for the user, and open questions."""

    channels: dict[str, Column] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    questions: list[Problem] = field(default_factory=list)


def assign(
    columns: Sequence[Column],
    named: Mapping[str, str],
    units: Mapping[str, str],
    wanted: Collection[str],
    also: Collection[str] = (),
) -> Mapped:
    """Columns for the channels `named` (channel: label), for those `wanted`, and those of `also` that a label's words settle.

    With nothing named or wanted, every known channel that words settle. The time, unless it is named, is not among them: see
    `time_source`. One of `also` is left out, with a note, where two columns could be it or where it has no unit.
    """
    found = Mapped()
    for channel, label in named.items():
        _take_named(found, columns, channel, label)
    add_offered()
    asked = list(dict.fromkeys((*wanted, *also)))
    looked_for = [name for name in (asked or ([] if set(named) - {"t"} else KNOWN)) if name not in (*named, "t")]
    for channel in looked_for:
        _take_by_words(found, columns, channel, must=channel in wanted)
    _refuse_twice(found)
    for channel in [name for name in also if name not in (*named, *wanted, *units)]:
        _leave_out_without_unit(found, channel)
    for channel, column in found.channels.items():
        if channel != "t":
            found.channels[channel] = _with_unit(found, channel, column, units.get(channel))
    for channel in units.keys() - found.channels.keys() - {"t"}:
        found.problems.append(
            Problem(
                f"unit of {channel}",
                units[channel],
                "is for a channel that is not read",
                f'name its column: --column {channel}="…"',
            )
        )
    return found


def _take_named(found: Mapped, columns: Sequence[Column], channel: str, label: str) -> None:
    fits = matching(columns, label)
    if len(fits) == 1:
        found.channels[channel] = fits[0]
        if _norm(label) not in (_norm(fits[0].label), _norm(fits[0].header), f"column {fits[0].number}"):
            found.notes.append(f'{channel} is read from "{fits[0].name}", the only column with "{label}" in its label.')
    elif fits:
        found.problems.append(
            Problem(
                channel,
                label,
                f"is the label of {len(fits)} columns",
                "say which: " + " or ".join(f'"column {column.number}"' for column in fits),
            )
        )
    else:
        found.problems.append(Problem(channel, label, "is no column of the file", "use one of " + listed(columns)))


def matching(columns: Sequence[Column], label: str) -> list[Column]:
    """The columns meant by `label`: exactly, or but for case and blanks, or by number, or as a part of one label."""
    tests: tuple[Callable[[Column], bool], ...] = (
        lambda column: label in (column.label, column.header),
        lambda column: _norm(label) in (_norm(column.label), _norm(column.header)),
        lambda column: _norm(label) == f"column {column.number}",
        lambda column: bool(_norm(label)) and _norm(label) in _norm(column.header),
    )
    for test in tests:
        fits = [column for column in columns if test(column)]
        if fits:
            return fits
    return []


def _take_by_words(found: Mapped, columns: Sequence[Column], channel: str, must: bool) -> None:
    taken = {column.number for column in found.channels.values()}
    fits = [column for column in candidates(columns, channel) if column.number not in taken]
    if len(fits) == 1:
        found.channels[channel] = fits[0]
        found.notes.append(f'{channel} is read from "{fits[0].name}", by its label.')
    elif fits or must:
        what = KNOWN[channel].what if channel in KNOWN else channel
        why = "more than one column could be" if fits else "no column is plainly"
        question = Problem(
            channel, None, f"{why} the {what}", f'say which: --column {channel}="…" with one of ' + listed(fits or columns)
        )
        (found.problems if must else found.questions).append(question)


def candidates(columns: Sequence[Column], channel: str) -> list[Column]:
    """The columns whose label and unit suit a known channel."""
    known = KNOWN.get(channel)
    if known is None:
        return []
    return [column for column in columns if _suits(column, known)]


def _suits(column: Column, known: Known) -> bool:
    words = re.sub(r"[_\W]+", " ", column.label.casefold()).strip()
    unit, _ = quantities.split_reference(column.unit)
    if is_unit(column.unit) and quantities.family(unit) != known.family and not _is(unit, known.family):
        return False
    if known.but_not and re.search(known.but_not, words):
        return False
    if known.with_unit and re.search(known.with_unit, words) and _is(unit, known.family):
        return True
    return bool(re.search(known.words, words))


def names_a_channel(label: str) -> bool:
    """Whether a label is one of a known channel."""
    return any(_suits(Column(1, label), known) for known in KNOWN.values())


def _is(unit: str, family: str) -> bool:
    try:
        return bool(quantities.check(unit, family))
    except Refused:
        return False


def _refuse_twice(found: Mapped) -> None:
    for channel, column in found.channels.items():
        first = next(name for name, other in found.channels.items() if other.number == column.number)
        if first != channel:
            found.problems.append(Problem(channel, column.name, f"is already read as {first}", "name another column"))


def _with_unit(found: Mapped, channel: str, column: Column, option: str | None) -> Column:
    """The column with the unit that counts: the option's before the file's; its problems are added to `found`."""
    known = KNOWN.get(channel)
    family = known.family if known else ""
    if option:
        if column.unit and column.unit != option:
            found.notes.append(f"{channel}: {option} is used as told, not the file's {column.unit}.")
        column = replace(column, unit=option, unit_from="option")
    if not column.unit and channel == "rpm":
        found.notes.append("rpm has no unit in the file; it is taken as rpm.")
        return replace(column, unit="rpm", unit_from="inferred")
    if not column.unit:
        _unit_missing(found, channel, column, family)
        return column
    if column.unit_from == "end of label":
        found.notes.append(f'{channel}: the unit {column.unit} is taken from the end of the label "{column.header}".')
    if problem := two_units(channel, column):
        found.problems.append(problem)
    _check_unit(found, channel, column, family)
    return column


def two_units(channel: str, column: Column) -> Problem | None:
    """What to say of a column whose label has one unit and the row of units another; None where they agree."""
    label = split_brackets(column.header)[1]
    if column.unit_from != "units row" or not (is_unit(label) and is_unit(column.unit)) or _same(label, column.unit):
        return None
    would_do = f"give the right one: --channel-unit {channel}={label}, or {channel}={column.unit}"
    return Problem(channel, column.header, f"and the row of units, {column.unit}, contradict each other", would_do)


def _same(one: str, other: str) -> bool:
    (a, marked), (b, also) = (quantities.split_reference(text) for text in (one, other))
    return quantities.check(a, "") == quantities.check(b, "") and len({marked, also} - {""}) < 2


def _leave_out_without_unit(found: Mapped, channel: str) -> None:
    column = found.channels.get(channel)
    if column is not None and not column.unit and channel != "rpm":
        del found.channels[channel]
        found.notes.append(f'{channel} ("{column.name}") is left out: it has no unit in the file; give it: --channel-unit.')


def _unit_missing(found: Mapped, channel: str, column: Column, family: str) -> None:
    if family:
        choices = " or ".join(f"{channel}={unit}" for unit in quantities.CHOICES.get(family, ()))
        found.problems.append(Problem(channel, column.name, "has no unit in the file", f"give it: --channel-unit {choices}"))
    else:
        unknown = unknown_unit(column.header)
        found.notes.append(f'{channel} ("{column.name}") has no unit' + (f' that is known: "{unknown}".' if unknown else "."))


def _check_unit(found: Mapped, channel: str, column: Column, family: str) -> None:
    unit, _ = quantities.split_reference(column.unit)
    try:
        quantities.check(unit, family)
    except Refused as refused:
        if family or column.unit_from == "option":
            where = f"unit of {channel}" if column.unit_from == "option" else f'{channel} from "{column.name}"'
            found.problems.append(Problem(where, column.unit, refused.why, refused.hint))


def listed(columns: Sequence[Column]) -> str:
    """The columns for a message; a name that occurs twice, or none, by its number."""
    labels = [column.label for column in columns]
    return ", ".join(
        f'"{column.label}"'
        if column.label and labels.count(column.label) == 1
        else f'"column {column.number}"' + (f" ({column.label})" if column.label else "")
        for column in columns
    )


def _norm(text: str) -> str:
    return " ".join(normalize("NFKC", text).casefold().split())  # ü may be one character or two
