"""The page on puzzle files says what the reader does."""

from __future__ import annotations

import re
from pathlib import Path

import msgspec
import pytest

from saywhy.engine import prove
from saywhy.errors import SaywhyError
from saywhy.files import limits, read_text
from saywhy.files.format1 import ClueFields, PuzzleFields

DOCS = Path(__file__).parents[2] / "docs"
FILES = (DOCS / "puzzle-files.md").read_text(encoding="utf-8")


def example() -> str:
    [block] = re.findall(r"```toml\n(.*?)```", FILES, re.DOTALL)
    return str(block)


def test_the_example_file_is_fit_to_air() -> None:
    [puzzle] = read_text(example())
    assert (puzzle.title, puzzle.grid.size, len(puzzle.clues)) == ("Low tide", 6, 2)
    assert prove(puzzle).verdict == "unique"


def test_the_mistakes_shown_are_told_so() -> None:
    text = example().replace(". . . | . . .", ". . | . . .", 1).replace("thermometer", "thermometr")
    text = text.replace("r6c3", "r7c3")
    with pytest.raises(SaywhyError) as caught:
        read_text(text, "tide.toml")
    [shown] = re.findall(r"```text\n(.*?)```", FILES, re.DOTALL)
    assert str(caught.value).splitlines() == shown.splitlines()


def test_every_field_of_the_format_is_on_the_page() -> None:
    for kind in (PuzzleFields, ClueFields):
        for info in msgspec.structs.fields(kind):
            assert f"`{info.encode_name}`" in FILES or f"`[[{info.encode_name}]]`" in FILES


def test_the_bounds_on_the_page_are_those_of_the_reader() -> None:
    for bound in (
        f"{limits.MOST_BYTES // 1024} KiB",
        f"{limits.LONGEST_LINE:,} bytes",
        f"| clues | {limits.MOST_CLUES:,} |",
        f"| groups of a clue | {limits.MOST_GROUPS} |",
        f"{limits.LONGEST_TITLE} characters",
        f"{limits.LARGEST_NUMBER:,}",
        f"after {limits.MOST_BAD_LINES} lines",
    ):
        assert bound in FILES
