"""What can be at fault where too little or too much reaches the pump, and what each further reading takes off or points at.

All of it common practice, no source.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping

from baybook.api import Message

SUSPECTS: Mapping[str, Message] = {
    "tank": Message("the tank (level, vent, strainer)"),
    "line": Message("the feed line (kinked or blocked)"),
    "filter": Message("the filter (blocked, or wax in it)"),
    "tank pump": Message("the tank pump"),
    "tank pump wiring": Message("the tank pump's supply (fuse, relay, wiring, drive)"),
    "intermediate pump": Message("the intermediate pump"),
    "intermediate pump wiring": Message("the intermediate pump's supply (fuse, relay, wiring, drive)"),
    "suction pump": Message("the suction pump on the high-pressure pump"),
    "air": Message("air that is drawn in on the way"),
    "overflow": Message("the valve that holds the feed pressure"),
    "draw": Message("too great a draw behind the gauge (returns, outlet valve, a leak)"),
    "return": Message("the return line (blocked or pinched)"),
}
PUMPS = ("tank pump", "intermediate pump")
WIRING = {f"{pump} wiring" for pump in PUMPS}
SOURCE = {"tank", "line", *PUMPS, *WIRING, "air"}
OF_CASE: Mapping[str, Collection[str]] = {
    "starved": SOURCE | {"filter", "suction pump", "overflow", "draw"},
    "sucking": SOURCE - {"air"} | {"filter", "draw"},
    "slack": {"suction pump", "air"},
    "overfed": {"overflow", "return"},
}
"""What can bring about a feed pressure that is low, a depression that is great, one that is small, a pressure that is high."""
SAYS: Mapping[str, Message] = {
    "starved": Message("less reaches the gauge than is drawn off behind it"),
    "sucking": Message("the fuel is held back before the gauge: a restriction, or a pump before it that does not push"),
    "slack": Message("the suction pump draws too little, or it draws air"),
    "overfed": Message("what is not needed does not get away"),
}
CLEARS: Mapping[str, set[str]] = {
    "filter drop within": {"filter"},
    "voltage drop within": WIRING,
    "current within": WIRING,
    "free within": {"tank", "line"} | WIRING,
    "loaded within": SOURCE - {"air"} | {"filter", "suction pump"},
    "free below": {"overflow", "draw", "filter"},
    "loaded below": {"overflow", "draw"},
    "comes back": SOURCE - {"air"} | {"filter", "draw"},
    "air none": {"air"},
    "idle within": {"overflow"},
}
"""A worn pump may deliver freely and take its usual current, and yet not hold a pressure: neither takes it off."""
POINTS: Mapping[str, set[str]] = {
    "filter drop above": {"filter"},
    "voltage drop above": WIRING,
    "no current": WIRING,
    "comes back": {"overflow"},
    "air drawn in": {"air"},
    "tank pump silent": {"tank pump", "tank pump wiring"},
    "intermediate pump silent": {"intermediate pump", "intermediate pump wiring"},
}
TESTS: Mapping[str, tuple[set[str], Message]] = {
    "voltage drop": (WIRING, Message("battery and pump voltage with the electric pump running")),
    "current": ({*PUMPS, *WIRING}, Message("the electric pump's current, clamp fitted with the key off")),
    "air": ({"air"}, Message("a clear hose before the pump, fitted at zero pressure: bubbles?")),
    "filter drop": ({"filter"}, Message("pressure before and after the filter at the same time")),
    "flow": (
        {"tank", "line", *PUMPS, "overflow", "draw"},
        Message("flow by timed volume (volume; or reading supply pump delivery)"),
    ),
}
"""What each test decides between, in the order of how little has to be opened."""


def left(case: str, seen: Iterable[str], missing: Collection[str]) -> tuple[list[Message], bool]:
    """Who is left to suspect, and whether a reading points there; missing: parts that are not fitted."""
    seen = set(seen)
    whole = [name for name in SUSPECTS if name in OF_CASE[case] and name.removesuffix(" wiring") not in missing]
    pointed = {name for word in seen for name in POINTS.get(word, ())}
    cleared = {name for word in seen for name in CLEARS.get(word, ())}
    found = [name for name in whole if name in pointed] or [name for name in whole if name not in cleared]
    return [SUSPECTS[name] for name in found], any(name in pointed for name in whole)


def tests(case: str, done: Collection[str], missing: Collection[str]) -> list[Message]:
    """The two tests, not made yet, that decide between them with least opened."""
    parts = {name for name in OF_CASE[case] if name.removesuffix(" wiring") not in missing}
    return [said for name, (between, said) in TESTS.items() if name not in done and between & parts][:2]
