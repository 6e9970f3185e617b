"""PNG by typst, with the shipped typefaces and no others."""

from __future__ import annotations

import shutil
from pathlib import Path

import numpy as np
import pytest

from saywhy.drawing import FontMissingError, board_png, board_svg, png
from saywhy.drawing.text import FONTS
from tests.drawing.boards import LEDGER, MOORINGS, board, pixels, root

SMALL = board(4, title="Dinghy", givens={"r4c4": 2})


def test_a_picture_has_the_width_asked_for_and_the_shape_of_the_svg() -> None:
    svg = board_svg(LEDGER, key=False)
    seen = pixels(board_png(svg, 400))
    tree = root(svg)
    ratio = float(tree.get("height", "")) / float(tree.get("width", ""))
    assert seen.shape[:2] == (round(400 * ratio), 400)


@pytest.mark.parametrize("width", [233, 300, 341])
def test_the_paper_reaches_every_edge(width: int) -> None:
    seen = pixels(board_png(board_svg(SMALL), width))
    paper = (0xFB, 0xF8, 0xF1)
    for line in (seen[0], seen[-1], seen[:, 0], seen[:, -1]):
        assert np.abs(line[:, :3] - paper).max() <= 2
        if seen.shape[2] == 4:
            assert line[:, 3].min() == 255


def test_no_row_of_pixels_is_dropped() -> None:
    # Fifty hairs one pixel high, two pixels apart: a dropped row would join two of them or lose one.
    hairs = "".join(f'<path d="M0 {2 * k}.5h100" stroke="#000000" stroke-width="1"/>' for k in range(50))
    for height in ("100", "100.4"):
        box = f'viewBox="0 0 100 {height}" width="100" height="{height}"'
        svg = f'<svg xmlns="http://www.w3.org/2000/svg" {box}>{hairs}</svg>'
        seen = pixels(board_png(svg, 100))
        dark = seen[:, 50, 3] > 127 if seen.shape[2] == 4 else seen[:, 50, 0] < 128
        assert dark.sum() == 50
        assert not (dark[:-1] & dark[1:]).any()


def test_the_digits_are_printed_in_the_middle_of_their_cells() -> None:
    svg = board_svg(board(4, givens={"r1c1": 8}), key=False)
    seen = pixels(board_png(svg, 396))
    # The sheet is 396 wide with cells of 84 from 30 on; look inside the frame of r1c1.
    cell = seen[38:106, 38:106, 0] < 100
    rows, columns = np.nonzero(cell)
    assert len(rows) > 100
    assert abs((rows.min() + rows.max()) / 2 + 38 - 72) <= 1.5
    assert abs((columns.min() + columns.max()) / 2 + 38 - 72) <= 2
    assert (rows.max() - rows.min()) / 84 == pytest.approx(0.47, abs=0.03)


def test_a_halo_parts_a_digit_from_the_line_beneath() -> None:
    puzzle = board(4, [("thermometer", "r1c1 r1c2 r1c3")])
    with_digit = pixels(board_png(board_svg(puzzle, key=False, digits={1: 1}), 396))
    without = pixels(board_png(board_svg(puzzle, key=False), 396))
    # Beside the figure, where the band runs, there is now paper.
    assert (with_digit[72, 114:198, 0] > 0xF0).sum() > (without[72, 114:198, 0] > 0xF0).sum() + 4


@pytest.mark.parametrize("name", ["light", "dark", "grey"])
def test_every_theme_makes_a_picture(name: str) -> None:
    seen = pixels(board_png(board_svg(MOORINGS, theme=name), 300))  # type: ignore[arg-type]
    assert len(np.unique(seen.reshape(-1, seen.shape[2]), axis=0)) > 20


def test_the_same_svg_gives_the_same_picture() -> None:
    svg = board_svg(SMALL)
    assert board_png(svg, 300) == board_png(svg, 300)


def test_a_missing_typeface_is_an_error(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for path in FONTS.glob("*.ttf"):
        shutil.copy(path, tmp_path)
    (tmp_path / "besley-bold.ttf").unlink()
    monkeypatch.setattr("saywhy.drawing.png.FONTS", tmp_path)
    with pytest.raises(FontMissingError, match=r"besley-bold\.ttf"):
        board_png(board_svg(SMALL), 300)


def test_a_typeface_that_is_not_shipped_is_an_error() -> None:
    svg = board_svg(SMALL).replace("Besley", "Comic Neue")
    with pytest.raises(FontMissingError, match="Comic Neue"):
        board_png(svg, 300)


def test_typst_takes_no_typeface_of_the_machine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked = []
    real = png.typst_fonts

    def watched() -> object:
        asked.append(real())
        return asked[-1]

    monkeypatch.setattr(png, "typst_fonts", watched)
    board_png(board_svg(SMALL), 300)
    assert [sorted(set(fonts.families())) for fonts in asked] == [["Besley", "Libre Franklin"]]


@pytest.mark.parametrize("width", [0, -5, 15, 8001])
def test_a_width_out_of_bounds_is_refused(width: int) -> None:
    with pytest.raises(ValueError, match="16 to 8000"):
        board_png(board_svg(SMALL), width)


def test_an_svg_without_a_size_is_refused() -> None:
    with pytest.raises(ValueError, match="viewBox"):
        board_png("<svg xmlns='http://www.w3.org/2000/svg'/>", 300)
