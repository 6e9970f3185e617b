"""Each layer, by the classes and places of what it draws."""

from __future__ import annotations

import re
from itertools import combinations
from math import hypot

import pytest

from saywhy.drawing import board_svg
from saywhy.drawing.collect import Drawn
from saywhy.drawing.geometry import Frame
from saywhy.drawing.layers import outside
from saywhy.drawing.laying import draw_over, draw_under
from saywhy.drawing.pen import Pen
from saywhy.drawing.theme import THEMES, theme
from saywhy.shapes import Area, Cap, Corner, Diagonal, Edge, Line, Outside, Ring, Shape, Sign, Texture, Weight
from tests.drawing.boards import SOUNDINGS, having, root, texts


def drawn(*shapes: Shape, columns: int = 9) -> str:
    """Draw shapes alone on a grid with cells of 100."""
    pen = Pen(theme("light"))
    frame = Frame(columns, columns, 100)
    items = [Drawn(shape, f"rule-{place}", place) for place, shape in enumerate(shapes)]
    draw_under(pen, frame, items)
    draw_over(pen, frame, items)
    return f'<svg xmlns="http://www.w3.org/2000/svg">{pen.svg()}</svg>'


def data_of(svg: str, name: str) -> list[str]:
    """Give the path data of all elements with a class."""
    return [found.get("d", "") for found in having(root(svg), name)]


def without_ink(svg: str) -> str:
    """Give a drawing as a printer without colours and tints would: shapes and widths only."""
    return re.sub(r' (class|fill|stroke)="[^"]*"', "", svg)


def test_no_two_textures_look_alike_without_colour() -> None:
    seen = {
        without_ink(drawn(Line((0, 1, 2), texture, weight))): (texture, weight)
        for texture in Texture
        for weight in Weight
    }
    assert len(seen) == len(Texture) * len(Weight)


def test_no_two_caps_look_alike_without_colour() -> None:
    seen = {without_ink(drawn(Line((0, 1, 2), end=cap))) + str(cap in (Cap.ROUND, Cap.SQUARE)) for cap in Cap}
    assert len(seen) == len(Cap)


@pytest.mark.parametrize("texture", Texture)
@pytest.mark.parametrize("cells", [(0, 1, 2), (0, 10, 20), (0, 1, 11, 10, 9), (0, 10, 1, 9), (4, 12, 13, 3)])
def test_every_texture_goes_round_every_corner(texture: Texture, cells: tuple[int, ...]) -> None:
    for weight in Weight:
        svg = drawn(Line(cells, texture, weight, 3))
        assert having(root(svg), "s-ink-3") or having(root(svg), "f-ink-3")
        assert "nan" not in svg
        assert "inf" not in svg


@pytest.mark.parametrize("texture", Texture)
def test_every_texture_fills_and_borders_an_area(texture: Texture) -> None:
    svg = drawn(Area((0, 1, 10), texture, texture, 2, "12"))
    tokens = {name for found in root(svg).iter() for name in found.get("class", "").split()}
    assert tokens & {"s-ink-2", "f-ink-2", "f-tint-2"}
    assert texts(root(svg), "label") == ["12"]


def test_surfaces_look_different_without_colour() -> None:
    seen = {without_ink(drawn(Area((0, 1), None, texture, 1))) for texture in Texture}
    assert len(seen) == len(Texture)


def test_nothing_drawn_uses_an_id_a_reference_or_a_pattern() -> None:
    for texture in Texture:
        svg = drawn(Line((0, 1), texture), Area((3, 4), texture, texture))
        assert not re.search(r"\bid=|href|url\(|<pattern|<clip|<style|<script", svg)


def test_cages_side_by_side_keep_their_borders_apart() -> None:
    left, right = data_of(drawn(Area((0, 9), label="3"), Area((1, 10), label="4")), "border")
    xs = [[float(x) for x in re.findall(r"[ML]([\d.]+) ", path)] for path in (left, right)]
    assert max(xs[0]) < 95
    assert min(xs[1]) > 105


def test_borders_of_two_rules_on_the_same_cells_do_not_coincide() -> None:
    one, other = data_of(drawn(Area((0, 1)), Area((0, 1), Texture.DOTTED)), "border")
    assert one != other


def test_two_labels_in_one_cell_stand_side_by_side() -> None:
    labels = having(root(drawn(Area((0, 1), label="12"), Area((0, 9), label="7"))), "label")
    assert float(labels[0].get("x", "")) + 10 < float(labels[1].get("x", ""))


def test_the_label_of_a_line_avoids_the_line() -> None:
    svg = drawn(Line((10, 0)), Area((10,), outline=None, label="5"))
    (label,) = having(root(svg), "label")
    assert float(label.get("x", "")) > 150


def test_labels_lie_over_lines() -> None:
    svg = drawn(Area((0, 1), label="9"), Line((0, 1)))
    assert svg.index("layer lines") < svg.index("layer labels")


def test_a_line_ends_at_the_ring_of_its_own_clue() -> None:
    pen = Pen(theme("light"))
    shapes: list[Shape] = [Line((0, 1, 2)), Ring((0,))]
    draw_over(pen, Frame(9, 9, 100), [Drawn(shape, "arrow", 0) for shape in shapes])
    assert data_of(f"<svg>{pen.svg()}</svg>", "solid") == ["M89.9 50L150 50L250 50"]


def test_a_line_passes_under_the_ring_of_another_clue() -> None:
    svg = drawn(Line((0, 1, 2)), Ring((0,)))
    assert data_of(svg, "solid") == ["M50 50L150 50L250 50"]
    (edge,) = having(root(svg), "edge")[-1:]
    assert edge.get("fill") == "none"


def test_a_shaft_leaves_its_pill_at_the_pills_edge_in_every_direction() -> None:
    for cells, pill in (((10, 20), (9, 10)), ((10, 0), (9, 10)), ((10, 11), (9, 10)), ((10, 18), (9, 10))):
        pen = Pen(theme("light"))
        draw_over(pen, Frame(9, 9, 100), [Drawn(Line(cells), "arrow", 0), Drawn(Ring(pill), "arrow", 0)])
        (data,) = data_of(f"<svg>{pen.svg()}</svg>", "solid")
        x, y = map(float, re.findall(r"^M([\d.]+) ([\d.]+)", data)[0])
        # The pill is all within 37 of the stretch from (50, 150) to (150, 150).
        away = hypot(x - min(max(x, 50), 150), y - 150)
        # Half its own breadth further, as its end is round.
        assert away == pytest.approx(37 + 5 - 2.1, abs=2)


def test_broad_lines_lie_under_fine_ones() -> None:
    svg = drawn(Line((0, 1, 2), weight=Weight.FINE), Line((9, 1, 11), weight=Weight.BROAD))
    assert svg.index('data-clue="1"') < svg.index('data-clue="0"')


def test_lines_that_run_together_are_laid_side_by_side() -> None:
    svg = drawn(Line((0, 1, 2)), Line((0, 1, 2)), Line((1, 2, 3)))
    tracks = [re.findall(r"M[\d.]+ ([\d.]+)", data)[0] for data in data_of(svg, "solid")]
    assert len(set(tracks)) == 3


def test_lines_that_only_cross_stay_on_the_centres() -> None:
    svg = drawn(Line((0, 10)), Line((1, 9)))
    assert data_of(svg, "solid") == ["M50 50L150 150", "M150 50L50 150"]


def test_a_line_keeps_paper_free_around_itself() -> None:
    (casing,) = having(root(drawn(Line((0, 1)))), "casing")
    (solid,) = having(root(drawn(Line((0, 1)))), "solid")
    assert float(casing.get("stroke-width", "")) > float(solid.get("stroke-width", ""))


def test_a_line_that_crosses_itself_has_a_bridge() -> None:
    assert len(having(root(drawn(Line((0, 10, 1, 9)))), "casing")) == 2


def test_dots_stand_on_the_middle_of_the_border() -> None:
    svg = drawn(Edge(0, 1, "open"), Edge(0, 9, "filled", "2"))
    assert re.match(r"M87.5 50a12.5 ", data_of(svg, "open")[0])
    assert re.match(r"M33.5 100a16.5 ", data_of(svg, "filled")[0])
    assert texts(root(svg), "edge-text") == ["2"]


def test_a_white_dot_is_white_and_a_black_dot_black_in_every_theme() -> None:
    for name in THEMES:
        held = theme(name)
        assert min(int(held["dot-open"][k : k + 2], 16) for k in (1, 3, 5)) > 0xE0
        assert max(int(held["dot-filled"][k : k + 2], 16) for k in (1, 3, 5)) < 0x20


@pytest.mark.parametrize(("a", "b"), [(0, 1), (1, 0), (0, 9), (9, 0)])
def test_the_point_of_a_wedge_is_towards_the_smaller_digit(a: int, b: int) -> None:
    (data,) = data_of(drawn(Edge(a, b, "less")), "less")
    points = [tuple(map(float, pair.split())) for pair in re.findall(r"[ML]([\d.]+ [\d.]+)", data)]
    frame = Frame(9, 9, 100)
    far = [hypot(x - frame.centre(a)[0], y - frame.centre(a)[1]) for x, y in points]
    assert far[1] == min(far)


def test_letters_stand_on_bare_plates_and_numbers_on_framed_ones() -> None:
    bare, framed = having(root(drawn(Edge(0, 1, "text", "X"), Edge(1, 2, "text", "13"))), "plate")
    assert bare.get("stroke") is None
    assert framed.get("stroke") is not None


@pytest.mark.parametrize(
    ("text", "rows"), [("5", 1), ("1 2", 1), ("1 2 3", 2), ("1 2 3 4", 2), ("12 13 14 15", 2)]
)
def test_digits_on_a_corner_stand_in_up_to_two_rows(text: str, rows: int) -> None:
    lines = texts(root(drawn(Corner((0, 1, 9, 10), text))), "corner-text")
    assert len(lines) == rows
    assert " ".join(lines).split() == text.split()


def test_low_and_high_spots_point_opposite_ways() -> None:
    down, up = drawn(Sign(0, "down")), drawn(Sign(0, "up"))
    assert data_of(down, "down") != data_of(up, "up")


def test_discs_are_ruled_so_that_they_differ_from_bulbs() -> None:
    assert having(root(drawn(Sign(0, "disc"))), "ruling")
    assert having(root(drawn(Sign(0, "square"))), "ruling")


def test_diagonals_run_from_corner_to_corner() -> None:
    drawing = drawn(Diagonal(falling=True), Diagonal(falling=False))
    assert data_of(drawing, "s-soft") == ["M0 0L900 900", "M0 900L900 0"]


def straight(cell: int, down: int, right: int, rule: str = "a") -> tuple[Drawn, Outside]:
    shape = Outside(cell, down, right, "12")
    return Drawn(shape, rule, 0), shape


def test_texts_outside_stand_clear_of_the_grid_on_their_own_side() -> None:
    shapes = [straight(4, 1, 0), straight(76, -1, 0), straight(36, 0, 1), straight(44, 0, -1)]
    above, below, left, right = outside.slots(shapes, 9)
    assert (above.row, above.column) == (-outside.FIRST, 4.5)
    assert (below.row, below.column) == (9 + outside.FIRST, 4.5)
    assert (left.row, left.column) == (4.5, -outside.FIRST)
    assert (right.row, right.column) == (4.5, 9 + outside.FIRST)


def test_no_two_texts_outside_share_a_place() -> None:
    shapes = [straight(cell, 1, 0, rule) for cell in range(9) for rule in ("a", "b")]
    shapes += [straight(cell, 1, right, "c") for cell in range(1, 8) for right in (1, -1)]
    places = [(slot.row, slot.column) for slot in outside.slots(shapes, 9)]
    closest = min(hypot(a[0] - b[0], a[1] - b[1]) for a, b in combinations(places, 2))
    assert closest > 0.4


def test_a_rule_outside_keeps_one_distance_on_a_side() -> None:
    shapes = [straight(cell, 1, 0, "a") for cell in range(9)] + [straight(3, 1, 1, "c")]
    rows = {slot.row for slot in outside.slots(shapes, 9) if slot.item.rule == "a"}
    assert len(rows) == 1


def test_margins_are_only_as_large_as_needed() -> None:
    above, right, below, left = outside.margins(outside.slots([straight(4, 1, 0)], 9), 9)
    assert above > 0.5
    assert (right, below, left) == (0, 0, 0)
    assert outside.margins([], 9) == (0, 0, 0, 0)


def test_a_diagonal_text_lies_on_its_diagonal() -> None:
    (slot,) = outside.slots([straight(1, 1, 1)], 9)
    # The diagonal enters at the upper left corner of r1c2, row 0 and column 1.
    assert slot.row - 0 == pytest.approx(slot.column - 1)


def test_every_text_outside_is_within_the_sheet() -> None:
    svg = root(board_svg(SOUNDINGS, key=False))
    width, height = float(svg.get("width", "")), float(svg.get("height", ""))
    found = having(svg, "outside-text")
    assert len(found) == 12
    for text in found:
        assert 10 < float(text.get("x", "")) < width - 10
        assert 10 < float(text.get("y", "")) < height - 10


def test_every_diagonal_has_a_pointer() -> None:
    assert len(having(root(board_svg(SOUNDINGS, key=False)), "pointer")) == 6


@pytest.mark.parametrize("kind", ["plain", "boxed", "round", "bracket", "underlined", "double"])
def test_plates_outside_differ_by_shape(kind: str) -> None:
    def drawn_plate(name: str) -> str:
        pen = Pen(theme("light"))
        shape = Outside(0, 1, 0, "12", kind=name)
        outside.draw(pen, Frame(9, 9, 100), outside.slots([(Drawn(shape, "a", 0), shape)], 9))
        return re.sub(r'class="[^"]*"', "", pen.svg())

    others = {"plain", "boxed", "round", "bracket", "underlined", "double"} - {kind}
    assert all(drawn_plate(kind) != drawn_plate(other) for other in others)
