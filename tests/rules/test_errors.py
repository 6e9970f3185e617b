"""Every clue that can never hold is refused with what is wrong, where, and how to mend it."""

from __future__ import annotations

import time

import pytest

from saywhy.grid import Grid
from saywhy.primitives import Regular
from saywhy.puzzle import Clue
from saywhy.rule import Form, RuleError
from saywhy.rules import clue_rules, place, placed
from tests.rules.samples import clue_of, empty, grid_of

#: line of a clue | field to blame | part of what is said | part of how to mend it; lines as in samples.py
REFUSED = """
9 | odd | r1c1 r1c2 ! cells ! one cell was expected ! one clue for each cell
9 | odd | r1c1 | value=3 ! value ! odd takes no value ! Remove value
9 | counting-circles | r1c1-r1c9 r2c1-r2c9 r3c1-r3c9 r4c1-r4c9 r5c1-r5c9 r6c1 ! cells ! has 46 cells, and 45 is the most ! fewer cells
9 | white-dot | r1c1 r1c3 ! cells ! two cells that share a side ! two neighbours
9 | white-dot | r1c1 r2c2 ! cells ! two cells that share a side ! two neighbours
9 | white-dot | r1c1 r1c2 r1c3 ! cells ! two cells that share a side ! two neighbours
9 | white-dot | r1c1 r1c2 | value=0 ! value ! can be 1 to 8, and 0 came ! from 1 to 8
9 | white-dot | r1c1 r1c2 | value=9 ! value ! can be 1 to 8, and 9 came ! from 1 to 8
9 | black-dot | r1c1 r1c2 | value=1 ! value ! can be 2 to 9, and 1 came ! from 2 to 9
4 | black-dot | r1c1 r1c2 | value=5 ! value ! can be 2 to 4, and 5 came ! from 2 to 4
4 | x | r1c1 r1c2 ! rule ! two neighbours make 7 at most ! pair-sum
5 | x | r1c1 r1c2 ! rule ! two neighbours make 9 at most ! pair-sum
9 | pair-sum | r1c1 r1c2 ! value ! pair-sum needs value ! Add value
9 | pair-sum | r1c1 r1c2 | value=2 ! value ! can be 3 to 17, and 2 came ! from 3 to 17
9 | pair-sum | r1c1 r1c2 | value=18 ! value ! can be 3 to 17, and 18 came ! from 3 to 17
9 | quadruple | r1c1 r1c2 r2c1 r2c3 | digits=1 ! cells ! four cells that meet at a corner ! two by two
9 | quadruple | r1c1 r1c2 r2c1 r2c2 ! digits ! quadruple needs digits ! Add digits
9 | quadruple | r1c1 r1c2 r2c1 r2c2 | digits=1 2 3 4 5 ! digits ! can be 1 to 4, and 5 came ! from 1 to 4
9 | quadruple | r1c1 r1c2 r2c1 r2c2 | digits=10 ! digits ! can be 1 to 9, and 10 came ! from 1 to 9
9 | quadruple | r1c1 r1c2 r2c1 r2c2 | digits=3 3 3 ! digits ! 3 is printed 3 times ! once or twice
9 | thermometer | r1c1 r1c3 ! cells ! broken between r1c1 and r1c3 ! each touching the next
9 | thermometer | r1c1 ! cells ! needs at least 2 cells and has 1 ! missing cells
9 | thermometer | r1c1 r1c2 r1c1 ! cells ! r1c1 stands twice ! once
9 | thermometer | r1c1-r1c9 r2c9 ! cells ! has 10 cells, and 9 is the most ! fewer cells
9 | arrow | r1c1 ! cells ! needs at least 2 cells ! missing cells
4 | arrow | r1c1 r2c1 r3c1 r3c2 r3c3 r3c4 ! cells ! at least 6, and the head at most 4 ! Shorten
9 | arrow | r1c1 r1c2 r1c3 | pill=0 ! pill ! can be 1 to 2, and 0 came ! from 1 to 2
9 | arrow | r1c1 r1c2 r1c3 | pill=3 ! pill ! can be 1 to 2, and 3 came ! from 1 to 2
9 | arrow | r1c1 r1c2 r1c3 | pill=2 ! pill ! fewer figures than the pill ! pill shorter
16 | arrow | r1c1-r1c5 | pill=2 ! pill ! digits above 9 ! leave pill out
4 | double-arrow | r1c1-r1c4 r2c4 r2c3 r2c2 r2c1 r3c1 ! cells ! at least 10, and two circles at most 8 ! Shorten
9 | double-arrow | r1c1 r1c2 ! cells ! needs at least 3 cells ! missing cells
9 | between-line | r1c1 r1c2 ! cells ! needs at least 3 cells ! missing cells
4 | lockout-line | r1c1 r1c2 r1c3 ! value ! (4 where no value is given) can be 1 to 2, and 4 came ! from 1 to 2
9 | lockout-line | r1c1 r1c2 r1c3 | value=8 ! value ! can be 1 to 7, and 8 came ! from 1 to 7
9 | renban | r1c1-r1c9 r2c9 ! cells ! has 10 cells, and 9 is the most ! fewer cells
4 | whisper | r1c1 r1c2 ! value ! (5 where no value is given) can be 1 to 3, and 5 came ! from 1 to 3
9 | whisper | r1c1 r1c2 | value=9 ! value ! can be 1 to 8, and 9 came ! from 1 to 8
9 | nabner | r1c1-r1c6 ! cells ! has 6 cells, and 5 is the most ! fewer cells
9 | modular-line | r1c1 r1c2 ! cells ! needs at least 3 cells ! missing cells
16 | entropic-line | r1c1 r1c2 r1c3 ! rule ! is for 9x9 grids, and this one is 16x16 ! 9x9
9 | region-sum-line | r1c1 r1c2 r1c3 r2c3 r1c4 ! cells ! one piece makes at least 10 and another at most 9 ! Move
9 | region-sum-line | r1c2 r1c3 r1c4 | value=10 ! value ! can be 3 to 9, and 10 came ! from 3 to 9
9 | sum-line | r1c1 r1c2 ! value ! sum-line needs value ! Add value
9 | sum-line | r1c1 r1c2 | value=19 ! value ! can be 1 to 18, and 19 came ! from 1 to 18
9 | sum-line | r1c1 r1c2 | value=0 ! value ! can be 1 to 18, and 0 came ! from 1 to 18
9 | zipper-line | r1c1 r1c2 ! cells ! needs at least 3 cells ! missing cells
9 | killer-cage | r1c1 r1c2 r1c3 | value=5 ! value ! a cage of 3 cells can be 6 to 24, and 5 came ! from 6 to 24
9 | killer-cage | r1c1 r1c2 r1c3 | value=25 ! value ! a cage of 3 cells can be 6 to 24, and 25 came ! from 6 to 24
9 | killer-cage | r1c1-r1c9 | value=44 ! value ! can be 45 and nothing else, and 44 came ! Write 45
9 | killer-cage | r1c1-r1c9 r2c1 ! cells ! has 10 cells, and 9 is the most ! fewer cells
9 | killer-cage | r1c1 r5c5 | value=10 ! cells ! do not hang together ! touch one another
9 | extra-region | r1c1-r1c9 r2c1 ! cells ! has 10 cells, and 9 is the most ! fewer cells
9 | equal-sum-cages | r1c1 r1c2 ! groups ! at least two groups of cells instead of cells ! groups = [
9 | equal-sum-cages | r1c1 r1c2 / r1c2 r1c3 ! groups ! r1c2 is in groups 1 and 2 ! one group only
9 | equal-sum-cages | r1c1 / r2c1-r2c4 ! groups ! one group makes at least 10 and another at most 9 ! Change the groups
9 | clone | r1c1 r1c2 / r2c1 r3c1 ! groups ! group 2 has not the shape of group 1 ! moved
9 | clone | r1c1 r1c2 / r1c2 r1c1 ! groups ! two groups are the same cells ! once
9 | clone | r1c1 r1c2 / r2c1 r2c1 ! groups, group 2 ! r2c1 stands twice ! once
9 | magic-square | r1c1-r1c9 ! cells ! three rows of three cells ! nine cells of a square
9 | magic-square | r1c1-r1c3 r2c1-r2c3 ! cells ! needs at least 9 cells ! missing cells
9 | magic-square | r1c8 r1c9 r2c1 r2c8 r2c9 r3c1 r3c8 r3c9 r4c1 ! cells ! three rows of three cells ! nine cells of a square
9 | little-killer | r1c2-r7c8 | value=30 ! cells ! a whole diagonal was expected ! from the clue's side
9 | little-killer | r5c5 | value=3 ! cells ! a whole diagonal was expected ! from the clue's side
9 | little-killer | r1c8-r2c9 | value=2 ! value ! this diagonal of 2 cells can be 3 to 17, and 2 came ! from 3 to 17
9 | little-killer | r1c8-r2c9 | value=18 ! value ! this diagonal of 2 cells can be 3 to 17, and 18 came ! from 3 to 17
9 | little-killer | r1c1-r9c9 | value=17 ! value ! this diagonal of 9 cells can be 18 to 72, and 17 came ! from 18 to 72
5 | little-killer | r1c4-r4c1 | value=21 ! value ! this diagonal of 4 cells can be 5 to 19, and 21 came ! from 5 to 19
9 | sandwich | r1c1-r1c8 | value=5 ! cells ! a whole row or column was expected ! from the clue's side
9 | sandwich | r1c1-r9c9 | value=5 ! cells ! a whole row or column was expected ! from the clue's side
9 | sandwich | r1c1-r1c9 | value=1 ! value ! make 0, 2 to 33 or 35, and 1 came ! one of these
9 | sandwich | r1c1-r1c9 | value=34 ! value ! make 0, 2 to 33 or 35, and 34 came ! one of these
9 | sandwich | r1c1-r1c9 | value=36 ! value ! make 0, 2 to 33 or 35, and 36 came ! one of these
9 | x-sum | r1c1-r1c9 | value=2 ! value ! 1 to 45, but never 2, 4, and 2 came ! one of these
9 | x-sum | r1c1-r1c9 | value=46 ! value ! 1 to 45, but never 2, 4, and 46 came ! one of these
9 | skyscraper | r1c1-r1c9 | value=0 ! value ! can be 1 to 9, and 0 came ! from 1 to 9
9 | skyscraper | r1c1-r1c9 | value=10 ! value ! can be 1 to 9, and 10 came ! from 1 to 9
9 | numbered-room | r1c1-r1c9 | value=10 ! value ! can be 1 to 9, and 10 came ! from 1 to 9
9 | edge-sum | r1c1-r1c9 | value=5 ! value ! the sum of the first 3 digits can be 6 to 24, and 5 came ! from 6 to 24
9 | edge-sum | r1c1-r1c9 | value=5 count=10 ! count ! can be 1 to 9, and 10 came ! from 1 to 9
5 | edge-sum | r1c1-r1c5 | value=5 ! count ! needs a count on a grid without boxes ! Add count
"""  # noqa: E501


@pytest.mark.parametrize("line", REFUSED.strip().splitlines())
def test_an_impossible_clue_is_refused_with_field_reason_and_mend(line: str) -> None:
    text, field, what, mend = (part.strip() for part in line.split("!"))
    grid, clue = clue_of(text)
    with pytest.raises(RuleError) as caught:
        place(clue, grid)
    assert caught.value.field == field
    assert what in caught.value.what
    assert mend in caught.value.mend
    assert not caught.value.what.endswith(".")
    assert not caught.value.mend.endswith(".")


def test_every_clue_rule_that_can_be_wrong_by_itself_is_refused_above() -> None:
    tried = {line.split("|")[1].split("!")[0].strip() for line in REFUSED.strip().splitlines()}
    # These are right on every grid wherever their cells may lie.
    never_wrong = {"even", "high-spot", "low-spot", "less-than", "v", "palindrome", "parity-line"}
    assert set(clue_rules()) - tried == never_wrong | {"slow-thermometer"}


@pytest.mark.parametrize(
    "rule", [name for name, rule in clue_rules().items() if "value" in rule.takes | rule.needs]
)
@pytest.mark.parametrize("value", [-1, 10**6, -(10**30), pytest.param(1 << 200_000, id="200000 bits")])
def test_a_monstrous_value_is_refused_in_no_time(rule: str, value: int) -> None:
    grid = Grid.standard(16)
    cells = {
        Form.PAIR: "r1c1 r1c2",
        Form.OUTSIDE: "r1c1-r1c16",
        Form.DIAGONAL: "r1c1-r16c16",
        Form.AREA: "r1c1 r1c2",
        Form.LINE: "r1c1-r1c16",
    }[clue_rules()[rule].form]
    begun = time.process_time()
    with pytest.raises(RuleError) as caught:
        place(Clue(rule, grid.path(cells), value=value), grid)
    assert len(str(caught.value)) < 400
    assert time.process_time() - begun < 0.5


@pytest.mark.parametrize("size", [9, 16])
@pytest.mark.parametrize("rule", [name for name, rule in clue_rules().items() if rule.form is Form.LINE])
def test_a_line_through_the_whole_grid_is_compiled_small_and_soon_or_refused(rule: str, size: int) -> None:
    grid = Grid.standard(size)
    snake = tuple(
        cell
        for row in range(size)
        for cell in list(range(row * size, row * size + size))[:: -1 if row % 2 else 1]
    )
    for value in (None, 10, 2048):
        if (value is None) == ("value" in clue_rules()[rule].needs):
            continue
        begun = time.process_time()
        try:
            primitives = place(Clue(rule, snake, value=value), grid).compile()
        except RuleError:
            primitives = []
        assert time.process_time() - begun < 0.5
        assert len(primitives) <= len(snake)
        for primitive in primitives:
            if isinstance(primitive, Regular):
                assert len(primitive.automaton.moves) <= 2048


@pytest.mark.parametrize("size", [5, 7])
def test_disjoint_groups_are_refused_where_regions_are_no_boxes(size: int) -> None:
    grid = grid_of(5) if size == 5 else Grid(7, None)
    with pytest.raises(RuleError, match="equal rectangles") as caught:
        placed(empty(grid, rules=("disjoint-groups",)))
    assert caught.value.field == "rules"


def test_a_region_sum_line_is_refused_on_a_latin_square() -> None:
    with pytest.raises(RuleError, match="no regions to cut"):
        place(Clue("region-sum-line", (0, 1)), Grid(4, None))


def test_all_given_is_refused_for_what_is_no_mark() -> None:
    with pytest.raises(RuleError, match="less-than") as caught:
        placed(empty(Grid.standard(9), all_given=("less-than",)))
    assert caught.value.field == "all-given"
    assert "white-dot" in caught.value.mend


def test_a_rule_of_no_such_name_is_refused() -> None:
    with pytest.raises(RuleError, match="no rule"):
        place(Clue("lighthouse", (0,)), Grid.standard(4))
    with pytest.raises(RuleError, match="no rule"):
        placed(empty(Grid.standard(4), rules=("odd",)))


def test_cells_off_the_form_are_told_before_the_rule_sees_them() -> None:
    grid = Grid.standard(9)
    with pytest.raises(RuleError, match="odd needs cells"):
        place(Clue("odd", groups=((0,), (1,))), grid)
    with pytest.raises(RuleError, match="takes no digits"):
        place(Clue("odd", (0,), digits=(1,)), grid)
    with pytest.raises(RuleError, match="instead of cells"):
        place(Clue("clone", (0, 1)), grid)
