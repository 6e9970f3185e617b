"""The whole board."""

from __future__ import annotations

import re
import time
from pathlib import Path

import pytest

from saywhy.drawing import THEMES, board_svg, key_entries
from saywhy.drawing.board import cell_unit
from saywhy.grid import Grid
from saywhy.marks import ROLES, Mark
from saywhy.puzzle import Puzzle
from saywhy.rules import all_rules
from tests.drawing.boards import (
    IRREGULAR,
    LEDGER,
    MOORINGS,
    MOORINGS_MARKS,
    SOUNDINGS,
    board,
    crowded,
    having,
    root,
    specimen,
    texts,
)
from tests.drawing.golden import GOLDEN, made

HOSTILE = (
    "</text><script>alert(1)</script>",
    '"><image href="http://example.org/x.png"/>',
    "&lt;b&gt; &amp; &#x3c;script&#x3e;",
    "\u202eright to left\u2066\x00\x07",
    "]]> <!-- <![CDATA[ -->",
    '{{7*7}} ${x} %s #import "x.typ"',
)


@pytest.mark.parametrize("name", THEMES)
def test_the_same_puzzle_gives_the_same_svg(name: str) -> None:
    assert board_svg(LEDGER, theme=name) == board_svg(LEDGER, theme=name)  # type: ignore[arg-type]


@pytest.mark.parametrize("path", sorted(GOLDEN.glob("*.svg")), ids=lambda path: path.stem)
def test_golden_boards_look_as_they_did_when_someone_looked(path: Path) -> None:
    assert made(path.stem) == path.read_text(encoding="utf-8")


def test_there_are_golden_boards() -> None:
    assert len(list(GOLDEN.glob("*.svg"))) >= 4


@pytest.mark.parametrize("size", range(4, 17))
def test_every_size_is_drawn(size: int) -> None:
    grid = Grid(size, None)
    puzzle = Puzzle(grid, tuple(1 + cell % size for cell in grid.cells))
    svg = root(board_svg(puzzle))
    assert texts(svg, "given") == [str(1 + cell % size) for cell in grid.cells]
    (regions,) = having(svg, "fine")[:1]
    assert regions.get("d", "").count("M") == 2 * (size - 1)


def test_boards_of_all_sizes_are_about_equally_wide() -> None:
    assert all(320 <= size * cell_unit(size) <= 640 for size in range(4, 17))


def test_regions_are_bordered_and_a_latin_square_has_none() -> None:
    boxes = having(root(board_svg(board(9), key=False)), "regions")[0].get("d", "")
    assert boxes.count("M") == 4
    odd = having(root(board_svg(board(9, grid=Grid(9, IRREGULAR)), key=False)), "regions")[0].get("d", "")
    assert odd.count("M") > 4
    assert having(root(board_svg(board(5, grid=Grid(5, None)), key=False)), "regions") == []


def test_region_borders_lie_exactly_between_regions() -> None:
    grid = Grid(9, IRREGULAR)
    data = having(root(board_svg(board(9, grid=grid), key=False)), "regions")[0].get("d", "")
    unit = cell_unit(9)
    half = 0.05 * unit
    drawn = sum(float(length) - half for length in re.findall(r"[hv]([\d.]+)", data)) / unit
    between = sum(IRREGULAR[a] != IRREGULAR[b] for a, b in grid.neighbour_pairs)
    assert drawn == pytest.approx(between, abs=0.01)


def test_placed_digits_differ_from_givens_in_typeface_and_ink() -> None:
    svg = root(board_svg(LEDGER, digits={1: 5, 0: 9}))
    (placed,) = having(svg, "placed")
    assert (placed.text, placed.get("data-cell")) == ("5", "r1c2")
    given = having(svg, "given")[0]
    assert (given.text, given.get("data-cell")) == ("7", "r1c1")
    assert placed.get("font-family") != given.get("font-family")
    assert placed.get("fill") != given.get("fill")


def test_notes_stand_along_the_lower_edge_of_cells_without_a_digit() -> None:
    svg = root(board_svg(LEDGER, notes={0: [1, 2], 1: {9, 4}, 2: range(1, 10)}, key=False, title=False))
    found = having(svg, "note")
    assert [note.get("data-cell") for note in found] == ["r1c2"] * 2 + ["r1c3"] * 9
    assert [note.text for note in found[:2]] == ["4", "9"]
    unit, top = cell_unit(9), 30
    assert all(float(note.get("y", "")) - top > unit / 2 for note in found)
    assert all(float(note.get("y", "")) - top < unit for note in found)


def test_digits_over_lines_and_surfaces_have_a_halo_and_others_none() -> None:
    svg = root(board_svg(LEDGER, digits={11: 5, 45: 8}))
    halo = {found.get("data-cell"): found.get("paint-order") == "stroke" for found in having(svg, "placed")}
    assert halo == {"r2c3": True, "r6c1": False}


def test_the_digits_come_last() -> None:
    svg = board_svg(MOORINGS, marks=MOORINGS_MARKS, digits={1: 2}, notes={3: [4]})
    names = re.findall(r'class="layer ([a-z]+)"', svg)
    assert names.index("washes") < names.index("grid") < names.index("marks") < names.index("digits")
    assert names.index("notes") < names.index("digits")


@pytest.mark.parametrize("role", ROLES)
def test_roles_of_marks_differ_without_colour(role: str) -> None:
    def shape(name: str) -> str:
        svg = board_svg(MOORINGS, marks=[Mark("a", (3, 4), name)], key=False)  # type: ignore[arg-type]
        return re.sub(r' (class|fill|stroke|data-group)="[^"]*"', "", svg)

    assert all(shape(role) != shape(other) for other in ROLES if other != role)


def test_groups_carry_letters_only_where_a_role_has_several() -> None:
    svg = root(board_svg(MOORINGS, marks=MOORINGS_MARKS))
    assert texts(svg, "tab-letter") == ["a", "b", "a", "b"]
    assert not texts(
        root(board_svg(MOORINGS, marks=[Mark("a", (1,)), Mark("a", (2,), "result")])), "tab-letter"
    )


def test_every_mark_is_framed_and_an_empty_one_is_allowed() -> None:
    svg = root(board_svg(MOORINGS, marks=[*MOORINGS_MARKS, Mark("c", ())]))
    groups = [(found.get("class"), found.get("data-group")) for found in having(svg, "mark")]
    for mark in MOORINGS_MARKS:
        assert (f"mark {mark.role}", mark.group) in groups


@pytest.mark.parametrize("words", HOSTILE)
def test_a_hostile_title_and_setter_are_only_text(words: str) -> None:
    svg = board_svg(board(9, title=words, setter=words))
    tree = root(svg)
    assert {found.tag.split("}")[1] for found in tree.iter()} == {"svg", "g", "path", "text"}
    names = {name for found in tree.iter() for name in found.attrib}
    assert not any(name.startswith("on") or "href" in name or name in ("id", "style") for name in names)
    assert not re.search("[\u202a-\u202e\u2066-\u2069\x00-\x08]", svg)


@pytest.mark.parametrize("letter", ["x", "<", "你", "a ", "e\u0333"])
def test_a_title_of_ten_thousand_letters_stays_within_the_sheet(letter: str) -> None:
    begin = time.process_time()
    svg = board_svg(board(9, title=letter * 10_000, setter=letter * 10_000))
    assert time.process_time() - begin < 1
    assert len(texts(root(svg), "title")) == 2
    assert float(root(svg).get("height", "")) < 800


def test_an_untitled_puzzle_has_no_heading() -> None:
    assert "layer heading" not in board_svg(board(9))
    assert "layer heading" not in board_svg(LEDGER, title=False)


def test_a_long_title_wraps_and_the_credit_goes_below() -> None:
    words = "The night the harbour master lost the only chart of the outer breakwater and its lights"
    svg = root(board_svg(board(9, title=words, setter="wharfside")))
    lines = texts(svg, "title")
    assert len(lines) == 2
    assert " ".join(lines) == words


def test_the_picture_says_what_it_shows_and_spoils_nothing() -> None:
    label = root(board_svg(SOUNDINGS)).get("aria-label", "")
    assert label.startswith("Soundings round the breakwater. A 9 by 9 sudoku grid")


@pytest.mark.parametrize("name", all_rules())
def test_every_rule_is_drawn_and_named_in_the_key(name: str) -> None:
    puzzle = specimen(name)
    svg = root(board_svg(puzzle))
    entries = {entry.rule: entry for entry in key_entries(puzzle)}
    assert name in entries
    assert all_rules()[name].title in texts(svg, "key-title")
    rule_draws = [found for found in having(svg, "clue") if found.get("data-rule") == name]
    sample = entries[name].sample
    assert rule_draws or sample.cells
    assert bool(rule_draws) == bool(sample.shapes)


@pytest.mark.parametrize("name", all_rules())
def test_every_clue_of_a_specimen_has_a_mark_of_its_own(name: str) -> None:
    puzzle = specimen(name)
    svg = root(board_svg(puzzle, key=False))
    marked = {int(found.get("data-clue", "-1")) for found in having(svg, "clue")}
    assert set(range(len(puzzle.clues))) <= marked


def test_a_large_and_crowded_board_is_drawn_quickly() -> None:
    puzzle = crowded(16, 110, seed=7)
    board_svg(puzzle)
    times = []
    for _ in range(5):
        begin = time.process_time()
        board_svg(puzzle)
        times.append(time.process_time() - begin)
    assert min(times) < 0.05


@pytest.mark.parametrize("seed", range(12))
def test_random_boards_are_well_formed(seed: int) -> None:
    puzzle = crowded(6 + seed % 4 if seed % 4 in (0, 2, 3) else 12, 25, seed)
    tree = root(board_svg(puzzle))
    width, height = float(tree.get("width", "")), float(tree.get("height", ""))
    for text in tree.iter("{http://www.w3.org/2000/svg}text"):
        assert 0 < float(text.get("x", "")) < width
        assert 0 < float(text.get("y", "")) < height
