"""The reaches that a sheet changes: `[reach."feed pressure"]`, by place or kind of place, in place of what is declared."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, TypeAlias

from ..dataclass import replace
from ..errors import PluginError, Problem
from ..places.need import between
from ..places.sense import Question, Sense

Reach: TypeAlias = Mapping[str, Mapping[str, Mapping[str, float]]]
"""By test and question ("*": each that looks there, or all) the chance for each pattern of place."""
ALL = "*"


def reach_of(table: Mapping[str, Any], problems: list[Problem]) -> Reach:
    """The sheet's `[reach]`; what is wrong with it is added to the problems."""
    found: dict[str, dict[str, dict[str, float]]] = {}
    for test, changes in table.items():
        where = f'[reach."{test}"]'
        if not isinstance(changes, Mapping):
            problems.append(Problem(where, changes, "is not a table", f'write {where} above a line such as "filter" = 0.8'))
            continue
        for name, value in changes.items():
            by_question = {name: value} if isinstance(value, Mapping) else {ALL: {name: value}}
            for word, chances in by_question.items():
                problems += _problems(where, chances)
                found.setdefault(test, {}).setdefault(word, {}).update(chances)
    return found


def _problems(where: str, chances: Mapping[str, Any]) -> Iterator[Problem]:
    from ..places.known import is_known
    from .offered import added_places

    for pattern, chance in chances.items():
        if not is_known(pattern, added_places()):
            yield Problem(where, pattern, "is no place that a vehicle can have", 'use one, such as "filter" or "injector *"')
        try:
            between("a reach", chance if isinstance(chance, int | float) else -1)
        except PluginError:
            yield Problem(f"{where}, {pattern}", chance, "is no chance", "give a number between 0 and 1, such as 0.8")


def unused(reach: Reach, senses: Mapping[str, Sense], taken: set[str]) -> Iterator[Problem]:
    """What the table says of a test, or of a question, that there is not. taken: names that steps give to readings."""
    from difflib import get_close_matches

    for test, changes in reach.items():
        if test not in senses and test not in taken:
            close = get_close_matches(test, [*senses, *taken], n=1)
            hint = f"did you mean {close[0]}?" if close else "use the name of a test, or of a reading of this sheet"
            yield Problem("[reach]", test, "is no test that is known", hint)
        questions = senses[test].questions if test in senses else {"": None}
        for word in changes:
            if word != ALL and word not in questions:
                named = ", ".join(filter(None, questions))
                hint = f"use {named}, or no question" if named and "" in questions else f"use {named or 'no question'}"
                yield Problem(f'[reach."{test}"]', word, "is no question of it", hint)


def changed(sense: Sense, test: str, reach: Reach) -> Sense:
    """The sense with the sheet's reaches put in; one that no question has yet goes to all of them."""
    if test not in reach:
        return sense
    questions = dict(sense.questions)
    for word, chances in reach[test].items():
        for pattern, chance in chances.items():
            having = [name for name, question in questions.items() if pattern in question.reach]
            for name in (having or list(questions)) if word == ALL else [word]:
                questions[name] = _with(questions[name], pattern, chance)
    return replace(sense, questions=questions, source=f"{sense.source}; the sheet's own")


def _with(question: Question, pattern: str, chance: float) -> Question:
    return replace(question, reach={**question.reach, pattern: chance})
