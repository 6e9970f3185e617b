"""How much paper digits keep around themselves."""

from __future__ import annotations

import pytest

from saywhy.drawing import board_png, board_svg
from saywhy.drawing.collect import collect
from saywhy.drawing.halos import NARROW, WIDE, halos
from saywhy.drawing.theme import ThemeName, theme
from saywhy.marks import Mark
from saywhy.puzzle import Puzzle
from tests.drawing.boards import board, having, pixels, root


def found(puzzle: Puzzle) -> dict[str, float]:
    return {puzzle.grid.name(cell): reach for cell, reach in halos(collect(puzzle), puzzle.grid).items()}


def test_full_ink_beneath_a_digit_asks_for_a_wide_halo_and_nothing_for_none() -> None:
    whisper = board(9, [("whisper", "r1c1 r1c2 r2c3")])
    assert found(whisper) == {"r1c1": WIDE, "r1c2": WIDE, "r2c3": WIDE}
    assert set(found(board(4, rules=["diagonals"])).values()) == {WIDE}


def test_pale_tints_ask_for_a_narrow_one() -> None:
    for rule, cells in (("thermometer", "r1c1 r1c2 r1c3"), ("odd", "r2c2"), ("even", "r2c2")):
        assert set(found(board(4, [(rule, cells)])).values()) == {NARROW}


def test_rings_and_arrow_heads_are_not_eaten_into() -> None:
    arrow = board(9, [("double-arrow", "r1c1 r1c2 r1c3"), ("arrow", "r5c1 r5c2 r5c3")])
    assert found(arrow) == {
        "r1c1": NARROW, "r1c2": WIDE, "r1c3": NARROW, "r5c1": NARROW, "r5c2": WIDE, "r5c3": NARROW,
    }  # fmt: skip


def test_of_two_lines_through_a_cell_the_wider_halo_counts() -> None:
    crossed = board(9, [("thermometer", "r1c1 r1c2 r1c3"), ("whisper", "r1c2 r2c2 r3c2")])
    assert (found(crossed)["r1c1"], found(crossed)["r1c2"]) == (NARROW, WIDE)


def test_in_a_wash_the_halo_has_its_colour() -> None:
    line = board(4, [("double-arrow", "r2c1 r2c2 r2c3 r2c4")])
    marks = [Mark("a", (5,), "look"), Mark("a", (6,), "because")]
    svg = root(board_svg(line, marks=marks, digits={5: 2, 6: 3}))
    found = {digit.get("data-cell"): digit.get("stroke") for digit in having(svg, "placed")}
    assert found == {"r2c2": theme("light")["look"], "r2c3": theme("light")["paper"]}


@pytest.mark.parametrize("name", ["light", "dark"])
@pytest.mark.parametrize("digit", [3, 5, 6, 8, 9])
def test_no_scrap_of_a_line_stays_in_the_hollows_of_a_figure(name: ThemeName, digit: int) -> None:
    """Within the figure's height and breadth there are paper, figure and mixtures of the two, and no ink."""
    line = board(4, [("double-arrow", "r2c1 r2c2 r2c3 r2c4")])
    with_line = pixels(board_png(board_svg(line, theme=name, key=False, digits={5: digit}), 396))
    without = pixels(board_png(board_svg(board(4), theme=name, key=False, digits={5: digit}), 396))
    # Cells are 84 wide from 30 on; a figure is 0.47 high and about 0.3 broad, here with a little less.
    rows, columns = slice(156 - 18, 156 + 18), slice(156 - 10, 156 + 10)
    assert abs(with_line[rows, columns, :3] - without[rows, columns, :3]).max() <= 8
    ink = theme(name)["ink-1"]
    beside = with_line[156, 156 + 30, :3]
    assert [int(channel) for channel in beside] == [int(ink[k : k + 2], 16) for k in (1, 3, 5)]
