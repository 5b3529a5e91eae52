"""What the readings of the supply need of each other."""

from __future__ import annotations

from collections.abc import Iterator

from baybook.api import Problem, Reading, SpecRange


def something_read(
    idle: Reading | None, load: Reading | None, cranking: Reading | None, volume: Reading | None, air: str | None,
    pump_current: Reading | None, pump_voltage: Reading | None, tank_pump: str | None, intermediate_pump: str | None,
) -> Iterator[Problem]:  # fmt: skip
    """Without any reading there is nothing to work out."""
    read = (idle, load, cranking, volume, air, pump_current, pump_voltage)
    if not any(item is not None for item in read) and "silent" not in (tank_pump, intermediate_pump):
        yield Problem("load", None, "is missing, and so is every other reading",
                      "give what was read, such as load 3.8 bar, or volume 1000 mL and time 30 s")  # fmt: skip


def flow_needs(volume: Reading | None, flow_limit: SpecRange | None) -> Iterator[Problem]:
    """A range of the flow is for a flow."""
    if flow_limit is not None and volume is None:
        yield Problem("volume", None, "is needed for the flow limit", "give volume and time, such as 1000 mL and 30 s")


def downhill(
    before_filter: Reading | None, load: Reading | None, battery_voltage: Reading | None, pump_voltage: Reading | None
) -> Iterator[Problem]:
    """Neither pressure nor voltage is higher downstream: places or moments were mixed up, and such a drop clears nothing."""
    if certainly_less(before_filter, load):
        yield Problem("before_filter", before_filter and before_filter.text, "is less than the pressure behind the filter",
                      "read both at the same moment, and give the one before the filter here")  # fmt: skip
    if certainly_less(battery_voltage, pump_voltage):
        yield Problem("pump_voltage", pump_voltage and pump_voltage.text, "is more than the battery has",
                      "read both at the same moment, the pump running")  # fmt: skip


def certainly_less(one: Reading | None, other: Reading | None) -> bool:
    """Whether a reading lies below another by more than both are uncertain."""
    return one is not None and other is not None and one.interval[1] < other.to(one.unit.symbol).interval[0]
