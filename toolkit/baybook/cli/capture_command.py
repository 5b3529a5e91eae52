"""`baybook capture`: what is in a logged file."""

from __future__ import annotations

import typer

from ..errors import InputError, Refused
from .calculators import CHANNEL_UNIT, COLUMN, DECIMAL, JSON, RATE
from .inputs import capture_input
from .output import say, say_json
from .progress import progress
from .usage import Command

app = typer.Typer(rich_markup_mode=None, add_completion=False)
FILE = typer.Argument(metavar="FILE", help="A text file that a logger or an oscilloscope wrote.", show_default=False)


@app.command(cls=Command, no_args_is_help=True)
def capture(
    file: str = FILE,
    column: list[str] | None = COLUMN,
    channel_unit: list[str] | None = CHANNEL_UNIT,
    rate: str | None = RATE,
    decimal: str | None = DECIMAL,
    as_json: bool = JSON,
) -> None:
    """Say what was recognised in a logged file, what was dropped and why."""
    from ..captures import describe
    from ..captures.request import CaptureRequest

    try:
        request = CaptureRequest.parse(capture_input(file, column, channel_unit, rate, decimal), {})
    except Refused as error:
        raise InputError.one("FILE", file, error.why, error.hint) from error
    with progress(file) as tell:
        report = request.read(lambda done, total: tell(f"{file} {100 * done // max(total, 1)} %")).report
    if as_json:
        say_json(report.to_dict())
    else:
        say("\n".join(describe(report)))
