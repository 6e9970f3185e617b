"""Small puzzles, at least one for every rule and for every option of a rule, for counting in several ways."""

from __future__ import annotations

from collections.abc import Sequence

from saywhy.grid import Grid
from saywhy.puzzle import Clue, Puzzle

#: A jigsaw of 4 and one of 5, drawn by hand.
JIGSAW_4 = (0, 0, 0, 1, 0, 2, 1, 1, 2, 2, 1, 3, 2, 3, 3, 3)
JIGSAW_5 = (0, 1, 2, 2, 2, 0, 1, 1, 1, 2, 0, 0, 1, 3, 2, 0, 4, 3, 3, 3, 4, 4, 4, 4, 3)


def grid(size: int, regions: Sequence[int] | str | None = "boxes") -> Grid:
    """Give a grid: the usual boxes, ``None`` for a Latin square, or regions as listed."""
    if isinstance(regions, str):
        return Grid.standard(size)
    return Grid(size, None if regions is None else tuple(regions))


def puzzle(
    size: int,
    *clues: Clue,
    rules: Sequence[str] = (),
    all_given: Sequence[str] = (),
    givens: str = "",
    regions: Sequence[int] | str | None = "boxes",
) -> Puzzle:
    """Give a puzzle; givens are digits and dots, blanks free, one symbol a cell (sizes to 9)."""
    symbols = "".join(givens.split()) or "." * size * size
    digits = tuple(0 if symbol == "." else int(symbol) for symbol in symbols)
    return Puzzle(grid(size, regions), digits, tuple(rules), tuple(all_given), clues)


def clue(  # noqa: PLR0913
    rule: str,
    size: int,
    cells: str = "",
    value: int | None = None,
    *,
    groups: Sequence[str] = (),
    digits: Sequence[int] = (),
    pill: int | None = None,
    count: int | None = None,
) -> Clue:
    """Give a clue with its cells in r1c1 notation."""
    read = Grid(size, None).path
    return Clue(rule, read(cells), tuple(read(group) for group in groups), value, tuple(digits), pill, count)


#: Rule, size, clue: every clue rule, with and without its options. Lines and areas have at most six cells.
CLUES: list[tuple[int, Clue]] = [
    (size, clue(rule, size, cells, value, **more))
    for rule, size, cells, value, more in (
        ("odd", 4, "r1c2", None, {}),
        ("odd", 9, "r5c5", None, {}),
        ("even", 4, "r2c3", None, {}),
        ("even", 6, "r6c6", None, {}),
        ("low-spot", 4, "r2c2", None, {}),
        ("low-spot", 6, "r1c1", None, {}),
        ("high-spot", 4, "r1c2", None, {}),
        ("high-spot", 6, "r6c3", None, {}),
        ("counting-circles", 4, "r1c1 r1c2 r2c3 r3c4 r4c4 r4c1", None, {}),
        ("counting-circles", 6, "r1c1 r2c2 r3c3 r4c4", None, {}),
        ("white-dot", 4, "r1c1 r1c2", None, {}),
        ("white-dot", 6, "r2c2 r3c2", 3, {}),
        ("white-dot", 9, "r5c5 r5c6", 4, {}),
        ("black-dot", 4, "r1c1 r1c2", None, {}),
        ("black-dot", 6, "r3c3 r3c4", 3, {}),
        ("black-dot", 9, "r9c9 r8c9", None, {}),
        ("x", 6, "r1c1 r1c2", None, {}),
        ("x", 9, "r1c1 r2c1", None, {}),
        ("v", 4, "r1c1 r1c2", None, {}),
        ("v", 9, "r1c1 r1c2", None, {}),
        ("pair-sum", 4, "r1c3 r1c4", 6, {}),
        ("pair-sum", 9, "r1c3 r1c4", 13, {}),
        ("less-than", 4, "r1c1 r1c2", None, {}),
        ("less-than", 6, "r2c1 r1c1", None, {}),
        ("quadruple", 4, "r1c1 r1c2 r2c1 r2c2", None, {"digits": (1, 4)}),
        ("quadruple", 4, "r2c2 r2c3 r3c2 r3c3", None, {"digits": (2, 2, 3)}),
        ("quadruple", 6, "r2c3 r2c4 r3c3 r3c4", None, {"digits": (5,)}),
        ("thermometer", 4, "r1c1 r1c2 r2c3", None, {}),
        ("thermometer", 6, "r1c1 r2c2 r3c3 r4c4", None, {}),
        ("slow-thermometer", 4, "r1c1 r1c2 r2c3 r3c3", None, {}),
        ("slow-thermometer", 6, "r1c1 r2c2 r3c3 r4c4", None, {}),
        ("arrow", 4, "r1c1 r1c2 r2c3", None, {}),
        ("arrow", 6, "r3c3 r3c4 r4c5 r5c5", None, {}),
        ("arrow", 4, "r1c1 r1c2 r2c3 r3c3 r4c4 r4c3", None, {"pill": 2}),
        ("arrow", 9, "r1c1 r1c2 r1c3 r1c4", None, {"pill": 2}),
        ("double-arrow", 4, "r1c1 r2c1 r3c2 r3c3 r4c4", None, {}),
        ("double-arrow", 6, "r1c1 r2c1 r3c2 r4c3", None, {}),
        ("between-line", 4, "r1c1 r2c2 r3c3", None, {}),
        ("between-line", 6, "r1c1 r2c2 r3c3 r4c3", None, {}),
        ("lockout-line", 6, "r1c1 r2c2 r3c3 r4c3", None, {}),
        ("lockout-line", 4, "r1c1 r2c2 r3c3 r4c3", 1, {}),
        ("lockout-line", 9, "r1c1 r2c2 r3c3", None, {}),
        ("palindrome", 4, "r1c1 r2c2 r2c3 r1c4", None, {}),
        ("palindrome", 6, "r1c1 r2c2 r3c3 r4c4 r5c3", None, {}),
        ("renban", 4, "r1c1 r2c1 r2c2", None, {}),
        ("renban", 6, "r1c1 r2c2 r3c3 r4c4", None, {}),
        ("whisper", 4, "r1c1 r2c2 r3c3", 2, {}),
        ("whisper", 6, "r1c1 r2c2 r3c3", 4, {}),
        ("whisper", 9, "r1c1 r1c2 r1c3 r1c4", None, {}),
        ("nabner", 4, "r1c1 r1c2", None, {}),
        ("nabner", 6, "r1c1 r2c2 r3c2", None, {}),
        ("nabner", 9, "r1c1 r2c2 r3c2 r4c1", None, {}),
        ("parity-line", 4, "r1c1 r2c2 r3c3 r4c3", None, {}),
        ("parity-line", 9, "r1c1 r2c2 r3c3", None, {}),
        ("modular-line", 4, "r1c1 r2c2 r3c3 r4c3", None, {}),
        ("modular-line", 6, "r1c1 r2c2 r3c3 r3c4", None, {}),
        ("entropic-line", 9, "r1c1 r2c2 r3c3 r3c4", None, {}),
        ("region-sum-line", 4, "r1c1 r1c2 r2c3 r2c4 r3c3", None, {}),
        ("region-sum-line", 4, "r1c1 r1c2 r2c3 r2c4", 5, {}),
        ("region-sum-line", 4, "r1c2 r1c3 r2c2", None, {}),
        ("region-sum-line", 6, "r1c3 r2c3 r3c3 r4c4", None, {}),
        ("sum-line", 4, "r1c1 r1c2 r2c3 r2c4 r3c3 r4c3", 5, {}),
        ("sum-line", 6, "r1c1 r1c2 r2c3 r2c4", 10, {}),
        ("sum-line", 9, "r1c1 r1c2 r2c3 r2c4", 10, {}),
        ("zipper-line", 4, "r1c1 r1c2 r2c3 r3c4 r4c4", None, {}),
        ("zipper-line", 4, "r1c1 r1c2 r2c3 r3c4 r4c4 r4c3", None, {}),
        ("zipper-line", 6, "r1c1 r1c2 r2c3", None, {}),
        ("zipper-line", 9, "r1c1 r1c2 r2c3 r2c4", None, {}),
        ("killer-cage", 4, "r1c1 r1c2 r2c1", 7, {}),
        ("killer-cage", 4, "r1c2 r1c3 r2c2", None, {}),
        ("killer-cage", 6, "r1c3 r1c4 r2c4 r3c4", 13, {}),
        ("killer-cage", 9, "r1c3 r1c4 r2c4", 22, {}),
        ("equal-sum-cages", 4, "", None, {"groups": ("r1c1 r1c2", "r4c2 r4c3 r3c3")}),
        ("equal-sum-cages", 6, "", None, {"groups": ("r1c1 r1c2", "r4c2 r4c3")}),
        ("clone", 4, "", None, {"groups": ("r1c1 r1c2 r2c1", "r3c2 r3c3 r4c2")}),
        ("clone", 6, "", None, {"groups": ("r1c1 r1c2", "r3c2 r3c3", "r5c3 r5c4")}),
        ("extra-region", 4, "r2c2 r2c3 r3c2 r3c3", None, {}),
        ("extra-region", 6, "r1c3 r1c4 r2c4", None, {}),
        ("little-killer", 4, "r1c2 r2c3 r3c4", 7, {}),
        ("little-killer", 4, "r1c4-r4c1", 6, {}),
        ("little-killer", 6, "r4c1-r6c3", 9, {}),
        ("sandwich", 4, "r1c1-r1c4", 0, {}),
        ("sandwich", 4, "r4c2-r1c2", 3, {}),
        ("sandwich", 6, "r1c1-r1c6", 5, {}),
        ("x-sum", 4, "r1c1-r1c4", 6, {}),
        ("x-sum", 4, "r4c2-r1c2", 10, {}),
        ("x-sum", 6, "r1c6-r1c1", 11, {}),
        ("skyscraper", 4, "r1c1-r1c4", 2, {}),
        ("skyscraper", 4, "r3c4-r3c1", 4, {}),
        ("skyscraper", 6, "r6c2-r1c2", 1, {}),
        ("numbered-room", 4, "r1c1-r1c4", 3, {}),
        ("numbered-room", 4, "r4c3-r1c3", 1, {}),
        ("numbered-room", 6, "r1c1-r1c6", 6, {}),
        ("edge-sum", 4, "r1c1-r1c4", 5, {}),
        ("edge-sum", 6, "r1c1-r1c6", 9, {}),
        ("edge-sum", 6, "r6c1-r1c1", 7, {"count": 2}),
        ("edge-sum", 6, "r6c4-r1c4", 12, {}),
    )
]

#: A magic square has nine cells: too many to list all fillings of them, so it stands apart.
MAGIC = (9, clue("magic-square", 9, "r4c4-r4c6 r5c4-r5c6 r6c4-r6c6"))

#: Rules of the whole grid, alone and together, small enough to list every grid.
WIDE: list[Puzzle] = [
    *(
        puzzle(4, rules=rules)
        for rules in (
            ("diagonals",),
            ("falling-diagonal",),
            ("rising-diagonal",),
            ("anti-knight",),
            ("anti-king",),
            ("non-consecutive",),
            ("disjoint-groups",),
            ("falling-diagonal", "disjoint-groups"),
        )
    ),
    *(
        puzzle(5, rules=rules, regions=None, givens="1.... ..2.. ....3 ..... .....")
        for rules in ((), ("diagonals",), ("anti-knight",), ("anti-king",), ("non-consecutive",))
    ),
    puzzle(4, regions=JIGSAW_4),
    puzzle(4, regions=JIGSAW_4, rules=("anti-king",)),
    puzzle(5, regions=JIGSAW_5),
    puzzle(5, regions=JIGSAW_5, rules=("falling-diagonal",)),
    puzzle(6, rules=("diagonals",)),
    puzzle(6, rules=("disjoint-groups",)),
    puzzle(6, rules=("anti-knight",)),
    puzzle(6, rules=("anti-king",)),
    puzzle(6, rules=("non-consecutive",)),
    puzzle(9, rules=("anti-knight", "disjoint-groups")),
]

#: Unmarked borders that say something.
ALL_GIVEN: list[Puzzle] = [
    puzzle(6, all_given=("white-dot",)),
    puzzle(6, all_given=("black-dot",)),
    puzzle(6, all_given=("v",)),
    puzzle(6, all_given=("x", "v")),
    puzzle(4, all_given=("v",)),
    puzzle(4, all_given=("x",)),
    puzzle(4, clue("v", 4, "r1c1 r1c2"), clue("v", 4, "r3c3 r4c3"), all_given=("v",)),
    puzzle(4, clue("v", 4, "r1c1 r1c2"), all_given=("x", "v")),
    puzzle(4, clue("white-dot", 4, "r1c1 r1c2"), all_given=("white-dot",)),
    puzzle(
        4,
        *(clue("white-dot", 4, c) for c in ("r1c1 r1c2", "r1c2 r1c3", "r2c3 r2c4", "r3c1 r3c2", "r1c4 r2c4")),
        *(clue("black-dot", 4, c) for c in ("r2c2 r3c2", "r4c3 r4c4")),
        all_given=("white-dot", "black-dot"),
    ),
    # A black dot does not stand in for a white one where only white dots are all given ...
    puzzle(6, clue("black-dot", 6, "r1c1 r1c2"), all_given=("white-dot",)),
    puzzle(
        6,
        clue("white-dot", 6, "r1c1 r1c2"),
        all_given=("black-dot",),
    ),
    # ... nor a dot of another value for a dot of none.
    puzzle(
        6,
        clue("white-dot", 6, "r1c1 r1c2", 3),
        all_given=("black-dot",),
    ),
    puzzle(4, clue("pair-sum", 4, "r1c1 r1c2", 5), all_given=("v",)),
    puzzle(
        6,
        clue("pair-sum", 6, "r1c1 r1c2", 6),
        all_given=("v",),
    ),
]
