"""What the commands print: texts made harmless for a terminal, JSON that keeps every character. Light: no imports at once."""

from __future__ import annotations

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

# Control characters, which may clear or overwrite what a terminal shows, and those that turn the direction of writing
_HARMFUL = [*range(0x20), *range(0x7F, 0xA0), *range(0x202A, 0x202F), *range(0x2066, 0x206A)]
_SHOWN = {code: "\ufffd" for code in _HARMFUL if chr(code) not in "\n\t"}
_ESCAPED = {code: f"\\u{code:04x}" for code in _SHOWN}


def harmless(text: str) -> str:
    """The text with a replacement character for each that could do more to a terminal than show itself."""
    return text.translate(_SHOWN)


def json_text(data: Any) -> str:
    """The data as JSON; what could harm a terminal, or is not in its encoding, is escaped, so that nothing is lost."""
    import json
    import sys

    encoding = getattr(sys.stdout, "encoding", None) or "utf-8"
    return json.dumps(data, ensure_ascii=not encoding.lower().startswith("utf"), indent=2).translate(_ESCAPED)


def say(text: str) -> None:
    """Print a text on standard output at once. Whoever reads it may have seen enough before its end."""
    try:
        print(harmless(text), flush=True)
    except BrokenPipeError:
        leave_off()


def say_done(text: str) -> None:
    """Print what has been done and cannot be called off: on standard error where standard output takes nothing."""
    try:
        say(text)
    except OSError:
        leave_off()
        complain(text)


def complain(text: str, end: str = "\n") -> None:
    """Print a text on standard error, where that takes it."""
    import sys

    try:
        print(harmless(text), end=end, file=sys.stderr, flush=True)
    except OSError:
        leave_off("stderr")


def say_json(data: Any) -> None:
    """Print data on standard output, as JSON."""
    say(json_text(data))


def leave_off(name: str = "stdout") -> None:
    """Nothing more goes to the stream; what still waits to be written is dropped, and Python neither tells of it nor lets the
    process end with a code of its own, as from 3.14 on it does for standard error too."""
    import contextlib
    import os
    import sys

    with contextlib.suppress(OSError, ValueError):  # a stream of a test has no number
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, getattr(sys, name).fileno())
        os.close(nowhere)


_PLAIN = {
    "…": "...", "→": "->", "±": "+-", "\u2212": "-", "–": "-", "·": "*", "×": "x", "≤": "<=", "≥": ">=", "°": "deg", "µ": "u",
    "μ": "u", "Ω": "ohm", "\u2126": "ohm", "√": "sqrt ", "∞": "inf", "ß": "ss", "ä": "ae", "ö": "oe", "ü": "ue", "Ä": "Ae",
    "Ö": "Oe", "Ü": "Ue", "\u202f": " ", "‰": "per mille",
}  # fmt: skip


def fitting(text: str) -> str:
    """The text in plain letters, for an encoding that has not its characters: "5 ± 1 Ω … 7" is "5 +- 1 ohm ... 7"."""
    return "".join(_PLAIN.get(character) or _spelled(character) for character in text)


def _spelled(character: str) -> str:
    import unicodedata

    words = unicodedata.name(character, "").split()
    if words[:1] == ["GREEK"] and words[2:3] == ["LETTER"]:
        return words[3].lower()
    return unicodedata.normalize("NFKD", character).encode("ascii", "ignore").decode() or "?"
