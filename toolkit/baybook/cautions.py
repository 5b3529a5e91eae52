"""The usual cautions, said before any number. Signal words as in ANSI Z535.4, symbols as in ISO 7010.

Facts: references beside each. They defer to maker's data, local rules and licensed practice. Below them the short caution of a
test that is to be made next, from what is declared of where a hand goes for it: what a sentence says already is not said twice.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Literal, get_args

from .dataclass import dataclass
from .message import Message, joined

if TYPE_CHECKING:
    from .declare import Calculator
    from .places.place import Place
    from .places.sense import Sense

Signal = Literal["danger", "warning", "caution", "notice"]
"""ANSI Z535 signal words, from will-kill-or-maim down to no injury."""
SIGNALS: tuple[Signal, ...] = get_args(Signal)


class CardDataError(ValueError):
    """Cautions or card data that can't be printed: the message says which part of which card and why."""


def one_of(value: str, choices: tuple[str, ...], what: str) -> None:
    """Raise CardDataError where `value` is none of the choices."""
    if value not in choices:
        raise CardDataError(f"{what}: {value!r} is not one of {', '.join(choices)}")


def filled(value: str, what: str) -> None:
    """Raise CardDataError for a text without a letter."""
    if not value.strip():
        raise CardDataError(f"{what}: the text is empty")


@dataclass(frozen=True)
class Caution:
    """A caution: its signal word, its text, the ISO 7010 symbols that stand beside it ("W001"), and what a small card says.

    Raises CardDataError (a ValueError) for a signal word that there is not and for an empty text.
    """

    signal: Signal
    text: str
    symbols: tuple[str, ...] = ("W001",)
    short: str = ""

    def __post_init__(self) -> None:
        one_of(self.signal, SIGNALS, "signal word of a caution")
        filled(self.text, "caution")

    @property
    def brief(self) -> str:
        """What a small card has room for: `short`, or the text up to its first full stop."""
        head, stop, _ = self.text.partition(". ")
        return self.short or (head + "." if stop else self.text)

    def to_dict(self) -> dict[str, object]:
        """For JSON."""
        return {"signal": self.signal, "text": self.text, "symbols": list(self.symbols)}


# about 0.7 MPa can breach skin; injection injuries look small and need surgery at once (hand-surgery texts; Verhoeven and
# Hierner, Strat. Traum. Limb Recon. 3 (2008) 27-33; Hogan and Ruland, J. Orthop. Trauma 20 (2006) 503-511)
HIGH_PRESSURE = Caution(
    "danger",
    "Fuel at rail pressure goes through skin and gloves. Never search for a leak by hand and never open a line under pressure. "
    "Stop the engine, wait as long as the vehicle's data say, and prove by a reading that the rail is at zero. "
    "An injection injury is a surgical emergency, even when it looks small and does not hurt.",
    ("W-JET", "M002"),
    "Never feel for a leak: jets pierce skin.",
)
FLAMMABLE = Caution(
    "warning",
    "Fuel burns, and as a mist it burns below its flash point. No flame, no sparks, no hot surfaces; "
    "catch and wipe up what runs out.",
    ("W021", "P003"),
    "Fuel mist burns: no flame, no sparks.",
)
HIGH_VOLTAGE = Caution(
    "danger",
    "Injector drivers store dangerous voltage. Do not unplug or probe injectors on a running engine; key off and wait first.",
    ("W012",),
    "Running: unplug no injector.",
)
STARTING = Caution(
    "warning",
    "The engine may start or turn without notice. Keep hands, hair, sleeves and leads away from belts, fans and hot parts.",
    ("W001", "W017"),
    "The engine may start: keep clear.",
)
# common practice, no source; the symbols are ISO 7010's
RUNNING_ENGINE = Caution(
    "warning",
    "An engine that runs or cranks: extract the exhaust gas. Neutral or P, brake on, wheels chocked; on a lift "
    "the vehicle is secured and nobody stands below it. Exhaust and returning fuel are hot. The fan may start by itself, also "
    "with the key off. Keep a fire extinguisher in reach. Let the starter rest between cranks. Wear ear protection.",
    ("W001", "W017", "M003"),
    "Extract exhaust; P, brake, chocks; mind the fan.",
)
CONTROL_LOSS = Caution(
    "danger",
    "Do not unplug a pressure control on a running engine: rail pressure may rise without limit or the engine may stop.",
    ("W001",),
    "Unplug no pressure control on a running engine.",
)
MAKERS_DATA = Caution(
    "notice",
    "The maker's data for this vehicle, local rules and licensed practice come before anything that is written here.",
    ("M002",),
    "Maker's data, local rules, licensed practice come first.",
)

TOUCHED = {
    "high pressure": (
        Message("rail seen to fall to zero"),
        re.compile(r"\b(rail|pressure)\b[^;]*\b(at|to|proved) zero\b"),
    ),
    "live wiring": (Message("key off"), re.compile(r"\bkey off\b")),
    "low side": (Message("low side let off"), re.compile(r"\b(engine stopped|relieve)\b")),
}
"""By where a hand goes, the worst first: what has to be so before, and in which words a sentence says it itself."""
OPENED = {"high side opened": "high pressure", "low side opened": "low side", "live wiring": "live wiring"}
NAMED = re.compile(r"\(calculator ([a-z0-9-]+)\)")
"""A calculator that a sentence names: "collect the returns (calculator returns)"."""


def touched(sense: Sense | None, calculator: Calculator | None = None) -> frozenset[str]:
    """Where a hand goes for a test, by the keys of `TOUCHED`; none where nothing of that is touched."""
    found = {OPENED.get(sense.hands, ""), sense.near} if sense else set[str]()
    if calculator is not None:
        found |= {action.hands for action in calculator.how.actions}
    return frozenset(found & set(TOUCHED))


def touched_by(calculator: Calculator) -> frozenset[str]:
    """The same of a calculator; of one that is many tests what its procedure says."""
    sense = calculator.sense
    return touched(sense if hasattr(sense, "hands") else None, calculator)  # type: ignore[arg-type]  # the others have none


def mended_at(place: Place) -> frozenset[str]:
    """Where a hand goes to mend a place: of the supply its low side or its wires, else what is under pressure or sits on it."""
    if place.stage != "supply":
        return frozenset({"high pressure"})
    return frozenset({"low side" if place.side == "hydraulic" else "live wiring"})


def cautioned(test: str, hands: frozenset[str]) -> Message:
    """The sentence with the short cautions that it needs and does not say itself; as it is where it needs none."""
    found = [said for word, (said, itself) in TOUCHED.items() if word in hands and not itself.search(test)]
    return Message("{test} [first: {hands}]", test=Message.of(test), hands=joined(found, ", ")) if found else Message.of(test)


def next_test_of(calculator: Calculator, test: str) -> Message:
    """A finding's next test, cautioned as the calculators that it names are, else as the one whose finding it is.

    Of one that is not in use nothing is known of where its hands go.
    """
    names = NAMED.findall(test)
    known = [calculator.surroundings.touches(name) for name in names]
    found = frozenset().union(*(TOUCHED.keys() if hands is None else hands for hands in known))
    return cautioned(test, found if names else touched_by(calculator))
