"""What is written reads back as the same puzzle, whatever the puzzle."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings

from saywhy.engine.constraints import constraints
from saywhy.files import canonical, puzzle_id, read_text, write
from saywhy.grid import Grid
from saywhy.puzzle import Clue, Puzzle
from tests.files.strategies import puzzles

thorough = settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@thorough
@given(puzzles())
def test_reading_what_was_written_gives_an_equal_puzzle(puzzle: Puzzle) -> None:
    assert read_text(write(puzzle)) == [puzzle]


@thorough
@given(puzzles())
def test_the_identity_survives_writing_and_forgets_title_and_setter(puzzle: Puzzle) -> None:
    [back] = read_text(write(puzzle))
    bare = Puzzle(puzzle.grid, puzzle.givens, puzzle.rules, puzzle.all_given, puzzle.clues)
    assert puzzle_id(back) == puzzle_id(puzzle) == puzzle_id(bare)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(puzzles())
def test_every_puzzle_that_reads_can_be_compiled(puzzle: Puzzle) -> None:
    assert len(constraints(puzzle)) >= 2 * puzzle.grid.size


def test_the_identity_of_a_known_puzzle_never_changes() -> None:
    grid = Grid.standard(4)
    clue = Clue("killer-cage", grid.path("r1c1-r1c2"), value=5)
    puzzle = Puzzle(grid, (1,) + (0,) * 15, ("anti-knight",), ("x",), (clue,), "Low tide", "demo")
    assert canonical(puzzle) == (
        '{"all-given":["x"],"clues":[{"cells":["r1c1","r1c2"],"rule":"killer-cage","value":5}],"format":1,'
        '"givens":[1,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0],"regions":[0,0,1,1,0,0,1,1,2,2,3,3,2,2,3,3],'
        '"rules":["anti-knight"],"size":4}'
    )
    # by sha256sum of that text
    assert puzzle_id(puzzle) == "fd982e5fbe5d1afa1b8864fa43f6c565977d56c8b5db92627d22798737566ebd"


def test_a_digit_a_cell_or_a_value_more_makes_another_identity() -> None:
    grid = Grid.standard(4)
    clue = Clue("killer-cage", grid.path("r1c1-r1c2"), value=5)
    held = [
        Puzzle(grid, (0,) * 16, clues=(clue,)),
        Puzzle(grid, (1,) + (0,) * 15, clues=(clue,)),
        Puzzle(grid, (0,) * 16, clues=(Clue("killer-cage", clue.cells, value=6),)),
        Puzzle(grid, (0,) * 16, clues=(Clue("killer-cage", clue.cells),)),
        Puzzle(grid, (0,) * 16, clues=(clue, clue)),
        Puzzle(Grid(4, None), (0,) * 16, clues=(clue,)),
        Puzzle(grid, (0,) * 16, ("anti-knight",), clues=(clue,)),
    ]
    assert len({puzzle_id(puzzle) for puzzle in held}) == len(held)


def test_straight_runs_are_written_short_and_bends_are_kept() -> None:
    grid = Grid.standard(9)
    clue = Clue("palindrome", grid.path("r1c1 r1c2 r1c3 r2c3 r3c4 r4c5 r4c6"))
    text = write(Puzzle(grid, (0,) * 81, clues=(clue,)))
    assert 'cells = "r1c1-r1c3 r2c3-r4c5 r4c6"' in text
