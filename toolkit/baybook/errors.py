"""What may go wrong, in words for a person. Light: it is on the fastest path.

Two families. `InputError` is for what a user gave: every wrong input at once, one line each, exit code 2.
`PluginError` is for a mistake of a plugin's author: a user is never told that it is theirs.
"""

from __future__ import annotations

TYPE_CHECKING = False  # typing, and collections with its abc, cost what a whole conversion does
if TYPE_CHECKING:
    from collections.abc import Iterable


class Problem:
    """One wrong input: which, the value given, why not, and what would do. `given` is None for a missing one."""

    __slots__ = ("given", "hint", "input", "why")

    def __init__(self, input: str, given: object, why: str, hint: str = "") -> None:
        self.input, self.given, self.why, self.hint = input, given, why, hint

    def __str__(self) -> str:
        start = f"{self.input}: " if self.input else ""
        given = "" if self.given is None else f"{_quoted(self.given)} "
        return f"{start}{given}{self.why}" + (f"; {self.hint}" if self.hint else "")

    def to_dict(self) -> dict[str, object]:
        """The same parts for JSON."""
        given = None if self.given is None else str(self.given)
        return {"input": self.input, "given": given, "why": self.why, "hint": self.hint}


def _quoted(given: object) -> str:
    text = " ".join(str(given).split())
    is_path = hasattr(given, "parts")  # the end of a path is what tells files apart
    return f'"{text[:60]}…"' if len(text) > 60 and not is_path else f'"{text}"'


class BaybookError(Exception):
    """The base of both families."""

    exit_code = 1

    def to_dict(self) -> dict[str, object]:
        """The error for `--json`."""
        return {"error": {"exit_code": self.exit_code, "message": str(self), "problems": []}}


class InputError(BaybookError):
    """Input that cannot be used: `problems` has a line for each. Exit code 2."""

    exit_code = 2

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(map(str, self.problems)))

    @classmethod
    def one(cls, input: str, given: object, why: str, hint: str = "") -> InputError:
        """An error of a single wrong input."""
        return cls([Problem(input, given, why, hint)])

    def to_dict(self) -> dict[str, object]:
        """The error for `--json`, with every problem's parts."""
        problems = [problem.to_dict() for problem in self.problems]
        return {"error": {"exit_code": self.exit_code, "message": str(self), "problems": problems}}


class Refused(ValueError):
    """Raised while one value is read, before it is known which input it belongs to: why not, and what would do."""

    def __init__(self, why: str, hint: str = "") -> None:
        super().__init__(f"{why}; {hint}" if hint else why)
        self.why, self.hint = why, hint


class PluginError(BaybookError):
    """A plugin did not keep to the interface. Exit code 1."""


class MissingLibrary(BaybookError):
    """A system or optional library that a command needs is not there; the text says the line that installs it."""


def in_short(error: BaseException) -> str:
    """What somebody else's code raised, in one line that fits a screen: the error's type and the beginning of its text."""
    text = " ".join(str(error).split())
    shown = f"{text[:200]}…" if len(text) > 200 else text
    return f"{type(error).__name__}: {shown}" if shown else type(error).__name__
