"""``saywhy draw``."""

from __future__ import annotations

import struct
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from tests.running import Command

SVG = "{http://www.w3.org/2000/svg}svg"


def test_an_svg_is_written_and_named(saywhy: Command, tide: Path, tmp_path: Path) -> None:
    out = tmp_path / "tide.svg"
    ran = saywhy("draw", tide, "-o", out)
    assert (ran.code, ran.out) == (0, f"{out}\n")
    assert ET.fromstring(out.read_text()).tag == SVG
    assert "Low tide" in out.read_text()


def test_dark_is_another_picture_of_the_same_board(saywhy: Command, tide: Path, tmp_path: Path) -> None:
    light, dark = tmp_path / "light.svg", tmp_path / "dark.svg"
    assert saywhy("draw", tide, "-o", light).code == 0
    assert saywhy("draw", tide, "--output", dark, "--dark").code == 0
    assert light.read_text() != dark.read_text()
    assert len(ET.fromstring(light.read_text()).findall(".//*")) == len(
        ET.fromstring(dark.read_text()).findall(".//*")
    )


def test_a_png_is_as_wide_as_promised(saywhy: Command, tide: Path, tmp_path: Path) -> None:
    out = tmp_path / "tide.PNG"
    assert saywhy("draw", tide, "-o", out).code == 0
    data = out.read_bytes()
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    assert struct.unpack(">I", data[16:20]) == (1600,)


def test_the_board_as_it_begins_shows_no_digit_but_the_givens(
    saywhy: Command, tide: Path, tmp_path: Path
) -> None:
    out = tmp_path / "tide.svg"
    saywhy("draw", tide, "-o", out)
    step = tmp_path / "step.svg"
    saywhy("draw", tide, "-o", step, "--step", 1)
    begins, later = (len(ET.fromstring(path.read_text()).findall(".//*")) for path in (out, step))
    assert later > begins


def test_a_step_that_is_not_there_is_told(saywhy: Command, tide: Path, clash: Path, tmp_path: Path) -> None:
    out = tmp_path / "x.svg"
    ran = saywhy("draw", tide, "-o", out, "--step", 999)
    assert ran.code == 2
    assert "there is no step 999" in ran.err
    ran = saywhy("draw", clash, "-o", out, "--step", 1)
    assert ran.code == 2
    assert "there is no path: the puzzle's verdict is none" in ran.err
    assert not out.exists()


@pytest.mark.parametrize("name", ["board.gif", "board", "low-tide.toml/board.svg", "low-tide.toml/x.png"])
def test_a_picture_that_cannot_be_written_is_bad_input(
    saywhy: Command, tide: Path, tmp_path: Path, name: str
) -> None:
    ran = saywhy("draw", tide, "-o", tmp_path / name)
    assert ran.code == 2
    assert ran.err


def test_a_file_of_many_puzzles_asks_for_a_line(saywhy: Command, lines: Path, tmp_path: Path) -> None:
    out = tmp_path / "x.svg"
    ran = saywhy("draw", lines, "-o", out)
    assert ran.code == 2
    assert "the file holds several puzzles" in ran.err
    assert saywhy("draw", f"{lines}:3", "-o", out).code == 0
