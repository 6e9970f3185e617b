"""Each look at houses shows what its name says on a small position, and nothing else."""

from __future__ import annotations

from saywhy.primitives import mask
from saywhy.reasoning import houses
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.position import Position
from tests.reasoning.boards import EMPTY, at, cell, shown
from tests.second_opinion.samples import puzzle

FULL = "123456789"


def _without(digits: str) -> str:
    return "".join(digit for digit in FULL if digit not in digits)


def test_the_last_digit_of_a_row_rests_on_the_eight_others_and_the_row_alone() -> None:
    here = Position.opening(Frame(puzzle(9, givens="12345678." + "." * 72)))
    finds = [f for f in houses.only_places(here) if f.places == {8: 9}]
    step = finds[0].build({})
    assert step.idea == "last digit"
    assert {s.name for s in step.reason.sources} == {"row 1"}
    assert step.reason.facts == {c: 1 << c for c in range(8)}
    assert shown(houses.only_places(here), here.frame) == {("place", "r1c9", 9)}


def test_a_digit_swept_through_a_box_has_one_place() -> None:
    rows = ["....5....", ".......5.", "........."] + ["." * 9] * 6
    given = "".join(rows[:2]) + "." * 9 + "5........" + "." * 9 + ".5......." + "." * 27
    here = Position.opening(Frame(puzzle(9, givens=given)))
    assert shown(houses.only_places(here), here.frame) == {("place", "r3c3", 5)}
    step = houses.only_place(here, 18, cell("r3c3"), 5, last=False)
    assert step.idea == "only place"
    assert set(step.reason.facts) == {cell(n) for n in ("r1c5", "r2c8", "r4c1", "r6c2")}
    assert {s.name for s in step.reason.sources} == {"region 1", "row 1", "row 2", "column 1", "column 2"}


def test_the_only_digit_of_a_cell_rests_on_one_sight_for_each_other_digit() -> None:
    given = (
        "...123..."
        + "." * 9
        + "." * 9
        + "4........"
        + "5........"
        + "6........"
        + "." * 9
        + "." * 9
        + "." * 9
    )
    frame = Frame(puzzle(9, givens=given))
    here = at(frame, r1c1=_without("78"))
    assert shown(houses.only_digits(here), frame) == {("place", "r1c1", 9)}
    step = next(iter(houses.only_digits(here))).build({})
    assert step.reason.facts[cell("r1c1")] == mask([1, 2, 3, 4, 5, 6, 9])
    assert len(step.reason.facts) == 7


def test_a_digit_locked_in_a_box_and_row_goes_from_the_rest_of_the_row() -> None:
    clear = {f"r{r}c{c}": _without("4") for r in (2, 3) for c in (1, 2, 3)}
    frame = Frame(EMPTY)
    here = at(frame, **clear)
    assert shown(houses.locked(here), frame) == {("gone", f"r1c{c}", 4) for c in range(4, 10)}
    step = next(iter(houses.locked(here))).build({})
    assert {s.name for s in step.reason.sources} == {"region 1", "row 1"}
    assert step.reason.facts == {cell(name): frame.full & ~mask([4]) for name in clear}


def test_a_pair_goes_from_the_rest_of_its_house_and_from_no_other() -> None:
    frame = Frame(EMPTY)
    here = at(frame, r1c1="27", r1c9="27")
    expected = {("gone", f"r1c{c}", d) for c in range(2, 9) for d in (2, 7)}
    assert shown(houses.subsets(here, 2), frame) == expected
    (find,) = houses.subsets(here, 2)
    step = find.build({})
    assert (step.idea, step.digits) == ("pair", mask([2, 7]))
    assert step.reason.facts == {0: mask([2, 7]), 8: mask([2, 7])}


def test_a_triple_need_not_have_all_three_digits_in_each_cell() -> None:
    frame = Frame(EMPTY)
    here = at(frame, r1c1="12", r1c5="23", r1c9="13")
    found = shown(houses.subsets(here, 3), frame)
    assert found == {("gone", f"r1c{c}", d) for c in (2, 3, 4, 6, 7, 8) for d in (1, 2, 3)}
    assert not list(houses.subsets(here, 2))


def test_a_hidden_pair_clears_its_two_cells_and_nothing_else() -> None:
    frame = Frame(EMPTY)
    here = at(frame, **{f"r1c{c}": _without("27") for c in range(2, 9)})
    assert shown(houses.subsets(here, 2), frame) == {
        ("gone", name, d) for name in ("r1c1", "r1c9") for d in (1, 3, 4, 5, 6, 8, 9)
    }
    (find,) = houses.subsets(here, 2)
    assert find.build({}).idea == "hidden pair"


def test_an_x_wing_clears_its_two_columns_but_not_its_rows() -> None:
    frame = Frame(EMPTY)
    narrow = {f"r{r}c{c}": _without("6") for r in (2, 7) for c in (1, 2, 4, 5, 6, 7, 9)}
    here = at(frame, **narrow)
    assert shown(houses.fish(here, 2), frame) == {
        ("gone", f"r{r}c{c}", 6) for r in (1, 3, 4, 5, 6, 8, 9) for c in (3, 8)
    }
    step = next(iter(houses.fish(here, 2))).build({})
    assert step.idea == "X-wing"
    assert {s.name for s in step.reason.sources} == {"row 2", "row 7", "column 3", "column 8"}


def test_a_swordfish_may_have_two_places_in_each_line() -> None:
    frame = Frame(EMPTY)
    places = {1: (1, 4), 5: (4, 8), 9: (1, 8)}
    narrow = {f"r{r}c{c}": _without("3") for r, two in places.items() for c in range(1, 10) if c not in two}
    here = at(frame, **narrow)
    found = shown(houses.fish(here, 3), frame)
    assert found == {("gone", f"r{r}c{c}", 3) for r in (2, 3, 4, 6, 7, 8) for c in (1, 4, 8)}
    assert not list(houses.fish(here, 2))


def test_a_jellyfish_is_four_lines_in_four() -> None:
    frame = Frame(EMPTY)
    places = {1: (1, 3), 3: (3, 6), 5: (6, 8), 9: (1, 8)}
    narrow = {f"r{r}c{c}": _without("3") for r, two in places.items() for c in range(1, 10) if c not in two}
    here = at(frame, **narrow)
    assert shown(houses.fish(here, 4), frame) == {
        ("gone", f"r{r}c{c}", 3) for r in (2, 4, 6, 7, 8) for c in (1, 3, 6, 8)
    }
    assert next(iter(houses.fish(here, 4))).build({}).idea == "jellyfish"
    assert not list(houses.fish(here, 3))


def test_an_empty_board_shows_nothing() -> None:
    here = Position(Frame(EMPTY))
    for finder in (houses.only_places, houses.only_digits, houses.locked):
        assert not list(finder(here))
    for size in (2, 3, 4):
        assert not list(houses.subsets(here, size))
        assert not list(houses.fish(here, size))


def test_a_house_that_showed_nothing_is_asked_again_once_it_changes() -> None:
    frame = Frame(EMPTY)
    here = at(frame, r1c1="27")
    assert not list(houses.subsets(here, 2))
    here.remove({cell("r1c9"): frame.full & ~mask([2, 7])})
    assert list(houses.subsets(here, 2))
