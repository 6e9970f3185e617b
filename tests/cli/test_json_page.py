"""The page on JSON names all that is printed."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from tests.running import Command

PAGE = (Path(__file__).parents[2] / "docs" / "json.md").read_text(encoding="utf-8")


def keys(held: Any) -> Iterator[str]:
    """Give every key of an object and of the objects in it."""
    if isinstance(held, dict):
        yield from held
        for value in held.values():
            yield from keys(value)
    elif isinstance(held, list):
        for value in held:
            yield from keys(value)


def test_every_key_that_a_command_prints_is_on_the_page(
    saywhy: Command, tide: Path, clash: Path, lines: Path
) -> None:
    board = tide.with_name("board.json")
    board.write_text("{}")
    printed = [
        *saywhy("check", "--json", "--reveal", tide, clash, lines).json,
        *saywhy("count", "--json", tide).json,
        *saywhy("explain", "--json", "--certify", tide).json,
        *saywhy("explain", "--json", "--at", "r1c2", tide).json,
        *saywhy("explain", "--json", "--from", board, tide).json,
        *saywhy("repair", "--json", "--reveal", "--certify", clash).json,
        *saywhy("trim", "--json", "--reveal", "--certify", tide).json,
        *saywhy("rules", "--json", tide).json,
        *saywhy("rules", "--json").json,
    ]
    assert {key for key in keys(printed) if f"`{key}`" not in PAGE} == set()
