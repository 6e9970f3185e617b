"""Search by words, whatever is typed."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from saywhy.shelf import Shelf
from saywhy.shelf.finding import MOST_WORDS, query
from tests.shelf.shelves import GRANTED, text

HOSTILE = [
    '"', '""', "'", "*", "^", "-", "(", ")", "AND", "OR", "NOT", "NEAR", "NEAR(", "a AND", 'a" OR "b',
    "title:", "title : low",
    "rank", "words", "low*tide", "low + tide", "{title people} : low", "low NEAR/2 tide", "\0",
    "\ud800", "; DROP TABLE puzzle; --", "%", "_", "low" * 5000, "x " * 5000, "\u202elow", "🦀",
    "ﷺ", "a" * 100_000,
]  # fmt: skip


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> Shelf:
    shelf = Shelf(tmp_path_factory.mktemp("shelf"))
    shelf.setters.add("Åse of the pier", called="Ase", contact="ase@example.org", remarks="sends by post")
    shelf.puzzles.add(text("Low tide", "oarlock"), remarks="NOT for AND or OR", said=GRANTED)
    clue = '[[clue]]\nrule = "double-arrow"\ncells = "r1c2 r1c3 r2c4"\n'
    shelf.puzzles.add(text("Höhe der Flut", "bowline") + clue, setter=1, source="flood.toml")
    shelf.episodes.plan(1, "2026-12-01", title="The evening of the crabs")
    return shelf


@pytest.mark.parametrize(
    ("asked", "names"),
    [
        ("low", {"p1", "e1"}),
        ("LOW TI", {"p1", "e1"}),
        ("tide low", {"p1", "e1"}),
        ("low flut", set()),
        ("hohe", {"p2"}),
        ("flut", {"p2"}),
        ("double", {"p2"}),
        ("double-arrow", {"p2"}),
        ("ase", {"s1", "p2"}),
        ("åse pier", {"s1", "p2"}),
        ("ase@example", {"s1"}),
        ("post", {"s1"}),
        ("crabs", {"e1"}),
        ("oarlock", {"s2", "p1", "e1"}),
        ("NOT AND OR", {"p1"}),
        ("flood.toml", {"p2"}),
        ("crab", {"e1"}),
        ("rab", set()),
        ("", set()),
        (" !? -- ", set()),
    ],
)
def test_all_words_count_each_from_its_beginning(full: Shelf, asked: str, names: set[str]) -> None:
    assert {f"{held.kind[0]}{held.id}" for held in full.find(asked)} == names


@pytest.mark.parametrize("asked", HOSTILE, ids=range(len(HOSTILE)))
def test_nothing_that_is_typed_is_read_as_a_query(full: Shelf, asked: str) -> None:
    found = full.find(asked)
    assert len(found) <= 5
    assert len(query(asked)) < 100 * MOST_WORDS


@settings(deadline=None)
@given(st.text())
def test_no_text_at_all_breaks_the_search(full: Shelf, asked: str) -> None:
    assert len(full.find(asked)) <= 5


@settings(deadline=None, max_examples=25)
@given(st.text(st.characters(categories=("L", "N")), min_size=1, max_size=30))
def test_a_word_is_found_where_it_stands(tmp_path_factory: pytest.TempPathFactory, word: str) -> None:
    with Shelf(tmp_path_factory.mktemp("shelf")) as shelf:
        shelf.setters.add("oarlock", remarks=word)
        assert [held.id for held in shelf.find(word)] == [1]


def test_no_digit_of_a_puzzle_file_is_searched(full: Shelf) -> None:
    for asked in ("givens", "r1c2", "cells"):
        assert full.find(asked) == []


def test_a_title_counts_more_than_a_remark(tmp_path_factory: pytest.TempPathFactory) -> None:
    with Shelf(tmp_path_factory.mktemp("shelf")) as shelf:
        shelf.puzzles.add(text("Harbour", ""), remarks="like the lantern of last year")
        shelf.puzzles.add(text("Lantern", ""), remarks="like the harbour of last year")
        assert [held.title for held in shelf.find("lantern")] == ["Lantern", "Harbour"]
