"""The language of the screen: `--language`, else BAYBOOK_LANGUAGE, else the shop's setting, else English."""

from __future__ import annotations

import os
from collections.abc import Iterable

from ..errors import InputError
from ..language import DECIMAL_SIGNS, ENGLISH, Language, language
from ..settings_folder import kept_language

VARIABLE = "BAYBOOK_LANGUAGE"
HANDBOOK = "baybook_cards"
"""The catalogue of the usual cautions and of what every card says."""


def spoken(code: str | None, packages: Iterable[str]) -> Language:
    """The language asked for, with the named packages' messages. Raises InputError for one that is not there."""
    option, wanted = ("--language", code) if code else (VARIABLE, os.environ.get(VARIABLE, ""))
    if not wanted:
        option, wanted = "language in the shop's settings", kept_language()
    if not wanted or wanted == ENGLISH.code:
        return ENGLISH
    if wanted not in DECIMAL_SIGNS:
        raise InputError.one(option, wanted, "is not a language that is there", f"use {', '.join(sorted(DECIMAL_SIGNS))}")
    return language(wanted, (*packages, HANDBOOK))
