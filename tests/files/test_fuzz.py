"""Whatever bytes come, reading ends in a puzzle or in a clear error, and soon."""

from __future__ import annotations

import random
import tempfile
import time
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from saywhy import rules
from saywhy.errors import SaywhyError
from saywhy.files import entries, read_text, write
from saywhy.puzzle import Clue, Puzzle
from saywhy.rule import RuleError, check_clue
from tests.files.strategies import grids, puzzles

SHARDS = 4
slow = settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])
PIECES = [
    *('"', '"""', "'''", "[", "]]", "[[clue]]", "{", "=", ".", "\n", "#", "\\", "\\u202e", "\0", "\x1b", "é"),
    *(
        "r1c1",
        "-r9c9",
        "r17c99",
        "9" * 30,
        "-1",
        "1e400",
        "nan",
        "0x" + "f" * 50,
        "1979-05-27",
        "true",
        "[" * 90,
    ),
    *(
        "rule",
        "cells",
        "value",
        "groups",
        "digits",
        "pill",
        "size",
        "format = 1",
        "regions = 'none'",
        "a.b.c.d = 1",
    ),
]


def settle(data: bytes) -> None:
    """Read, and demand a puzzle that can be placed or errors that say what, and how to mend it."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "fuzz"
        path.write_bytes(data)
        for entry in entries(path):
            if entry.puzzle is not None:
                rules.placed(entry.puzzle)
            else:
                assert entry.error is not None
                assert all(problem.what and problem.mend for problem in entry.error.problems)


def damaged(text: str, chance: random.Random) -> bytes:
    """Cut pieces out of a file and put others in."""
    for _ in range(chance.randint(1, 6)):
        start = chance.randrange(len(text) + 1)
        end = start + chance.choice([0, 0, 1, 3, 20])
        text = text[:start] + chance.choice([*PIECES, ""]) + text[end:]
    data = text.encode("utf-8", "surrogatepass")
    if chance.random() < 0.2:
        place = chance.randrange(len(data) + 1)
        data = data[:place] + bytes([chance.randrange(256)]) + data[place + 1 :]
    return data


@slow
@given(puzzles(), st.randoms(use_true_random=False))
def test_a_damaged_file_ends_in_a_puzzle_or_a_clear_error(puzzle: Puzzle, chance: random.Random) -> None:
    settle(damaged(write(puzzle), chance))


@slow
@given(st.binary(max_size=400))
def test_any_bytes_end_in_a_puzzle_or_a_clear_error(data: bytes) -> None:
    settle(data)


VALUES: st.SearchStrategy[Any] = st.recursive(
    st.one_of(
        st.integers(),
        st.floats(),
        st.booleans(),
        st.text(max_size=30),
        st.sampled_from(["r1c1", "r1c1-r9c9", "odd", "none", "anti-knight", 1, 9, 0, -1]),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.sampled_from("abc"), inner, max_size=2)
    ),
    max_leaves=6,
)
FIELDS = ["format", "title", "setter", "size", "givens", "regions", "rules", "all-given", "clue", "other"]
CLUE_FIELDS = ["rule", "cells", "groups", "value", "digits", "pill", "count", "other"]


def toml(value: Any) -> str:
    """Give a value as TOML."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{name} = {toml(held)}" for name, held in value.items()) + "}"
    if isinstance(value, list):
        return f"[{', '.join(map(toml, value))}]"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return '"' + "".join(f"\\U{ord(letter):08x}" for letter in value) + '"'
    return str(value)


@slow
@given(
    st.dictionaries(st.sampled_from(FIELDS), VALUES),
    st.lists(st.dictionaries(st.sampled_from(CLUE_FIELDS), VALUES), max_size=3),
)
def test_values_of_any_type_in_any_field_end_in_a_puzzle_or_a_clear_error(
    top: dict[str, Any], clues: list[dict[str, Any]]
) -> None:
    lines = [f"{name} = {toml(value)}" for name, value in top.items() if name != "clue" or not clues]
    for clue in clues:
        lines += ["[[clue]]", *(f"{name} = {toml(value)}" for name, value in clue.items())]
    settle("\n".join(lines).encode("utf-8", "surrogatepass"))


@pytest.mark.parametrize("shard", range(SHARDS))
def test_no_rule_lets_a_clue_of_any_cells_and_values_end_in_anything_but_its_own_error(shard: int) -> None:
    for name in sorted(rules.clue_rules())[shard::SHARDS]:
        check_rule(name)


def check_rule(name: str) -> None:
    @settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
    @given(grids(), st.data())
    def run(grid: Any, data: st.DataObject) -> None:
        cells = st.lists(st.sampled_from(grid.cells), max_size=grid.size).map(tuple)
        number = st.none() | st.integers(0, 60) | st.sampled_from([0, 1, 1_000_000])
        clue = Clue(
            name,
            data.draw(cells),
            data.draw(st.lists(cells, max_size=3).map(tuple)),
            data.draw(number),
            data.draw(st.lists(st.integers(1, grid.size), max_size=4).map(tuple)),
            data.draw(st.none() | st.integers(1, 16)),
            data.draw(st.none() | st.integers(1, 16)),
        )
        rule = rules.clue_rules()[name]
        if not check_clue(rule, clue, grid):
            try:
                placed = rule.read(clue, grid)
            except RuleError:
                return
            placed.compile()

    run()


@pytest.mark.parametrize(
    "text",
    [
        'format = 1\ntitle = "' + "x" * 260_000,
        "format = 1\n" + "[[clue]]\n" * 28_000,
        "format = 1\n" + "[[clue]]\nrule = 'odd'\ncells = 'r1c1'\n" * 6_000,
        'format = 1\n[[clue]]\nrule = "palindrome"\ncells = "' + "r1c1-r16c16 " * 20_000 + '"',
        'format = 1\n[[clue]]\nrule = "palindrome"\ncells = "' + "r1c1 " * 800 + '"',
        'format = 1\n[[clue]]\nrule = "palindrome"\ncells = "' + "x " * 2_000 + '"',
        "format = 1\nx = " + "[" * 250_000,
        "format = 1\nx = " + "{a=" * 80_000,
        "format = 1\n" + "a." * 120_000 + "b = 1",
        "format = 1\n" + '"a".' * 60_000 + "b = 1",
        "format = 1\n[" + "a." * 120_000 + "b]",
        "format = 1\n" + "".join(f"a{n} = {n}\n" for n in range(20_000)),
        "format = 1\n" + "".join(f"[a{n}]\n" for n in range(20_000)),
        "format = 1\nrules = [" + "'x'," * 60_000 + "]",
        "format = 1\nx = " + "9" * 250_000,
        "format = 1\nx = 0x" + "f" * 250_000,
        "format = 1\nx = 1e" + "9" * 250_000,
        'format = 1\nx = "' + "\\u0041" * 40_000 + '"',
        'format = 1\nx = """' + '\\"""' * 60_000,
        "format = 1\nx = " + '"""' * 80_000,
        "format = 1\ngivens = '''\n" + ".\n" * 120_000 + "'''",
        "#" * 250_000,
        "\n" * 250_000 + "format = 2",
        "# x\n" * 60_000 + "format = 2",
        "=" * 250_000,
        "format = 1\n" + "x = 1\n" * 40_000,
    ],
)
def test_a_file_made_to_wear_the_reader_out_is_refused_within_a_second(text: str) -> None:
    began = time.process_time()
    with pytest.raises(SaywhyError) as caught:
        read_text(text)
    assert time.process_time() - began < 1
    assert len(caught.value.problems) <= 60
    assert len(str(caught.value)) < 50_000
