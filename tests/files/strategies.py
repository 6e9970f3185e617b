"""Random puzzles: any size, any regions, any mix of rules that their files allow; and random bad ones."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from saywhy import rules
from saywhy.grid import BOXES, Grid
from saywhy.puzzle import Clue, Puzzle
from saywhy.rule import ClueRule, Form, GridRule, RuleError, check_clue

TITLES = st.text(
    st.characters(codec="utf-8", exclude_categories=("C", "Zl", "Zp"), exclude_characters="<&["), max_size=40
)


@st.composite
def grids(draw: st.DrawFn) -> Grid:
    """Usual boxes, none, or boxes of which some cells have been exchanged."""
    size = draw(st.sampled_from([4, 5, 6, 7, 8, 9, 10, 12, 13, 15, 16]))
    kind = draw(st.sampled_from(["usual", "none", "odd"]))
    if kind == "none":
        return Grid(size, None)
    if size in BOXES and kind == "usual":
        return Grid.standard(size)
    cells = [cell // size for cell in range(size * size)]
    for a, b in draw(st.lists(st.tuples(*[st.sampled_from(range(size * size))] * 2), max_size=8)):
        cells[a], cells[b] = cells[b], cells[a]
    numbers = {number: place for place, number in enumerate(dict.fromkeys(cells))}
    return Grid(size, tuple(numbers[number] for number in cells))


def _straight(grid: Grid, start: int, move: tuple[int, int]) -> tuple[int, ...]:
    cells = []
    row, column = grid.place(start)
    here: int | None = start
    while here is not None:
        cells.append(here)
        row, column = row + move[0], column + move[1]
        here = grid.at(row, column)
    return tuple(cells)


@st.composite
def _cells(draw: st.DrawFn, grid: Grid, form: Form) -> tuple[int, ...]:  # noqa: PLR0911 (one a form)
    start = draw(st.sampled_from(grid.cells))
    if form is Form.CELL:
        return (start,)
    if form is Form.PAIR:
        return (start, draw(st.sampled_from(grid.orthogonal(start))))
    if form is Form.CORNER:
        row, column = draw(st.tuples(*[st.integers(0, grid.size - 2)] * 2))
        cells = [(row + down) * grid.size + column + right for down in (0, 1) for right in (0, 1)]
        return tuple(draw(st.permutations(cells)))
    if form is Form.OUTSIDE:
        lane = _straight(grid, draw(st.sampled_from(range(grid.size))), (1, 0))
        lane = draw(
            st.sampled_from([lane, tuple(cell % grid.size * grid.size + cell // grid.size for cell in lane)])
        )
        return draw(st.sampled_from([lane, lane[::-1]]))
    if form is Form.DIAGONAL:
        lane = _straight(grid, draw(st.sampled_from(range(grid.size))), (1, draw(st.sampled_from([-1, 1]))))
        return draw(st.sampled_from([lane, lane[::-1]]))
    if form is Form.CELLS:
        return tuple(draw(st.lists(st.sampled_from(grid.cells), min_size=1, max_size=grid.size, unique=True)))
    walk = [start]
    for _ in range(draw(st.integers(1, grid.size - 1))):
        near = grid.orthogonal(walk[-1]) if form is Form.AREA else _around(grid, walk[-1])
        fresh = [cell for cell in near if cell not in walk]
        if not fresh:
            break
        walk.append(draw(st.sampled_from(fresh)))
    return tuple(walk)


def _around(grid: Grid, cell: int) -> list[int]:
    return grid.moved(cell, [(a, b) for a in (-1, 0, 1) for b in (-1, 0, 1) if a or b])


@st.composite
def clues(draw: st.DrawFn, grid: Grid, rule: type[ClueRule]) -> Clue:
    """Give a clue that lies as its rule wants; its values may be out of bounds."""
    cells: tuple[int, ...] = ()
    groups: tuple[tuple[int, ...], ...] = ()
    if rule.form is Form.GROUPS:
        groups = tuple(draw(st.lists(_cells(grid, Form.AREA), min_size=2, max_size=3)))
    else:
        cells = draw(_cells(grid, rule.form))
    fields: dict[str, Any] = {
        name: draw(values)
        for name, values in (
            ("value", st.integers(0, 40)),
            ("digits", st.lists(st.integers(1, grid.size), min_size=1, max_size=4).map(tuple)),
            ("pill", st.integers(1, 3)),
            ("count", st.integers(1, grid.size)),
        )
        if name in rule.needs or (name in rule.takes and draw(st.booleans()))
    }
    return Clue(rule.name, cells, groups, **fields)


def allowed(clue: Clue, grid: Grid) -> bool:
    """Say whether the rule takes the clue."""
    rule = rules.clue_rules()[clue.rule]
    try:
        return not check_clue(rule, clue, grid) and bool(rule.read(clue, grid))
    except RuleError:
        return False


def _on(rule: type[GridRule], grid: Grid) -> bool:
    try:
        return bool(rule.read(grid))
    except RuleError:
        return False


@st.composite
def puzzles(draw: st.DrawFn) -> Puzzle:
    """Give a puzzle that its file may state; whether it has a solution is another matter."""
    grid = draw(grids())
    wide = [name for name, rule in rules.grid_rules().items() if _on(rule, grid)]
    chosen = draw(st.lists(st.sampled_from(sorted(rules.clue_rules())), max_size=6))
    made = [draw(clues(grid, rules.clue_rules()[name])) for name in chosen]
    puzzle = Puzzle(
        grid,
        tuple(draw(st.lists(st.integers(0, grid.size), min_size=grid.size**2, max_size=grid.size**2))),
        tuple(draw(st.lists(st.sampled_from(wide), max_size=3, unique=True))),
        tuple(draw(st.lists(st.sampled_from(sorted(rules.pair_rules())), max_size=2, unique=True))),
        tuple(clue for clue in made if allowed(clue, grid)),
        draw(TITLES),
        draw(TITLES),
    )
    try:
        rules.placed(puzzle)
    except RuleError:
        return Puzzle(grid, puzzle.givens, puzzle.rules, (), puzzle.clues, puzzle.title, puzzle.setter)
    return puzzle
