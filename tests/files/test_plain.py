"""Classic puzzles, one a line."""

from __future__ import annotations

from pathlib import Path

import pytest

from saywhy.errors import NotAllowedError
from saywhy.files import entries, limits, read, read_text
from saywhy.grid import Grid

# The grid that opens Wikipedia's article on the classic puzzle, from memory.
CLASSIC = "53..7....6..195....98....6.8...6...34..8.3..17...2...6.6....28....419..5....8..79"
GIVENS = tuple(int(symbol) for symbol in CLASSIC.replace(".", "0"))


@pytest.mark.parametrize(
    "line",
    [
        CLASSIC,
        CLASSIC.replace(".", "0"),
        f"  {CLASSIC}\r",
        f"{CLASSIC} # harbour evening",
        f"{CLASSIC},{CLASSIC.replace('.', '1')}",
        f"{CLASSIC};easy;1.2",
        f"{CLASSIC} 1.2",
        " ".join(CLASSIC),
    ],
)
def test_81_symbols_are_a_puzzle_whatever_remark_follows(line: str) -> None:
    [puzzle] = read_text(line)
    assert (puzzle.grid, puzzle.givens) == (Grid.standard(9), GIVENS)


def test_a_file_holds_as_many_puzzles_as_it_has_lines() -> None:
    lines = f"# the evening's heap\n\n{CLASSIC}\n{'.' * 81}\n\n{'1234' + '.' * 12}\n"
    assert [puzzle.grid.size for puzzle in read_text(lines)] == [9, 9, 4]


@pytest.mark.parametrize("size", [4, 6, 8, 9, 10, 12, 15, 16])
def test_every_size_with_usual_boxes_has_its_line(size: int) -> None:
    last = "123456789ABCDEFG"[size - 1]
    [puzzle] = read_text("1" + "." * (size * size - 2) + last.lower())
    assert puzzle.grid == Grid.standard(size)
    assert (puzzle.givens[0], puzzle.givens[-1]) == (1, size)


def test_a_16_by_16_line_may_count_from_0_to_f_or_from_a_to_p() -> None:
    [zero] = read_text("0" + "." * 253 + "F1")
    assert zero.givens[0:1] + zero.givens[-2:] == (1, 16, 2)
    [letters] = read_text("A" + "." * 254 + "P")
    assert (letters.givens[0], letters.givens[-1]) == (1, 16)


def test_0_is_the_empty_cell_of_a_large_grid_unless_a_dot_is() -> None:
    [without] = read_text("0" * 255 + "9")
    assert (without.givens[0], without.givens[-1]) == (0, 9)
    [with_g] = read_text("0" + "." * 254 + "G")  # G is a digit only where digits begin at 1
    assert (with_g.givens[0], with_g.givens[-1]) == (0, 16)


@pytest.mark.parametrize(
    ("line", "what"),
    [
        (CLASSIC[:80], "the line has 80 symbols, which is no grid"),
        (CLASSIC + "1", "the line has 82 symbols, which is no grid"),
        ("x" + CLASSIC[1:], "'X' in r1c1 is not a digit of a 9 by 9 grid"),
        ("1235" + "." * 12, "'5' in r1c4 is not a digit of a 4 by 4 grid"),
        ("." * 25, "the line has 25 symbols, which is no grid"),
        (".", "the line has 1 symbol, which is no grid"),
    ],
)
def test_a_line_that_is_no_puzzle_is_told_with_its_number(line: str, what: str) -> None:
    with pytest.raises(NotAllowedError) as caught:
        read_text(f"{CLASSIC}\n{line}\n")
    [problem] = caught.value.problems
    assert problem.line == 2
    assert what in problem.what


def test_all_bad_lines_are_told_at_once_and_good_ones_go_on(tmp_path: Path) -> None:
    path = tmp_path / "heap.txt"
    path.write_text(f"{CLASSIC}\nbad\n{CLASSIC}\n\nworse\n")
    held = list(entries(path))
    assert [entry.source.rpartition(":")[2] for entry in held] == ["1", "2", "3", "5"]
    assert [entry.puzzle is not None for entry in held] == [True, False, True, False]
    with pytest.raises(NotAllowedError) as caught:
        read(path)
    assert [problem.line for problem in caught.value.problems] == [2, 5]


def test_a_file_of_bad_lines_is_left_alone_after_some(tmp_path: Path) -> None:
    path = tmp_path / "heap.txt"
    path.write_text(f"{'x' * 81}\n" * 100_000)
    held = list(entries(path))
    assert len(held) == limits.MOST_BAD_LINES + 1
    assert held[-1].error is not None
    assert "the rest was left alone" in str(held[-1].error)


def test_a_text_of_which_no_line_is_a_grid_is_told_once(tmp_path: Path) -> None:
    path = tmp_path / "mail.txt"
    path.write_text("Dear host,\nhere is a puzzle for you.\n\nYours, bollard\n")
    [entry] = entries(path)
    assert str(entry.error).startswith(f"{path}: no line of it is a puzzle. Give a TOML file")
    path.write_text("Dear host\n" * 100_000)
    [entry] = entries(path)
    assert "none of its first 50 lines is a puzzle, so the rest was left alone" in str(entry.error)
    # Where any line is a puzzle, each that is none is told by its number.
    path.write_text(f"Dear host,\nhere it is:\n{CLASSIC}\nYours\n")
    assert [entry.line for entry in entries(path) if entry.error] == [1, 2, 4]
    assert [entry.line for entry in entries(path) if entry.puzzle] == [3]


@pytest.mark.parametrize("ending", ["toml", "png", "txt"])
@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\n\xff\xfe", "this is a PNG picture, not a puzzle file"),
        (b"%PDF-1.7\n%\xe2\xe3\n1 0 obj\n", "this is a PDF document"),
        (b"PK\x03\x04\x14\0\0\n\x80", "this is a ZIP archive or an office document"),
        (b"<!doctype html>\n<html>\n", "this is a web page"),
        (b'\n{"format": 1}\n', "this is JSON"),
        ("format = 1\n".encode("utf-16"), "the file is text in UTF-16. Save it as plain text, UTF-8"),
        (b"1\n\0\n2\n\x80\n", "the file is not text"),
    ],
)
def test_what_is_plainly_no_puzzle_file_is_told_once(
    tmp_path: Path, data: bytes, said: str, ending: str
) -> None:
    path = tmp_path / f"photo.{ending}"
    path.write_bytes(data)
    [entry] = entries(path)
    assert entry.error is not None
    [problem] = entry.error.problems
    assert said in f"{problem.what}. {problem.mend}"


def test_one_line_of_a_file_can_be_named(tmp_path: Path) -> None:
    path = tmp_path / "heap.txt"
    path.write_text(f"{'.' * 81}\n{CLASSIC}\n")
    [puzzle] = read(f"{path}:2")
    assert puzzle.givens == GIVENS
    with pytest.raises(NotAllowedError, match="no puzzle on this line"):
        read(f"{path}:3")


def test_a_long_file_gives_its_first_puzzle_before_it_is_read_to_the_end(tmp_path: Path) -> None:
    path = tmp_path / "heap.txt"
    path.write_text(f"{CLASSIC}\n" * 100_000)  # 8 MB
    held = entries(path)
    assert next(held).puzzle is not None
    assert next(held).source == f"{path}:2"


def test_overlong_lines_and_long_emptiness_end_in_an_error(tmp_path: Path) -> None:
    path = tmp_path / "heap.txt"
    path.write_text(f"{CLASSIC}\n{'1' * 5_000_000}\n{CLASSIC}\n")
    assert [entry.puzzle is not None for entry in entries(path)] == [True, False, True]
    path.write_text(CLASSIC + "\n" * 1_000_000)
    *_, last = entries(path)
    assert last.error is not None
    assert "in a row hold no puzzle" in str(last.error)
