"""Fields of the hold test that state a setting or an uncertainty, not a reading."""

from __future__ import annotations

from typing import Any

from baybook.api import KINDS, Quantity, Reading


class Setting(Quantity):
    """A quantity that states an error or a setting: typed without ± it is exact, not good to half its last digit."""

    def parse(self, raw: Any) -> Reading:
        """The reading. Raises Refused."""
        reading = super().parse(raw)
        return Reading(reading.value, reading.unit, reading.kind, 0.0 if reading.assumed else reading.u, text=reading.text)


def setting(kind: str, help: str, **options: Any) -> Setting:
    """A field for a setting of that kind."""
    return Setting(help, kind=KINDS[kind], **options)
