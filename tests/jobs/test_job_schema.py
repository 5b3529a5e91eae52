"""What a worked-out job prints as JSON fits the schema that is published; the validator is jsonschema's, draft 2020-12."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import jsonschema
import pytest

DEMO = Path(__file__).resolve().parents[2] / "data_demo"


@pytest.mark.parametrize("sheet", sorted(DEMO.glob("*.toml")), ids=lambda path: path.stem)
def test_every_demo_job_fits_the_published_schema(sheet: Path, command: Callable[..., Any]) -> None:
    schema = json.loads(command("schema", "job").out)
    jsonschema.Draft202012Validator.check_schema(schema)
    told = json.loads(command("job", "run", sheet, "--json").out)
    jsonschema.Draft202012Validator(schema).validate(told)
    assert any(step["evidence"] for step in told["steps"])


def test_a_chance_beyond_one_does_not_fit_it(command: Callable[..., Any]) -> None:
    validator = jsonschema.Draft202012Validator(json.loads(command("schema", "job").out))
    told = json.loads(command("job", "run", DEMO / "wagtail_uneven_idle.toml", "--json").out)
    told["places"]["no_fault"] = 1.5
    assert [list(error.path) for error in validator.iter_errors(told)] == [["places", "no_fault"]]
