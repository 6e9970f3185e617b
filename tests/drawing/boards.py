"""Boards that the tests draw, and small readers of what was drawn."""

from __future__ import annotations

import random
import struct
import zlib
from collections.abc import Iterator, Mapping, Sequence
from typing import Any
from xml.etree import ElementTree

import numpy as np
from numpy.typing import NDArray

from saywhy.files import read_text
from saywhy.grid import Grid
from saywhy.marks import Mark
from saywhy.puzzle import Clue, Puzzle
from saywhy.rules import all_rules

SVG = "{http://www.w3.org/2000/svg}"

IRREGULAR = tuple(
    int(symbol)
    for symbol in "000111222000111222003114422003314442353334446355577766855577666885577666888887776"
)

ClueText = tuple[str, str] | tuple[str, str, Mapping[str, Any]]


def board(  # noqa: PLR0913
    size: int,
    clues: Sequence[ClueText] = (),
    *,
    rules: Sequence[str] = (),
    givens: Mapping[str, int] | None = None,
    grid: Grid | None = None,
    title: str = "",
    setter: str = "",
) -> Puzzle:
    """Build a puzzle from names of cells; groups are parted by ``/``."""
    laid = grid or Grid.standard(size)
    made = []
    for rule, cells, *more in clues:
        fields: dict[str, Any] = dict(more[0]) if more else {}
        if "/" in cells:
            fields["groups"] = tuple(laid.path(group) for group in cells.split("/"))
        else:
            fields["cells"] = laid.path(cells)
        made.append(Clue(rule, **fields))
    digits = [0] * (size * size)
    for name, digit in (givens or {}).items():
        digits[laid.cell(name)] = digit
    return Puzzle(laid, tuple(digits), tuple(rules), (), tuple(made), title, setter)


LEDGER = board(
    9,
    [
        ("double-arrow", "r1c3 r2c3 r3c4 r4c4 r4c5"),
        ("arrow", "r9c1 r8c2 r7c3 r6c3"),
        ("thermometer", "r1c9 r2c9 r3c8 r4c8 r4c9"),
        ("whisper", "r6c5 r6c6 r7c7 r8c7 r9c6"),
        ("renban", "r5c1 r4c2 r3c1 r2c2"),
        ("palindrome", "r7c9 r6c9 r6c8 r5c7 r4c6"),
        ("killer-cage", "r7c4-r7c6 r8c4", {"value": 15}),
        ("killer-cage", "r8c5 r8c6 r9c5", {"value": 21}),
        ("white-dot", "r1c1 r1c2"),
        ("white-dot", "r3c3 r4c3"),
        ("black-dot", "r2c6 r3c6"),
        ("x", "r9c8 r9c9"),
        ("v", "r2c4 r2c5"),
        ("region-sum-line", "r5c5 r5c6 r6c7 r7c8 r8c9"),
        ("between-line", "r2c7 r3c7 r4c7 r5c8"),
        ("less-than", "r9c2 r9c3"),
        ("odd", "r1c8"),
        ("even", "r5c2"),
    ],
    givens={"r1c1": 7, "r5c5": 3, "r9c9": 8, "r6c3": 4, "r3c8": 2, "r8c7": 6, "r1c5": 1},
    title="The lamp trimmer's ledger",
    setter="wharfside",
)

SOUNDINGS = board(
    9,
    [
        ("sandwich", "r1c1-r9c1", {"value": 12}),
        ("sandwich", "r1c6-r9c6", {"value": 0}),
        ("sandwich", "r5c9-r5c1", {"value": 4}),
        ("skyscraper", "r1c1-r1c9", {"value": 3}),
        ("skyscraper", "r7c1-r7c9", {"value": 2}),
        ("skyscraper", "r9c5-r1c5", {"value": 1}),
        ("little-killer", "r1c2-r8c9", {"value": 38}),
        ("little-killer", "r1c5-r5c1", {"value": 23}),
        ("little-killer", "r9c3-r3c9", {"value": 41}),
        ("little-killer", "r4c9-r9c4", {"value": 27}),
        ("little-killer", "r6c1-r1c6", {"value": 30}),
        ("little-killer", "r1c1-r9c9", {"value": 45}),
    ],
    rules=["diagonals"],
    givens={"r3c3": 9, "r7c7": 1},
    title="Soundings round the breakwater",
    setter="mooring_post",
)

MOORINGS = board(
    9,
    grid=Grid(9, IRREGULAR),
    givens={"r1c1": 7, "r1c5": 1, "r3c8": 2, "r5c5": 3, "r9c9": 8},
    title="Irregular moorings",
    setter="wharfside",
)
MOORINGS_MARKS = (
    Mark("a", (0, 1, 2, 9, 10), "look"),
    Mark("b", (20, 21, 29), "look"),
    Mark("a", (40, 41), "because"),
    Mark("a", (31,), "result"),
    Mark("b", (79, 80), "result"),
)


def crowded(size: int, clues: int, seed: int) -> Puzzle:
    """Scatter clues of many rules over a grid; they need not have a solution."""
    chance = random.Random(seed)
    lines = ["renban", "whisper", "palindrome", "thermometer", "arrow", "between-line"]
    straight = ((0, 1), (1, 0), (0, -1), (-1, 0))
    every = (*straight, (1, 1), (1, -1), (-1, 1), (-1, -1))
    made: list[ClueText] = []
    while len(made) < clues:
        rule = chance.choice([*lines, "white-dot", "black-dot", "x", "odd", "even"])
        length = 1 if rule in ("odd", "even") else chance.randint(4, 7) if rule in lines else 2
        path = [(chance.randrange(size), chance.randrange(size))]
        for _ in range(40):
            down, right = chance.choice(every if rule in lines else straight)
            here = (path[-1][0] + down, path[-1][1] + right)
            if len(path) < length and here not in path and min(here) >= 0 and max(here) < size:
                path.append(here)
        if len(path) == length:
            made.append((rule, " ".join(f"r{row + 1}c{column + 1}" for row, column in path)))
    givens = {f"r{row}c{1 + row * 5 % size}": 1 + row * 3 % size for row in range(1, size + 1)}
    return board(size, made, givens=givens, title="Sixteen berths", setter="harbour_office")


def specimen(rule: str) -> Puzzle:
    """Give the puzzle by which a rule shows itself."""
    (puzzle,) = read_text(f"format = 1\n{all_rules()[rule].specimen}")
    return puzzle


def root(svg: str) -> ElementTree.Element:
    """Read an SVG as XML."""
    return ElementTree.fromstring(svg)


def having(element: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    """Give all elements that have a class."""
    return [found for found in element.iter() if name in found.get("class", "").split()]


def texts(element: ElementTree.Element, name: str) -> list[str]:
    """Give the texts of all elements that have a class."""
    return ["".join(found.itertext()) for found in having(element, name)]


def pixels(png: bytes) -> NDArray[np.int_]:
    """
    Decode an 8-bit RGB or RGBA PNG.

    Returns:
        Rows, columns, channels.
    """
    width, height, depth, kind = struct.unpack(">IIBB", png[16:26])
    channels = {2: 3, 6: 4}[kind]
    assert depth == 8
    packed = b"".join(body for name, body in _chunks(png) if name == b"IDAT")
    data, step = zlib.decompress(packed), width * channels + 1
    rows = [bytearray(width * channels)]
    for at in range(0, step * height, step):
        rows.append(_unfiltered(data[at], bytearray(data[at + 1 : at + step]), rows[-1], channels))
    return np.frombuffer(b"".join(rows[1:]), np.uint8).reshape(height, width, channels).astype(np.int_)


def _chunks(png: bytes) -> Iterator[tuple[bytes, bytes]]:
    at = 8
    while at < len(png):
        (length,) = struct.unpack(">I", png[at : at + 4])
        yield png[at + 4 : at + 8], png[at + 8 : at + 8 + length]
        at += length + 12


def _unfiltered(kind: int, line: bytearray, above: bytearray, wide: int) -> bytearray:
    """Undo the filter of one row (PNG specification, section 9)."""
    for place in range(len(line) if kind else 0):
        left = line[place - wide] if place >= wide else 0
        up = above[place]
        corner = above[place - wide] if place >= wide else 0
        if kind == 1:
            guess = left
        elif kind == 2:
            guess = up
        elif kind == 3:
            guess = (left + up) // 2
        else:
            one, two, three = abs(up - corner), abs(left - corner), abs(left + up - 2 * corner)
            guess = left if one <= two and one <= three else up if two <= three else corner
        line[place] = (line[place] + guess) & 255
    return line
