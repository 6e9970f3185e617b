"""Totals in cages and numbers beside the grid stay legible where cells are small."""

from __future__ import annotations

import re
from math import hypot

import pytest

from saywhy.drawing import board_svg
from saywhy.files import read_text

SHEET = """
format = 1
size = {size}
[[clue]]
rule = "killer-cage"
cells = "r1c1 r1c2"
value = 12
[[clue]]
rule = "little-killer"
cells = "{cells}"
value = 30
[[clue]]
rule = "skyscraper"
cells = "r1c3-r{size}c3"
value = 4
"""


def sizes(size: int) -> dict[str, float]:
    """Give the type size of each small figure, against the width of the whole grid."""
    cells = " ".join(f"r{k}c{size - 4 + k}" for k in range(1, 5))
    text = SHEET.format(size=size, cells=cells)
    svg = board_svg(read_text(text)[0], key=False, title=False)
    width = float(re.search(r'viewBox="0 0 ([\d.]+)', svg)[1])  # type: ignore[index]
    found = re.findall(r'<text[^>]*class="(label|outside-text)[^"]*"[^>]*>', svg)
    assert set(found) == {"label", "outside-text"}
    held: dict[str, float] = {}
    for tag in re.findall(r"<text[^>]*>", svg):
        name = re.search(r'class="(label|outside-text)', tag)
        size_of = re.search(r'font-size="([\d.]+)"', tag)
        if name and size_of:
            held[name[1]] = max(held.get(name[1], 0.0), float(size_of[1]) / width)
    return held


@pytest.mark.parametrize("name", ["label", "outside-text"])
def test_small_figures_shrink_less_than_the_cells_of_a_large_grid(name: str) -> None:
    """On the 1080 pixels of a stage a total on a grid of 16 by 16 is at least 11 pixels high in type."""
    nine, sixteen = sizes(9), sizes(16)
    assert sixteen[name] > 1.2 * nine[name] * 9 / 16
    assert sixteen[name] * 1000 > 11


def test_a_total_of_three_figures_leaves_its_pointer_room() -> None:
    """The pointer of a long diagonal keeps a shaft between the text and its head."""
    cells = " ".join(f"r{k}c{k}" for k in range(1, 17))
    text = f'format = 1\nsize = 16\n[[clue]]\nrule = "little-killer"\ncells = "{cells}"\nvalue = 113\n'
    svg = board_svg(read_text(text)[0], key=False, title=False)
    shaft = re.search(r'<path class="shaft[^>]* d="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)"', svg)
    assert shaft is not None
    x, y, to_x, to_y = map(float, shaft.groups())
    width = float(re.search(r'viewBox="0 0 ([\d.]+)', svg)[1])  # type: ignore[index]
    assert hypot(to_x - x, to_y - y) > 0.05 * width / 17
