"""Sheets of wishes: what they say, every mistake told, and the page on them."""

from __future__ import annotations

import re
from datetime import date, time
from pathlib import Path

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from saywhy.errors import NotAllowedError, SaywhyError, UnreadableError
from saywhy.plan.fields import TABLES
from saywhy.plan.sheet import read_sheet, usual
from saywhy.plan.stock_file import EpisodeFields, PuzzleFields, read_stock
from saywhy.plan.wishes import Effort, FamilyRest, Fill, Request, SetterRest
from saywhy.plan.wishes.effort import NAMES

PAGE = (Path(__file__).parents[2] / "docs" / "plan.md").read_text(encoding="utf-8")
SHEET, STOCK = re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL)


def test_the_sheet_of_the_page_says_what_the_page_says() -> None:
    sheet = read_sheet(SHEET)
    assert (sheet.cadence.first, sheet.cadence.weekdays, sheet.cadence.at) == (
        date(2026, 12, 1),
        (1, 4),
        time(18),
    )
    assert sheet.cadence.skip[1] == (date(2026, 12, 31), date(2027, 1, 2))
    assert [type(wish) for wish in sheet.wishes] == [
        *(Fill, SetterRest, FamilyRest, Effort, Effort, Request, Request, Request)
    ]
    assert [wish.firm for wish in sheet.wishes[:3]] == [True, True, False]
    pin = sheet.wishes[-1]
    assert isinstance(pin, Request) and pin.pin and (pin.puzzle, pin.on) == ("p10", date(2026, 12, 29))


def test_the_stock_of_the_page_reads(tmp_path: Path) -> None:
    file = tmp_path / "stock.toml"
    file.write_text(STOCK, encoding="utf-8")
    stock = read_stock(str(file))
    assert [held.name for held in stock.puzzles] == [f"p{number}" for number in range(1, 11)]
    assert stock.puzzles[0].families == frozenset({"thermometers"})
    assert stock.withheld["Slack water"] == "its setter's answer is: asked"
    assert [held.state for held in stock.episodes] == ["planned"]


def test_every_field_and_band_is_on_the_page() -> None:
    for kind, _ in TABLES.values():
        for info in msgspec.structs.fields(kind):
            assert f"`{info.encode_name}`" in PAGE, info.encode_name
    for kind in (PuzzleFields, EpisodeFields):
        for info in msgspec.structs.fields(kind):
            assert re.search(rf"(^|[{{,] ){info.encode_name} = ", STOCK, re.MULTILINE), info.encode_name
    for name in NAMES:
        assert f"`{name}`" in PAGE


def test_the_usual_sheet_reads() -> None:
    assert read_sheet(usual(date(2026, 12, 1))).cadence.episodes == 12


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            'format = 1\nsize = 4\ngivens = "1..."\n',
            "this is a puzzle, not a sheet of wishes. Put it on the shelf",
        ),
        (STOCK, "this is a list of puzzles, not a sheet of wishes. Give it with --from"),
    ],
)
def test_another_file_taken_for_a_sheet_is_told_by_what_it_is(text: str, said: str) -> None:
    with pytest.raises(NotAllowedError, match=re.escape(said)) as error:
        read_sheet(text)
    assert len(error.value.problems) == 1


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "it holds no puzzle. Write a [[puzzle]] table for each"),
        ('format = 1\ngivens = "1..."\n', "this is a puzzle, not a list of puzzles and episodes"),
    ],
)
def test_a_stock_without_puzzles_is_refused(tmp_path: Path, text: str, said: str) -> None:
    file = tmp_path / "stock.toml"
    file.write_text(text)
    with pytest.raises(NotAllowedError, match=re.escape(said)):
        read_stock(str(file))


def test_all_mistakes_are_told_with_their_lines() -> None:
    text = """format = 1
cadense = 3
[cadence]
first = "soon"
weekdays = ["fri", "funday"]
zone = "Mars"
skip = ["x"]
[[effort]]
bands = ["a scrambl"]
in = "sometimes"
[[request]]
within = 3
[[pin]]
on = 2026-12-01
"""
    with pytest.raises(NotAllowedError) as caught:
        read_sheet(text, "wishes.toml")
    told = [(problem.line, problem.field, problem.what) for problem in caught.value.problems]
    assert [(line, field) for line, field, _ in told] == [
        *((2, "cadense"), (3, "cadence"), (4, "cadence, first"), (5, "cadence, weekdays")),
        *((6, "cadence, zone"), (7, "cadence, skip"), (8, "effort 1"), (9, "effort 1, bands")),
        *((10, "effort 1, in"), (11, "request 1"), (12, "request 1, within"), (13, "pin 1, puzzle")),
    ]
    assert all(problem.mend for problem in caught.value.problems)


@pytest.mark.parametrize("text", ["[[[", "format = ", "a = " + "[" * 2000, "x" * 300_000])
def test_what_is_no_sheet_is_refused_in_a_line(text: str) -> None:
    with pytest.raises(UnreadableError):
        read_sheet(text)


@settings(max_examples=200, deadline=None)
@given(
    st.text(max_size=200) | st.sampled_from(["format = 1\n", usual(date(2026, 1, 1))]), st.text(max_size=60)
)
def test_any_text_is_read_or_refused_by_our_own_error(text: str, more: str) -> None:
    try:
        read_sheet(text + more)
    except SaywhyError as error:
        assert error.problems


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("{", "neither TOML nor JSON"),
        ('{"puzzle": 3}', "list of tables"),
        ('{"puzzle": [{"name": "a"}, {"name": "a"}]}', "two puzzles have this name"),
        ('{"puzzle": [{"name": "a", "band": "hard"}]}', "not a band"),
        ('{"episode": [{"puzzle": "b", "airs": "2026-12-01"}]}', "no puzzle of this name"),
        ('{"puzzle": [{"name": "a", "title": "\\u0007"}]}', "control"),
        ('{"stuff": 1}', "no field"),
    ],
)
def test_mistakes_in_a_stock_are_told(tmp_path: Path, text: str, what: str) -> None:
    file = tmp_path / "stock.json"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(SaywhyError, match=what):
        read_stock(str(file))


def test_a_puzzle_without_permission_is_withheld(tmp_path: Path) -> None:
    file = tmp_path / "stock.json"
    file.write_text('{"puzzle": [{"name": "a", "permission": "asked"}, {"name": "b"}]}', encoding="utf-8")
    stock = read_stock(str(file))
    assert [held.name for held in stock.puzzles] == ["b"]
    assert stock.withheld == {"a": "its setter's answer is: asked"}
