"""The one place that turns what goes wrong into a line for a person, or into JSON, and an exit code."""

from __future__ import annotations

import os
import sys

from ..errors import BaybookError, InputError
from .output import complain, leave_off, say_json

MOST_LINES = 200
"""Of one error; a screen holds fewer."""
STOPPED = "stopped; nothing was written"


def told(error: BaseException, *, as_json: bool, otherwise: int = 0) -> int:
    """Tell the error; the exit code: 1 for a fault of ours or a plugin's, 2 for input that cannot be used or output that cannot
    be written, 130 when stopped. `otherwise`: the code where whoever read the output has seen enough of it.
    """
    if isinstance(error, BrokenPipeError):
        leave_off()
        return otherwise
    if isinstance(error, KeyboardInterrupt):
        complain(_stopped())
        return getattr(error, "exit_code", 130)
    if isinstance(error, FileNotFoundError) and error.filename is None:
        error = InputError.one("working folder", None, "is gone", "change to a folder that exists")
    if isinstance(error, OSError) and error.filename is None:
        return _output_lost(error)
    if not isinstance(error, BaybookError):
        if not isinstance(error, OSError | UnicodeEncodeError) and os.environ.get("BAYBOOK_TRACEBACK"):
            raise error
        error = _in_our_words(error)
    return _tell(error, as_json)


def _stopped() -> str:
    files = sys.modules.get("baybook.files")  # loaded where something may have been written
    written = getattr(files, "written", ())
    return f"stopped; written before: {', '.join(dict.fromkeys(written))}" if written else STOPPED


def _in_our_words(error: BaseException) -> BaybookError:
    if isinstance(error, UnicodeEncodeError):
        given = error.object[error.start : error.start + 1].encode("ascii", "backslashreplace").decode()
        return InputError.one("", given, "is no text that can be written", "type it again, in UTF-8")
    if isinstance(error, OSError):
        return InputError.one("", error.filename, f"cannot be used: {error.strerror or error}")
    words = f"{type(error).__name__}: {error}"
    return BaybookError(f"a fault of Baybook's own: {words}; BAYBOOK_TRACEBACK=1 shows where")


def _tell(error: BaybookError, as_json: bool) -> int:
    try:
        if as_json:
            say_json(error.to_dict())
            return error.exit_code
    except OSError:
        leave_off()
    lines = str(error).splitlines()
    for line in lines[:MOST_LINES]:
        complain(line)
    if len(lines) > MOST_LINES:
        complain(f"… and {len(lines) - MOST_LINES} more like these; mend the first, and look again")
    return error.exit_code


def _output_lost(error: OSError) -> int:
    """Files are named by the commands that write them; what has no name is standard output."""
    leave_off()
    why = f"cannot be written to, and what was to be printed is lost: {error.strerror or error}"
    complain(str(InputError.one("standard output", None, why, "send it to a file or pipe that takes it")))
    return 2
