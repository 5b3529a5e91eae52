"""The program's entry. What needs nothing but a look-up is answered here; everything else goes to `baybook.cli`.

Light: whatever is imported here is paid by every command.
"""

from __future__ import annotations

import _signal  # type: ignore[import-not-found]  # built in; `signal` itself takes as long to load as a conversion
import codecs
import io
import os
import sys

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

    from .plugins.index import Index


is_program = False
"""Whether the process is our command, whose signals and timer are ours."""


class Stopped(KeyboardInterrupt):
    """Ctrl-C, or the system has asked the process to end. exit_code: 128 and the signal's number."""

    def __init__(self, exit_code: int) -> None:
        super().__init__()
        self.exit_code = exit_code


def program() -> int:
    """`main` as a program of its own: in its first and its last moment too Ctrl-C leaves one line and 130, SIGTERM 143."""
    told = [signal for signal in (_signal.SIGINT, _signal.SIGTERM) if _signal.getsignal(signal) != _signal.SIG_IGN]
    for signal in told:
        _signal.signal(signal, _stop_at_once)
    sys.unraisablehook = _lost
    global is_program
    is_program = True
    code = main(stoppable=told)
    for signal in told:
        _signal.signal(signal, _signal.SIG_IGN)  # all is done and told
    return code


def _stop_at_once(number: int, frame: object) -> None:
    """While nothing is there yet that had to be cleaned up."""
    os.write(2, b"stopped; nothing was written\n")
    os._exit(128 + number)


def _stop(number: int, frame: object) -> None:
    """Let everything be cleaned up and told. A second Ctrl-C does not disturb that, unless it takes longer than a moment."""
    import time

    since = time.monotonic()

    def again(number: int, frame: object) -> None:
        if time.monotonic() - since > 2.0:
            _stop_at_once(number, frame)

    _signal.signal(number, again)
    raise Stopped(128 + number)


def _lost(unraisable: sys.UnraisableHookArgs) -> None:
    """A stop that came where no exception gets out, in a callback of Python's own: it stops all the same."""
    if isinstance(unraisable.exc_value, Stopped):
        _stop_at_once(unraisable.exc_value.exit_code - 128, None)
    sys.__unraisablehook__(unraisable)


def main(stoppable: Sequence[int] = ()) -> int:
    """Run the command line on the process's arguments; returns the exit code. stoppable: signals that stop it.

    What is printed has left the process before it ends, so that a full disk is told in a line and not lost with exit code 0.
    """
    arguments = sys.argv[1:]
    code = 0
    try:
        for signal in stoppable:
            _signal.signal(signal, _stop)
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
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if type(stream) is io.TextIOWrapper:  # Python's own, and no test's
            setattr(sys, name, _safe(stream))
        elif hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="fitting")


class Safe(io.TextIOWrapper):
    """A stream through which no text of a file, a plugin or a person does more to a terminal than show itself."""

    def write(self, text: str) -> int:
        """Write it, with a replacement character for each that is not one to be shown."""
        if text.replace("\n", "").isprintable():
            return super().write(text)
        from .cli.output import harmless

        return super().write(harmless(text))


def _safe(stream: io.TextIOWrapper) -> Safe:
    """The stream with its settings, taken over from it."""
    through, lines = stream.write_through, stream.line_buffering
    encoding = stream.encoding
    return Safe(stream.detach(), encoding, "fitting", line_buffering=lines, write_through=through)


def _fitting(error: UnicodeError) -> tuple[str, int]:
    from .cli.output import fitting

    assert isinstance(error, UnicodeEncodeError)
    return fitting(error.object[error.start : error.end]), error.end


def _answer(arguments: list[str]) -> int:
    if arguments == ["--version"]:
        from . import __version__

        sys.stdout.write(f"baybook {__version__}\n")
        return 0
    text = _converted(arguments[1:]) if arguments[:1] == ["convert"] else None
    if text is not None:
        sys.stdout.write(text)
        return 0
    return _worked_out(arguments)


def _worked_out(arguments: list[str]) -> int:
    """By the shortest way that can; a command is over before the garbage collector's rounds give back what they take."""
    import gc

    gc.set_threshold(100_000)
    code = _by_shortest_way(arguments)
    gc.freeze()  # so that the interpreter has nothing to go through when it ends
    return code


def _by_shortest_way(arguments: list[str]) -> int:
    if len(arguments) > 1 and not arguments[0].startswith("-"):
        from .cli.direct import answer

        code = answer(arguments)
        if code is not None:
            return code
    from .cli.main import run

    return run(arguments)


def _converted(words: list[str]) -> str | None:
    """The answer to a plain conversion; None where the calculator has to answer, which loads thirty times as much."""
    if not words or any(word.startswith("--") for word in words) or not _speaks_english():
        return None
    from .plugins import index

    found = index.read()
    if found is None or not _is_ours(found):
        return None
    from .conversion import plain_answer

    index.add_units(found)
    text = plain_answer(words)
    if text is not None:
        for line in found.complaints():
            from .cli.output import complain

            complain(line)
    return text


def _speaks_english() -> bool:
    from .settings_folder import kept_language

    return (os.environ.get("BAYBOOK_LANGUAGE") or kept_language() or "en") == "en"


def _is_ours(found: Index) -> bool:
    """Whether `convert` is on offer, and is the one that the core knows."""
    owner = found.owner("calculator", "convert")
    return owner is not None and owner.module.startswith("baybook_plugins.convert")
