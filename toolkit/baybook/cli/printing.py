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
    """The data as JSON; what could harm a terminal is escaped, so that nothing of the data is lost."""
    import json

    return json.dumps(data, ensure_ascii=False, indent=2).translate(_ESCAPED)


def say(text: str) -> None:
    """Print a text on standard output."""
    print(harmless(text))


def complain(text: str) -> None:
    """Print a text on standard error."""
    import sys

    print(harmless(text), file=sys.stderr)


def say_json(data: Any) -> None:
    """Print data on standard output, as JSON."""
    print(json_text(data))
