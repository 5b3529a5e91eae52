"""In which state of the engine returns are collected, and what that makes of limits and results. Common practice, no source."""

from __future__ import annotations

from collections.abc import Iterator

from baybook.api import Message, Reading

CONDITIONS = {
    "idle": "engine idling",
    "raised": "engine at raised speed",
    "load": "engine under load",
    "cranking": "starter turning the engine",
}
AT_REST = "static"
"""The engine stands, the rail holds pressure, no injector is driven: what returns then leaks."""
LOW_RAIL = {"cranking": 100.0}
LOW_RAIL_RUNNING = 200.0
"""bar: a rail that injects stands at some 200 to 400 at idle, and a starter has to bring it to some 100 to 200 before the
engine can start."""
LONG_CRANK = 10.0
"""s: no starter should turn for longer at a time."""
CLEARED = Message(
    "At this rail pressure no injector's return is beyond the limit: in this condition no pressure is lost there. This says "
    "nothing about another condition, nor about what the injectors inject."
)
OTHER_STAGES = Message(
    "test supply and generation, and whether the rail holds; for a complaint in another condition the returns are still open, "
    "for an engine that does not start those while cranking"
)
CLEARED_IN = {
    "cranking": (
        Message(
            "While the starter turns no injector's return is beyond the limit, at this rail pressure: a start that fails for "
            "want of pressure is not explained by the returns of the injectors. A leak that opens hot, or at a higher "
            "pressure, is still open."
        ),
        Message(
            "the return of the outlet valve while cranking (calculator return-parts), supply, and how the pressure builds up "
            "(calculator cranking); for a complaint while the engine runs the returns are still open"
        ),
    ),
    AT_REST: (
        Message(
            "At rest, at this rail pressure, no injector leaks back beyond the limit: the seats of their control valves and "
            "their guides hold. What returns while they work is still open; and a nozzle that does not close leaks into its "
            "cylinder, not into the return."
        ),
        Message(
            "the returns while the engine works (calculator returns); whether the shut rail holds (calculator hold); for a "
            "nozzle smoke, knocking and the balance of the cylinders (calculator delivery)"
        ),
    ),
}
"""What a whole set within its limit says in these states, and what comes next."""
OF_LIMIT = {
    "cranking": Message(
        "Judged as at cranking: the limit has to be one for the starter's speed and pressure. One for idle allows far more."
    ),
    AT_REST: Message(
        "Judged as at rest: the limit has to be one for injectors that are not driven, at this rail pressure. One for an "
        "engine that runs allows far more."
    ),
}
LEAKS_AT_REST = Message(
    "What returns at rest leaks past the seat of the control valve or along the guides; a nozzle's seat does not show here."
)
CRANKED = "Collected over {time} of cranking: in turns no longer than the data allow, the starter at rest between them."


def low_rail(condition: str | None, pressure: Reading | None) -> bool:
    """Whether the rail pressure was low for this condition."""
    return pressure is not None and pressure.number("bar") < LOW_RAIL.get(condition or "", LOW_RAIL_RUNNING)


def of_state(condition: str | None, time: Reading, *, judged: bool) -> Iterator[Message]:
    """What a reader must know of the state; judged: whether a limit of flow judges it."""
    if condition == "cranking" and time.number("s") > LONG_CRANK:
        yield Message(CRANKED, time=time)
    if condition == AT_REST:
        yield LEAKS_AT_REST
    if judged and condition in OF_LIMIT:
        yield OF_LIMIT[condition]
