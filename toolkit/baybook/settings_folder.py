"""Where the user's settings lie, and the language that is set there. Light: on the way of every calculator's command."""

from __future__ import annotations

import os
import sys


def home() -> str:
    """The user's home folder. Where there is none (a container's user without HOME and without an entry), a place that holds
    nothing and in which nothing can be made: a folder by the name of `~` in every current folder would be no settings.
    """
    found = os.path.expanduser("~")
    return found if os.path.isabs(found) else os.devnull


def settings_folder() -> str:
    """The user's folder of settings: BAYBOOK_CONFIG, else where the system keeps such."""
    own = os.environ.get("BAYBOOK_CONFIG")
    if own:
        return own
    if sys.platform in ("darwin", "win32"):
        from platformdirs import user_config_dir

        return user_config_dir("baybook", appauthor=False)
    base = os.environ.get("XDG_CONFIG_HOME") or os.path.join(home(), ".config")
    return os.path.join(base, "baybook")


def kept_language() -> str:
    """The language that is set, read from its line alone; "" where none is."""
    try:
        with open(os.path.join(settings_folder(), "settings.toml"), encoding="utf-8") as file:
            lines = [line.partition("=")[2] for line in file if line.startswith("language")]
    except (OSError, UnicodeDecodeError):
        return ""
    return lines[0].strip().strip("\"'") if lines else ""
