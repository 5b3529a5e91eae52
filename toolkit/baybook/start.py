"""The program's entry. What needs nothing but a look-up is answered here; everything else goes to `baybook.cli`.

Light: whatever is imported here is paid by every command.
"""

from __future__ import annotations

import codecs
import os
import sys

TYPE_CHECKING = False
if TYPE_CHECKING:
    from .plugins.index import Index


def main() -> int:
    """Run the command line on the process's arguments; returns the exit code.

    What is printed has left the process before it ends, so that a full disk is told in a line and not lost with exit code 0.
    """
    arguments = sys.argv[1:]
    code = 0
    try:
        make_ready()
        code = _answer(arguments)
        sys.stdout.flush()
    except (Exception, KeyboardInterrupt) as error:
        from .cli.edge import told

        return told(error, as_json="--json" in arguments, otherwise=code)
    return code


def make_ready() -> None:
    """Standard streams that every text can go through, also where one is closed or has an encoding with few characters."""
    if sys.stdin is None:
        sys.stdin = open(os.devnull, encoding="utf-8")  # noqa: SIM115  # for the whole run; an empty file
    if sys.stdout is None:  # what cannot be written to, so that whatever is printed fails, and is not lost in silence
        sys.stdout = open(os.open(os.devnull, os.O_RDONLY), "w", encoding="utf-8")  # noqa: SIM115
    if sys.stderr is None:
        sys.stderr = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115
    codecs.register_error("fitting", _fitting)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="fitting")


def _fitting(error: UnicodeError) -> tuple[str, int]:
    from .cli.printing import fitting

    assert isinstance(error, UnicodeEncodeError)
    return fitting(error.object[error.start : error.end]), error.end


def _answer(arguments: list[str]) -> int:
    if arguments == ["--version"]:
        from . import __version__

        sys.stdout.write(f"baybook {__version__}\n")
        return 0
    text = _quick_answer(arguments)
    if text is not None:
        sys.stdout.write(text)
        return 0
    if len(arguments) > 1 and not arguments[0].startswith("-"):
        from .cli.plain import answer

        code = answer(arguments)
        if code is not None:
            return code
    from .cli.main import run

    return run(arguments)


def _quick_answer(arguments: list[str]) -> str | None:
    """What the calculator's own quick function says to plain arguments; None where the ordinary way has to answer."""
    import os

    if os.environ.get("BAYBOOK_LANGUAGE", "en") != "en":
        return None
    if len(arguments) < 2 or any(argument.startswith("--") for argument in arguments):
        return None
    from .plugins import index

    found = index.read()
    if found is None:
        return None
    for calculator in found.calculators():
        if calculator.name == arguments[0] and calculator.quick:
            text = _call(found, calculator.quick, arguments[1:])
            if text is not None:
                for line in found.complaints():
                    from .cli.printing import complain

                    complain(line)
            return text
    return None


def _call(found: Index, quick: str, arguments: list[str]) -> str | None:
    from .plugins import index

    module, _, function = quick.partition(":")
    try:
        index.add_units(found)
        answer = getattr(__import__(module, fromlist=[function]), function)(arguments)
    except (Exception, SystemExit):  # the ordinary way meets the same fault and tells it properly
        return None
    return answer if isinstance(answer, str) else None


if __name__ == "__main__":
    sys.exit(main())
