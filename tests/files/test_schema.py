"""The JSON Schema of format 1 and the reader agree."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import jsonschema_rs
import pytest
from hypothesis import HealthCheck, given, settings

from saywhy.files import write
from saywhy.files.schema import schema, schema_text
from saywhy.puzzle import Puzzle
from tests.files.strategies import puzzles

COMMITTED = Path(__file__).parents[2] / "docs" / "format-1.schema.json"


VALIDATOR = jsonschema_rs.validator_for(schema())


def fits(text: str) -> bool:
    return VALIDATOR.is_valid(tomllib.loads(text))


def test_the_committed_schema_is_current() -> None:
    assert COMMITTED.read_text(encoding="utf-8") == schema_text(), "run make docs"


def test_the_schema_is_a_schema() -> None:
    assert jsonschema_rs.meta.is_valid(json.loads(schema_text()))


@settings(max_examples=50, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(puzzles())
def test_what_saywhy_writes_fits_the_schema(puzzle: Puzzle) -> None:
    assert fits(write(puzzle))


@pytest.mark.parametrize(
    "text",
    [
        "size = 9",
        "format = 2",
        "format = 1\nsize = 17",
        "format = 1\nname = 'x'",
        "format = 1\nrules = ['anti-nite']",
        "format = 1\n[[clue]]\ncells = 'r1c1'",
        "format = 1\n[[clue]]\nrule = 'odd'\ncells = ['r1c1']",
        "format = 1\n[[clue]]\nrule = 'od'\ncells = 'r1c1'",
        "format = 1\n[[clue]]\nrule = 'odd'\nvalue = 'x'",
    ],
)
def test_what_the_reader_refuses_for_its_form_the_schema_refuses_too(text: str) -> None:
    assert not fits(text)
