"""The key: what it says, its samples, and how it is set."""

from __future__ import annotations

import pytest

from saywhy.drawing import board_svg, key_entries
from saywhy.drawing.key import ground_rule
from saywhy.drawing.layers import key as layer
from saywhy.drawing.samples import example, sample
from saywhy.drawing.text import PLAIN, STRONG, typeset
from saywhy.grid import Grid
from saywhy.rules import placed
from saywhy.shapes import Area, Edge, Line, Outside, Ring, Shape
from tests.drawing.boards import IRREGULAR, LEDGER, SOUNDINGS, board, having, root, texts


def test_each_rule_is_named_once_in_the_order_of_the_file() -> None:
    named = [entry.rule for entry in key_entries(LEDGER)]
    assert named[:4] == ["double-arrow", "arrow", "thermometer", "whisper"]
    assert len(named) == len(set(named)) == 16


def test_grid_wide_rules_come_first() -> None:
    assert [entry.rule for entry in key_entries(SOUNDINGS)] == [
        "diagonals",
        "sandwich",
        "skyscraper",
        "little-killer",
    ]


def test_the_key_says_what_the_rule_says_to_viewers() -> None:
    puzzle = board(9, [("thermometer", "r1c1 r1c2 r1c3")])
    (entry,) = key_entries(puzzle)
    assert entry.text == placed(puzzle).clues[0].phrases.spoken


def test_readings_that_differ_have_entries_of_their_own() -> None:
    lines = [("whisper", "r1c1 r1c2", {"value": 5}), ("whisper", "r2c1 r2c2", {"value": 4})]
    one, other = key_entries(board(9, [*lines, *lines]))
    assert one.rule == other.rule == "whisper"
    assert one.text != other.text
    assert one.sample != other.sample


@pytest.mark.parametrize(
    ("grid", "words"),
    [
        (Grid.standard(6), "row, column and box holds each digit from 1 to 6"),
        (Grid(9, IRREGULAR), "row, column and outlined region holds"),
        (Grid(5, None), "Every row and column holds each digit from 1 to 5"),
    ],
)
def test_the_ground_rule_fits_the_grid(grid: Grid, words: str) -> None:
    assert words in ground_rule(board(grid.size, grid=grid))


def test_every_word_of_every_entry_is_printed() -> None:
    svg = root(board_svg(LEDGER))
    for entry, shown in zip(key_entries(LEDGER), having(svg, "key-entry"), strict=True):
        assert " ".join(texts(shown, "key-text")) == typeset(entry.text)
        assert texts(shown, "key-title") == [entry.title]


def test_no_line_of_the_key_leaves_the_sheet() -> None:
    svg = root(board_svg(LEDGER))
    width = float(svg.get("width", ""))
    for name, face, size in (("key-text", PLAIN, layer.TEXT), ("key-title", STRONG, layer.TITLE)):
        for text in having(svg, name):
            assert float(text.get("x", "")) + face.width(text.text or "", size) < width - 20


def test_a_key_that_is_too_tall_is_set_in_two_columns() -> None:
    few, many = key_entries(SOUNDINGS), key_entries(LEDGER)
    assert len(layer.setting(few, "Ground.", 576).columns) == 1
    two = layer.setting(many, "Ground.", 600)
    assert len(two.columns) == 2
    assert [entry for column in two.columns for entry, _ in column] == list(many)


def test_the_key_can_be_left_out() -> None:
    assert "layer key" not in board_svg(LEDGER, key=False)


def test_a_sample_has_the_texture_and_caps_of_the_clue() -> None:
    line = Line((3, 4, 5, 14), ink=6)
    assert sample([line]).shapes == (Line((0, 1, 2), ink=6),)


def test_a_sample_keeps_rings_at_their_ends_and_pills_whole() -> None:
    assert sample([Line((3, 4, 5, 6)), Ring((3,)), Ring((6,))]).shapes[1:] == (Ring((0,)), Ring((2,)))
    made = sample([Line((4, 5, 6)), Ring((3, 4))])
    assert made.shapes == (Line((1, 2, 3)), Ring((0, 1)))


@pytest.mark.parametrize(
    ("shape", "columns"),
    [
        (Edge(5, 14, "open"), 2),
        (Area((7, 8), label="9"), 3),
        (Outside(80, -1, 0, "7"), 1),
        (Outside(2, 1, -1, "7"), 1),
    ],
)
def test_samples_are_only_as_large_as_they_need(shape: Shape, columns: int) -> None:
    assert sample([shape]).columns == columns


def test_a_rule_without_a_mark_shows_the_cells_that_it_speaks_of() -> None:
    knight = example((40, 21, 23, 29, 33, 47, 51, 57, 59), 9)
    assert (knight.columns, knight.cells[0]) == (5, 12)
    assert len(knight.cells) == 9
    assert example((0, 3, 6, 27), 9).columns == 9


def test_every_sample_fits_its_field() -> None:
    for puzzle in (LEDGER, SOUNDINGS):
        for entry in key_entries(puzzle):
            width, height = layer._fitted(entry.sample).size
            assert width <= layer.SAMPLE + 1e-9
            assert height <= layer.TALLEST + 1e-9
