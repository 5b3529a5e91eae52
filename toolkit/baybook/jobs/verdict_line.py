"""What a step says in one line: what is outside, what is open, what is within; else its first finding."""

from __future__ import annotations

from ..result import Result, Verdict

WORDS = ("outside", "undecided", "within")


def verdict_line(result: Result) -> str:
    """The line; "" where the step judged and found nothing."""
    parts = []
    for word in WORDS:
        by_name: dict[str, list[str]] = {}
        for verdict in result.verdicts:
            if verdict.verdict == word:
                by_name.setdefault(_name(verdict), []).extend([str(verdict.index)] if verdict.index else [])
        if by_name:
            named = [" ".join([name, ", ".join(numbers)]).strip() for name, numbers in by_name.items()]
            parts.append(f"{', '.join(named)} {word}")
    if parts:
        return "; ".join(parts)
    return str(result.findings[0].statement).partition(". ")[0].rstrip(".") if result.findings else ""


def _name(verdict: Verdict) -> str:
    return (verdict.output or str(verdict.what)).replace("_", " ")
