"""`baybook shop`: what the workshop keeps for all its jobs."""

from __future__ import annotations

import typer

from ..columns import table
from ..registry import registry
from .output import say, say_done
from .usage import Command, Group

app = typer.Typer(
    cls=Group, rich_markup_mode=None, add_completion=False, no_args_is_help=True,
    help="Settings of the workshop: its name, technician, language, usual units, instruments.",
)  # fmt: skip
KEY = typer.Argument(
    metavar="KEY", help='workshop, technician, language, "unit volume", "instrument gauge".', show_default=False
)
TEXT = typer.Argument(
    metavar="TEXT", help='The value; of an instrument its uncertainty: "1 %; rail gauge".', show_default=False
)


@app.command(cls=Command)
def show() -> None:
    """Show the settings and where they lie."""
    from ..shop import folder, shop

    kept = shop()
    rows = [*kept.texts.items(), *((f"unit {name}", unit) for name, unit in kept.units.items())]
    rows += [
        (f"instrument {name}", f"{tool['uncertainty']}  {tool.get('what', '')}".strip())
        for name, tool in kept.instruments.items()
    ]
    say("\n".join([f"{folder() / 'settings.toml'}", *(table(rows) or ["  nothing is set yet: baybook shop set KEY TEXT"])]))


@app.command("set", cls=Command)
def set_(key: str = KEY, text: str = TEXT) -> None:
    """Set one of them.

    Such as: baybook shop set technician "R. Finch"; baybook shop set "instrument gauge" "1 %".
    """
    from ..shop import keep

    registry()  # a plugin may bring the unit
    keep(" ".join(key.split()), text.strip())
    say_done(f"{key}: {text}")
