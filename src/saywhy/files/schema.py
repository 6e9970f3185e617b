"""The JSON Schema of puzzle format 1, generated from the structs that files are read into."""

from __future__ import annotations

from typing import Any

import msgspec

from saywhy import rules
from saywhy.files.format1 import PuzzleFields


def schema() -> dict[str, Any]:
    """
    Give the schema of format 1.

    A TOML file that a schema-aware editor checks against it reads here too, as far as a schema can tell:
    cells on the grid, unbroken paths and possible values are beyond it.
    """
    made = msgspec.json.schema(PuzzleFields)
    clue, puzzle = (made["$defs"][name]["properties"] for name in ("ClueFields", "PuzzleFields"))
    clue["rule"]["enum"] = list(rules.clue_rules())
    puzzle["rules"]["items"]["enum"] = list(rules.grid_rules())
    puzzle["all-given"]["items"]["enum"] = list(rules.pair_rules())
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Saywhy puzzle file, format 1",
        **made,
    }


def schema_text() -> str:
    """Give the schema as the text of a file."""
    return msgspec.json.format(msgspec.json.encode(schema()), indent=2).decode() + "\n"
