"""A board in three plates is the same picture as the board in one."""

from __future__ import annotations

from io import BytesIO

import pytest
from PIL import Image, ImageChops

from saywhy import examples
from saywhy.drawing import board_png, board_svg
from saywhy.drawing.plates import Plates
from saywhy.files import read
from saywhy.marks import Mark

MARKS = (
    Mark("a", (0, 1, 2), "look"),
    Mark("b", (10, 11), "because"),
    Mark("c", (20,), "because"),
    Mark("d", (30,), "result"),
)


def drawn(svg: str) -> Image.Image:
    return Image.open(BytesIO(board_png(svg, 512))).convert("RGBA")


@pytest.mark.parametrize("marks", [(), MARKS], ids=["plain", "lit"])
@pytest.mark.parametrize("name", examples.names())
def test_plates_laid_over_one_another_are_the_board(name: str, marks: tuple[Mark, ...]) -> None:
    puzzle = read(examples.path(name))[0]
    digits = dict.fromkeys(range(0, len(puzzle.grid.cells), 3), 4)
    whole = drawn(board_svg(puzzle, key=False, title=False, marks=marks, digits=digits))
    plates = Plates(puzzle)
    laid = drawn(plates.under(marks))
    for plate in (plates.printed, plates.over(marks, digits)):
        laid = Image.alpha_composite(laid, drawn(plate))
    apart = ImageChops.difference(laid.convert("RGB"), whole.convert("RGB")).tobytes()
    assert max(apart) <= 4
