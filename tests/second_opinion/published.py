"""Reader of the published counts in ``tests/published``: plain text whose form each file describes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from saywhy.grid import Grid
from saywhy.puzzle import Clue, Puzzle

FOLDER = Path(__file__).parent.parent / "published"


@dataclass(frozen=True)
class Published:
    """
    One published count.

    Attributes:
        name: What is counted; with its value where there are several.
        puzzle: The set-up.
        houses: Names of the houses that hold; None for all.
        over: The cells whose fillings are counted; None for whole grids.
        count: How many there are.
        source: Where the count is from.
    """

    name: str
    puzzle: Puzzle
    houses: tuple[str, ...] | None
    over: tuple[int, ...] | None
    count: int
    source: str


def published() -> list[Published]:
    """Read all files, each value of a table as a count of its own."""
    return [
        one
        for path in sorted(FOLDER.glob("*.txt"))
        for block in path.read_text(encoding="utf-8").split("\n\n")
        if block.startswith("name:")
        for one in _read(block)
    ]


def _read(block: str) -> Iterator[Published]:
    fields = dict(line.split(": ", 1) for line in block.strip().splitlines())
    counts = [int(word) for word in fields["count"].split()]
    values = _values(fields["values"]) if "values" in fields else [None]
    for value, count in zip(values, counts, strict=True):
        setup = fields["setup"] if value is None else fields["setup"].replace("*", str(value))
        name = fields["name"] if value is None else f"{fields['name']}: {value}"
        yield _one(name, setup, count, fields["source"])


def _values(text: str) -> list[int | None]:
    found: list[int | None] = []
    for part in text.split(","):
        first, _, last = part.partition(" to ")
        found.extend(range(int(first), int(last or first) + 1))
    return found


def _one(name: str, setup: str, count: int, source: str) -> Published:
    size = 0
    regions = True
    houses: tuple[str, ...] | None = None
    over: tuple[int, ...] | None = None
    rules: tuple[str, ...] = ()
    clues: list[Clue] = []
    givens = ""
    for part in setup.split(";"):
        key, _, rest = part.strip().partition(" ")
        if key == "size":
            size = int(rest)
        elif key == "regions":
            regions = rest != "none"
        elif key == "rules":
            rules = tuple(rest.split(", "))
        elif key == "givens":
            givens = rest.replace(" ", "")
        elif key == "only":
            houses = tuple(rest.split(", ")) if rest else ()
        elif key == "over":
            over = Grid(size, None).path(rest)
        elif key == "clue":
            clues.append(_clue(rest, size))
        else:
            raise ValueError(f"{name}: {part!r} is not understood")
    grid = Grid.standard(size) if regions else Grid(size, None)
    digits = tuple(0 if symbol == "." else int(symbol) for symbol in givens or "." * size**2)
    return Published(name, Puzzle(grid, digits, rules, (), tuple(clues)), houses, over, count, source)


def _clue(text: str, size: int) -> Clue:
    rule, _, rest = text.partition(" ")
    cells, _, value = rest.partition(" value ")
    return Clue(rule, Grid(size, None).path(cells), value=int(value) if value else None)
