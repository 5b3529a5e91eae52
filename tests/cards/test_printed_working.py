"""Each printed working gives its printed result: the numbers of the demo reports put through a pocket calculator."""

from __future__ import annotations

import ast
import math
import operator
import re
from pathlib import Path

import pytest

from baybook.jobs.evaluation import work_out
from baybook.jobs.report import report_data
from baybook.jobs.sheet import read_sheet

DEMO = sorted((Path(__file__).resolve().parents[2] / "data_demo").glob("*.toml"))
UNIT = re.compile(r"(?<=\d) ?(?:kg/m3|mL/min|mL|min|bar|MPa|ohm|mm|°C|%|V|A|s)(?![\w])")
KEYS = {ast.Add: operator.add, ast.Sub: operator.sub, ast.Mult: operator.mul, ast.Div: operator.truediv, ast.Pow: operator.pow}


def worked(text: str) -> float | None:
    """What the numbers give; None where a letter or a word is left that no number stands for."""
    for sign, key in (("·", "*"), ("−", "-"), ("^", "**"), ("{", "("), ("}", ")")):
        text = text.replace(sign, key)
    try:
        return _value(ast.parse(UNIT.sub("", text).strip(), mode="eval").body)
    except (SyntaxError, KeyError, ValueError):
        return None


def _value(node: ast.expr) -> float:
    if isinstance(node, ast.BinOp):
        return float(KEYS[type(node.op)](_value(node.left), _value(node.right)))
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "ln":
        return math.log(_value(node.args[0]))
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        return -_value(node.operand)
    if isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        return float(node.value)
    raise ValueError(ast.dump(node))


def test_the_pocket_calculator() -> None:
    """Plain arithmetic, by hand."""
    assert worked("3.30 ohm - 0.200 ohm") == pytest.approx(3.1)
    assert worked("13.90 V · (1 - 0.31)") == pytest.approx(9.591)
    assert worked("(800/492)^0.5") == pytest.approx(1.27515, abs=1e-5)
    assert worked("2 · ln(7.389056)") == pytest.approx(4.0, abs=1e-6)
    assert worked("Q · ρ/ρ") is None


WITHOUT_WORKING = ("sandpiper_no_start_filter",)
"""Jobs of readings and observations alone: each is judged as it was read, and nothing is worked out."""


@pytest.mark.parametrize("path", DEMO, ids=lambda path: path.stem)
def test_each_printed_working_gives_its_printed_result(path: Path) -> None:
    """Within one of the last printed digit, and no working still holds a letter."""
    letters, wrong, checked = [], [], 0
    for step in report_data(work_out(read_sheet(path)))["steps"]:
        for line in step["result"]["steps"] if step["result"] else ():
            found, printed = worked(line["numbers"]), re.match(r"-?[\d.]+", line["result"])
            if found is None or printed is None:
                letters.append((step["result"]["calculator"], line["what"]))
                continue
            checked += 1
            digit = 10.0 ** -len(printed[0].partition(".")[2])
            if abs(found - float(printed[0])) > digit:
                wrong.append((line["numbers"], line["result"], found))
    assert wrong == []
    assert letters == []
    assert checked >= 2 or path.stem in WITHOUT_WORKING


def test_the_hold_by_hand_agrees_with_the_fit() -> None:
    """From 945 bar to 12 the leak falls ninefold: the working is taken about the mean pressure."""
    result = work_out(read_sheet(next(path for path in DEMO if path.stem == "heath_no_start_hot"))).steps[0].result
    assert result is not None
    by_hand = {step.what.partition(",")[0]: float(str(step.result).split()[0]) for step in result.steps}
    for what, output in (("leak at line", "leak_at_line"), ("brought to the reference pressure", "leak_collected")):
        fitted = result.outputs[output]
        assert fitted.low <= by_hand[what] <= fitted.high, what


def test_a_ratio_stands_with_its_verdict() -> None:
    """The verdict table of a report tells each injector's percentage, not the limit alone."""
    for path in DEMO:
        for step in report_data(work_out(read_sheet(path)))["steps"]:
            for verdict in step["result"]["verdicts"] if step["result"] else ():
                assert verdict["measured"] is not None, (path.stem, verdict["what"])
