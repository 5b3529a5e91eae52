"""How the uncertainty of readings reaches what is worked out of them."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, Protocol, overload

from .dataclass import dataclass, field
from .draws import Draws
from .errors import PluginError
from .estimate import Estimate
from .kinds import KINDS, Kind
from .reading import COVERAGE, HALF_OF_RECTANGLE, Reading
from .units import Unit

Input = Reading | Estimate | float | Sequence["Reading | Estimate | float"]
Slot = tuple[str, int | None]
DRAWS = 6000
NEARLY_STRAIGHT = 0.5  # a joint move may miss the straight line's forecast by this share of it before draws are taken
STEEP = 6.0  # a whole step may change the output by so many times the half step's; a parabola does four times


class Declared(Protocol):
    """A declared output, as far as propagation reads it."""

    @property
    def kind(self) -> str: ...  # noqa: D102  # the declaration says it
    @property
    def at_least(self) -> float | None: ...  # noqa: D102
    def shown_unit(self) -> str: ...  # noqa: D102


Wanted = str | Unit | Kind | Declared
OUTCOME = "what is worked out"


@dataclass(frozen=True)
class Shared:
    """An error that several inputs have in common, such as that of the one meter they were read on (JCGM 100:2008, 5.2).

    inputs: their names; u95: its 95 % half-width, in the unit in which they are handed over, or with `relative` as a share of
    each value. What the readings themselves carry is then only their own.
    """

    inputs: tuple[str, ...]
    u95: float
    relative: bool = False


@dataclass
class Source:
    """One independent source of error: by how much it moves each place, down and up, at its 95 % half-width."""

    even: bool = False  # equally likely within its limits, not normal
    moves: dict[Slot, tuple[float, float]] = field(default_factory=dict)

    @property
    def weight(self) -> float:
        """Its 1.96 standard uncertainties over its 95 % half-width."""
        return COVERAGE / HALF_OF_RECTANGLE if self.even else 1.0


@overload
def propagate(function: Callable[..., float], units: Wanted, shared: Sequence[Shared] = (), /, **inputs: Input) -> Estimate: ...
@overload
def propagate(
    function: Callable[..., Any], units: Mapping[str, Wanted], shared: Sequence[Shared] = (), /, **inputs: Input
) -> dict[str, Estimate]: ...
def propagate(
    function: Callable[..., Any], units: Mapping[str, Wanted] | Wanted, shared: Sequence[Shared] = (), /, **inputs: Input
) -> dict[str, Estimate] | Estimate:
    """Work out `function` at the inputs' values and give every output its 95 % interval.

    function: pure; takes each input as a float (a tuple of floats for a sequence), in the unit that the input has;
        returns a mapping or a named tuple of floats, or one float.
    units: for each output the unit's symbol ("" for a pure number), the name of its kind ("temperature difference": in that
        kind's own unit), or its declaration. Outputs not named here are left out. Of a function that returns one float this
        alone, in place of the mapping: one estimate comes back.
    inputs: readings and estimates are varied, each alone, to both ends of its 95 % interval, and never beyond what is
        possible for it; floats are exact. The same reading handed over twice, in whatever unit, moves as one.
    shared: errors that several readings have in common.

    The changes up and down are added in squares, each side for itself (JCGM 100:2008, 5.1.3 note 2, taken to both sides so
    that a curved function keeps an uneven interval), and are never more than all of them together. Where the function bends
    too much for that (near a pole, at a kink) its interval is drawn: 95 % of a fixed series of draws (JCGM 101:2008).
    Raises what `function` raises at the inputs' values; PluginError for a value there that is not finite.

    >>> def flow(volume, time):
    ...     return {"flow": volume / time}
    >>> volume, time = Reading.of(20, "mL", u95=0.4), Reading.of(2, "min", u95=0.03)
    >>> found = propagate(flow, {"flow": "mL/min"}, volume=volume, time=time)["flow"]
    >>> round(found.value, 2), round(found.low, 2), round(found.high, 2)  # 2 % and 1.5 % make 2.5 %
    (10.0, 9.75, 10.25)
    >>> propagate(lambda volume, time: volume / time, "mL/min", volume=volume, time=time) == found
    True
    """
    if not isinstance(units, Mapping):
        return propagate(lambda **values: {OUTCOME: function(**values)}, {OUTCOME: units}, shared, **inputs)[OUTCOME]
    model = _Model(function, inputs, tuple(shared))
    centre = model({})
    for name in units:
        if not math.isfinite(centre[name]):
            raise PluginError(f"{name} comes out as {centre[name]}")
    sides = {name: _sides(model, name, centre[name]) for name in units}
    bent = [name for name, found in sides.items() if found is None]
    if bent:
        drawn = _drawn(model, bent)
        sides.update({name: (min(drawn[name][0], centre[name]), max(drawn[name][1], centre[name])) for name in bent})
    return {name: _estimate(centre[name], wanted, sides[name] or (0.0, 0.0)) for name, wanted in units.items()}


def propagate_each(
    function: Callable[[Sequence[float]], Sequence[float]], unit: Wanted, items: Sequence[Reading | None], of: str
) -> tuple[Estimate | None, ...]:
    """What `function` makes of several readings together, such as the shares of each, in their places; None where nothing was
    read.

    function: takes their values in the unit `of`, without the gaps, and gives one for each; unit: of what it gives.
    """
    read = {str(at): item.to(of) for at, item in enumerate(items) if item is not None}
    found = propagate(lambda xs: dict(zip(read, function(xs), strict=True)), dict.fromkeys(read, unit), xs=tuple(read.values()))
    return tuple(found.get(str(at)) for at in range(len(items)))


def _estimate(value: float, wanted: Wanted, sides: tuple[float, float]) -> Estimate:
    low, high = sides
    if isinstance(wanted, str) and wanted in KINDS:
        wanted = KINDS[wanted]
    if isinstance(wanted, str | Unit):
        return Estimate(value, wanted, low, high)
    if isinstance(wanted, Kind):
        return Estimate(value, wanted.unit, low, high, wanted)
    kind = None if wanted.kind == "any" else wanted.kind
    return Estimate(value, wanted.shown_unit(), low, high, kind, wanted.at_least)


class _Model:
    """The function with its inputs; calling it with moves gives the outputs, by name, and remembers them."""

    def __init__(self, function: Callable[..., Any], inputs: Mapping[str, Input], shared: Sequence[Shared]) -> None:
        self.function, self.inputs = function, inputs
        self.values = {slot: _value(item) for slot, item in _places(inputs)}
        self.possible = {slot: _possible(item) for slot, item in _places(inputs)}
        self.sources = [*_sources(inputs), *_shared(shared, self.values)]
        self._known: dict[tuple[tuple[int, float], ...], Mapping[str, float] | None] = {}

    def __call__(self, moves: Mapping[int, float]) -> Mapping[str, float]:
        """The outputs with each source of that number moved by so many of its half-widths."""
        values = dict(self.values)
        for number, size in moves.items():
            for slot, (down, up) in self.sources[number].moves.items():
                values[slot] += size * (up if size > 0 else down)
        for slot, (low, high) in self.possible.items():
            values[slot] = min(max(values[slot], -math.inf if low is None else low), math.inf if high is None else high)
        arguments = {
            name: tuple(values[name, place] for place in range(len(given)))
            if isinstance(given, Sequence)
            else values[name, None]
            for name, given in self.inputs.items()
        }
        result = self.function(**arguments)
        found: Mapping[str, float] = result if isinstance(result, Mapping) else result._asdict()
        return found

    def at(self, moves: tuple[tuple[int, float], ...]) -> Mapping[str, float] | None:
        """The same, worked out once for each; None where there is no value."""
        if moves not in self._known:
            try:
                self._known[moves] = self(dict(moves))
            except (ArithmeticError, ValueError):
                self._known[moves] = None
        return self._known[moves]

    def change(self, moves: tuple[tuple[int, float], ...], name: str, centre: float) -> float:
        """By how much the output moves; nan where it has no value."""
        found = self.at(moves)
        return math.nan if found is None or not math.isfinite(found[name]) else found[name] - centre


def _places(inputs: Mapping[str, Input]) -> Iterator[tuple[Slot, Reading | Estimate | float]]:
    for name, given in inputs.items():
        if isinstance(given, Sequence):
            yield from (((name, place), item) for place, item in enumerate(given))
        else:
            yield (name, None), given


def _value(item: Reading | Estimate | float) -> float:
    if isinstance(item, Reading) and item.bound:
        raise PluginError(f"{item.text} is only a bound, and cannot be worked with as a value")
    return item.value if isinstance(item, Reading | Estimate) else item


def _possible(item: Reading | Estimate | float) -> tuple[float | None, float | None]:
    if isinstance(item, Reading):
        return item.possible
    return (item.at_least, None) if isinstance(item, Estimate) else (None, None)


def _sources(inputs: Mapping[str, Input]) -> list[Source]:
    """Every reading and estimate with an error; the same one in several places is one source."""
    found: dict[int, Source] = {}
    for slot, item in _places(inputs):
        if isinstance(item, Reading) and item.u > 0:
            found.setdefault(id(item.origin), Source(item.assumed)).moves[slot] = (item.half_width, item.half_width)
        elif isinstance(item, Estimate) and item.high > item.low:
            sides = item.value - item.low, item.high - item.value
            found.setdefault(id(item.origin), Source(item.assumed > 0)).moves[slot] = sides
    return list(found.values())


def _shared(shared: Sequence[Shared], values: Mapping[Slot, float]) -> list[Source]:
    found = []
    for error in shared:
        slots = [slot for slot in values if slot[0] in error.inputs]
        sizes = {slot: error.u95 * (values[slot] if error.relative else 1.0) for slot in slots}
        found.append(Source(moves={slot: (size, size) for slot, size in sizes.items()}))
    return found


def _sides(model: _Model, name: str, centre: float) -> tuple[float, float] | None:
    """The interval of an output; None where the function bends too much for it."""
    up = down = most_up = most_down = 0.0
    rising: dict[int, float] = {}
    for number, source in enumerate(model.sources):
        whole = [model.change(((number, sign),), name, centre) for sign in (1.0, -1.0)]
        half = [model.change(((number, sign / 2),), name, centre) for sign in (1.0, -1.0)]
        if any(_bends(*pair, centre) for pair in zip(whole, half, strict=True)):
            return None
        high, low = max(*whole, 0.0), min(*whole, 0.0)
        up, down = up + (source.weight * high) ** 2, down + (source.weight * low) ** 2
        most_up, most_down = most_up + high, most_down + low
        rising[number] = whole[0] - whole[1]
    found = min(up**0.5, most_up), min(down**0.5, -most_down)
    if len(rising) > 1 and not _straight(model, name, centre, rising, found):
        return None
    return centre - found[1], centre + found[0]


def _bends(whole: float, half: float, centre: float) -> bool:
    """Whether between nothing, half a step and a whole one the output turns back, leaps or is lost."""
    if math.isnan(whole) or math.isnan(half):
        return True
    noise = 1e-9 * max(abs(centre), 1e-300)
    if abs(whole) <= noise and abs(half) <= noise:
        return False
    return whole * half < 0 or abs(half) > 1.05 * abs(whole) + noise or abs(whole) > STEEP * abs(half) + noise


def _straight(model: _Model, name: str, centre: float, rising: dict[int, float], sides: tuple[float, float]) -> bool:
    """Whether moving all inputs at once, as is likeliest for a high and for a low output, gives what the sum foretells."""
    length = sum(change * change for change in rising.values()) ** 0.5
    if length == 0:
        return True
    for sign, forecast in ((1.0, sides[0]), (-1.0, -sides[1])):
        together = tuple((number, sign * change / length) for number, change in rising.items() if change)
        change = model.change(together, name, centre)
        if not abs(change - forecast) <= NEARLY_STRAIGHT * (abs(forecast) + 1e-9 * abs(centre)):
            return False
    return True


def _drawn(model: _Model, names: list[str]) -> dict[str, tuple[float, float]]:
    """For each output the 2.5 % and the 97.5 % quantile of a fixed series of draws; those without a value are left out."""
    import random

    chance = random.Random(20081008)  # the same draws each time: a result can be repeated
    found: dict[str, list[float]] = {name: [] for name in names}
    for _ in range(DRAWS):
        try:
            outputs = model({number: _size(model, number, chance) for number in range(len(model.sources))})
        except (ArithmeticError, ValueError):
            continue
        for name in names:
            if math.isfinite(outputs[name]):
                found[name].append(outputs[name])
    lost = [name for name in names if len(found[name]) < DRAWS / 20]
    if lost:
        raise PluginError(f"{', '.join(lost)}: has no value for nearly all of what the readings leave possible")
    drawn = {name: Draws(values, "") for name, values in found.items()}
    return {name: (draws.quantile(0.025), draws.quantile(0.975)) for name, draws in drawn.items()}


def _size(model: _Model, number: int, chance: Any) -> float:
    """A draw of how far a source moves, in its half-widths, again and again until every place it moves is possible."""
    source = model.sources[number]
    for _ in range(60):
        size = chance.uniform(-1, 1) / 0.95 if source.even else chance.gauss(0, 1 / COVERAGE)
        if all(_inside(model, slot, size * (up if size > 0 else down)) for slot, (down, up) in source.moves.items()):
            break
    return float(size)


def _inside(model: _Model, slot: Slot, move: float) -> bool:
    low, high = model.possible[slot]
    value = model.values[slot] + move
    return (low is None or value > low) and (high is None or value < high)
