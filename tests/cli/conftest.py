"""Puzzles to run the commands on, and the command line as a function."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.running import Command, runner

# Solutions counted by the second opinion in test_check.py and test_count.py.
UNIQUE = "1.....4..2.....3"
MANY = "1..............."
NONE = "11.............."


@pytest.fixture
def saywhy(capfd: pytest.CaptureFixture[str]) -> Command:
    """Give the command line: ``saywhy("check", path)``."""
    return runner(capfd)


@pytest.fixture
def tide(tmp_path: Path) -> Path:
    """Give a puzzle with one solution, with title, setter and clues."""
    path = tmp_path / "low-tide.toml"
    path.write_text(
        """format = 1
title = "Low tide"
setter = "oarlock"
size = 4
givens = '''
1 . . .
. . 4 .
. 2 . .
. . . 3
'''

[[clue]]
rule = "killer-cage"
cells = "r1c2 r1c3"
value = 7
"""
    )
    return path


@pytest.fixture
def clash(tmp_path: Path) -> Path:
    """Give a puzzle without a solution: a cage of 7 beside a given 1 cannot be."""
    path = tmp_path / "clash.toml"
    path.write_text(
        """format = 1
size = 4
givens = "1... .... .... ...."
[[clue]]
rule = "odd"
cells = "r4c4"
[[clue]]
rule = "killer-cage"
cells = "r1c1 r1c2"
value = 7
""".replace("1... .... .... ....", "1" + "." * 15)
    )
    return path


@pytest.fixture
def wide(tmp_path: Path) -> Path:
    """Give a classic 10 by 10 puzzle that lacks a few digits of one solution."""
    size, height, width = 10, 2, 5
    rows = [
        [(column + width * (row % height) + row // height) % size + 1 for column in range(size)]
        for row in range(size)
    ]
    rows[0][0] = rows[4][4] = 0
    path = tmp_path / "wide.toml"
    text = "\n".join(" ".join(str(digit or ".") for digit in row) for row in rows)
    path.write_text(f'format = 1\nsize = 10\ngivens = """\n{text}\n"""\n')
    return path


@pytest.fixture
def lines(tmp_path: Path) -> Path:
    """Give a file of puzzle lines: one of each verdict, and a bad line."""
    path = tmp_path / "heap.txt"
    path.write_text(f"{UNIQUE}\n\n{MANY}\n{NONE}\n12345\n")
    return path


@pytest.fixture
def hard(tmp_path: Path) -> Path:
    """Give an empty 16 by 16 grid: whether it has one solution or many is not told in a microsecond."""
    path = tmp_path / "hard.toml"
    path.write_text("format = 1\nsize = 16\n")
    return path
