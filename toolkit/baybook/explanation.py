"""What a calculator is, for a class: what it proves, its formulas, what goes in and comes out, a worked example, sources."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from .columns import wrap
from .dataclass import dataclass
from .language import ENGLISH
from .text import output_lines, step_lines

if TYPE_CHECKING:
    from .declare import Calculator
    from .language import Language


@dataclass(frozen=True)
class Part:
    """A headed part: a paragraph, items, or lines that stand as they are."""

    head: str
    paragraph: str = ""
    items: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()


def parts(calculator: Calculator, language: Language = ENGLISH) -> Iterator[Part]:
    """The parts in their order, those that hold something; the first worked example is worked out."""
    say = language.text
    yield Part(say("What it proves"), say(calculator.proves))
    cautions = tuple(f"{say(caution.signal).upper()}: {say(caution.text)}" for caution in calculator.cautions)
    formulas = tuple(language.figures(say(formula)) for formula in calculator.formulas)
    inputs = tuple(
        _input(parameter.name, say(parameter.field.help), parameter.field, language) for parameter in calculator.parameters
    )
    outputs = tuple(f"{output.label or language.word(name)}: {say(output.help)}" for name, output in calculator.outputs.items())
    meanings = tuple(f"{say(m.seen)}: {say(m.says)}; {say(m.next_test)}" for m in calculator.meanings)
    yield from (
        part
        for part in (
            Part(say("Cautions"), items=cautions),
            Part(say("Formulas"), items=formulas),
            Part(say("What goes in, and its range"), items=inputs),
            Part(say("What comes out"), items=outputs),
            _example(calculator, language),
            Part(say("What it means"), items=meanings),
            Part(say("Sources"), items=tuple(map(say, calculator.sources))),
        )
        if part.items or part.lines
    )


def _input(name: str, help: str, field: object, language: Language) -> str:
    limits: list[Any] = getattr(field, "limits", list)()
    told = ", ".join(f"{language.text(words)} {language.figures(limit.text)}" for limit, _, words in limits)
    return f"{language.word(name)}: {help}" + (f" ({told})" if told else "")


def _example(calculator: Calculator, language: Language) -> Part:
    """The first worked example of the declaration, with the numbers put in."""
    example = calculator.examples[0]
    result = calculator(**example.inputs)
    typed = "; ".join(f"{language.word(name)} {_typed(value)}" for name, value in example.inputs.items())
    lines = (*wrap(language.figures(typed)), "", *step_lines(result, language), "", *output_lines(result, language), "",
             *wrap(f"{language.text('against')}: {language.text(example.source)}"))  # fmt: skip
    return Part(language.text("A worked example"), lines=lines)


def _typed(value: object) -> str:
    return ", ".join(map(str, value)) if isinstance(value, list | tuple) else str(value)


def explanation_lines(calculator: Calculator, language: Language = ENGLISH) -> list[str]:
    """For a terminal."""
    lines = [language.text(calculator.title)]
    for part in parts(calculator, language):
        lines += ["", part.head, *(wrap(part.paragraph) if part.paragraph else [])]
        lines += [line for item in part.items for line in wrap(item, "    ", "  - ")]
        lines += part.lines
    return lines


def explanation_markdown(calculator: Calculator, language: Language = ENGLISH) -> str:
    """As Markdown."""
    blocks = [f"# {language.text(calculator.title)}"]
    for part in parts(calculator, language):
        blocks.append(f"## {part.head}")
        if part.paragraph:
            blocks.append(part.paragraph)
        if part.items:
            blocks.append("\n".join(f"- {item}" for item in part.items))
        if part.lines:
            blocks.append("\n".join(["```text", *part.lines, "```"]))
    return "\n\n".join(blocks) + "\n"
