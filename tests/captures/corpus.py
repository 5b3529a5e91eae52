"""All files of the corpus: see `made`."""

from __future__ import annotations

from .made import Case
from .made_dates import dates, thousands
from .made_recorders import recorders
from .made_scopes import acquisition, scopes


def cases() -> list[Case]:
    """All of them."""
    return [case for group in (scopes, acquisition, recorders, dates, thousands) for case in group()]
