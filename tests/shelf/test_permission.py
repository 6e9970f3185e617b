"""Nothing is planned to air without permission, by the shelf's own functions or by any program at all."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from saywhy.errors import NotAllowedError
from saywhy.shelf import Judged, Permission, Said, Shelf, ShelfEpisode, ShelfPuzzle, State
from tests.shelf.shelves import ASKED, GRANTED, REFUSED, text

NOBODY = Said(permission=Permission.NOT_ASKED)


def cleared(own: Permission, standing: Permission | None) -> bool:
    """Say what may air, as the documents put it."""
    if own in (Permission.GRANTED, Permission.REFUSED):
        return own is Permission.GRANTED
    return standing is Permission.GRANTED


@pytest.mark.parametrize("own", [NOBODY, ASKED, GRANTED, REFUSED], ids=lambda said: said.permission)
@pytest.mark.parametrize("standing", [None, NOBODY, ASKED, GRANTED, REFUSED], ids=str)
def test_a_puzzles_own_answer_counts_before_its_setters(
    shelf: Shelf, own: Said, standing: Said | None
) -> None:
    held = shelf.puzzles.add(text(setter="" if standing is None else "oarlock"), said=own)
    if standing is not None:
        assert held.setter is not None
        shelf.setters.permit(held.setter, standing)
    may = cleared(own.permission, None if standing is None else standing.permission)
    assert shelf.puzzles.get(held.id).cleared is may
    if may:
        assert shelf.episodes.plan(held.id, "2026-12-01").state is State.PLANNED
    else:
        with pytest.raises(NotAllowedError, match="no permission to air"):
            shelf.episodes.plan(held.id, "2026-12-01")
        assert shelf.episodes.all() == []


@pytest.mark.parametrize(
    ("said", "field"),
    [
        (Said(permission=Permission.GRANTED), "on"),
        (Said(permission=Permission.GRANTED, on="2026-11-25"), "words"),
        (Said(permission=Permission.GRANTED, on="2026-11-25", words="  \n "), "words"),
        (Said(permission=Permission.GRANTED, on="25.11.2026", words="yes"), "on"),
    ],
)
def test_granted_needs_the_day_and_the_words(shelf: Shelf, said: Said, field: str) -> None:
    held = shelf.puzzles.add(text())
    assert held.setter is not None
    for permit, number in ((shelf.puzzles.permit, held.id), (shelf.setters.permit, held.setter)):
        with pytest.raises(NotAllowedError) as caught:
            permit(number, said)
        assert caught.value.problems[0].field == field
    assert shelf.puzzles.get(held.id) == held


def test_a_permission_is_not_lost_while_it_is_needed(shelf: Shelf, planned: ShelfEpisode) -> None:
    with pytest.raises(NotAllowedError, match="planned to air on 2026-12-01"):
        shelf.puzzles.permit(planned.puzzle, REFUSED)
    assert shelf.puzzles.get(planned.puzzle).cleared
    shelf.puzzles.permit(planned.puzzle, REFUSED, unplan=True)
    assert shelf.episodes.all() == []
    shelf.undo()
    assert shelf.episodes.all() == [planned] and shelf.puzzles.get(planned.puzzle).cleared


def test_a_standing_permission_is_not_lost_while_it_is_needed(shelf: Shelf) -> None:
    held = [shelf.puzzles.add(text(title)) for title in ("Ebb", "Flood")]
    own = shelf.puzzles.add(text("Slack water"), said=GRANTED)
    setter = held[0].setter
    assert setter is not None
    shelf.setters.permit(setter, GRANTED)
    for puzzle in (*held, own):
        shelf.episodes.plan(puzzle.id, "2026-12-01")
    with pytest.raises(NotAllowedError, match="and 1 more"):
        shelf.setters.permit(setter, REFUSED)
    shelf.setters.permit(setter, REFUSED, unplan=True)
    assert [episode.puzzle for episode in shelf.episodes.all()] == [own.id]  # it has an answer of its own


def test_an_unplanned_puzzle_is_recorded_but_not_published_without_permission(shelf: Shelf) -> None:
    held = shelf.puzzles.add(text())
    episode = shelf.episodes.record_unplanned(held.id, "blind")
    with pytest.raises(NotAllowedError, match="no permission to air"):
        shelf.episodes.publish(episode.id, "https://example.org/1")
    shelf.puzzles.permit(held.id, GRANTED)
    assert shelf.episodes.publish(episode.id, "https://example.org/1").state is State.PUBLISHED
    shelf.puzzles.permit(held.id, REFUSED)  # what was published stays as it was
    assert shelf.episodes.change(episode.id, link="https://example.org/2").state is State.PUBLISHED


@pytest.mark.parametrize("verdict", ["none", "many"])
def test_a_puzzle_that_is_known_to_be_no_good_is_not_planned(
    shelf: Shelf, tide: ShelfPuzzle, verdict: str
) -> None:
    shelf.puzzles.judge(tide.id, Judged(verdict=verdict))  # type: ignore[arg-type]
    with pytest.raises(NotAllowedError, match="solution"):
        shelf.episodes.plan(tide.id, "2026-12-01")


def test_a_puzzle_is_planned_once_at_a_time(shelf: Shelf, planned: ShelfEpisode) -> None:
    with pytest.raises(NotAllowedError, match=f"planned already: e{planned.id}"):
        shelf.episodes.plan(planned.puzzle, "2026-12-08")
    shelf.episodes.record(planned.id, "blind")
    assert shelf.episodes.plan(planned.puzzle, "2027-12-01").state is State.PLANNED  # shown again, a year on


_PLAN = "INSERT INTO episode (puzzle, state, airs, added) VALUES"
FORBIDDEN = {
    "plan what was not asked": f"{_PLAN} (2, 'planned', 'x', 'x')",
    "plan what is not there": f"{_PLAN} (99, 'planned', 'x', 'x')",
    "plan what was recorded": "UPDATE episode SET state = 'planned', airs = 'x' WHERE puzzle = 2",
    "publish without permission": "UPDATE episode SET state = 'published' WHERE puzzle = 2",
    "give a planned episode another puzzle": "UPDATE episode SET puzzle = 2 WHERE puzzle = 1",
    "put another puzzle in its place": "INSERT OR REPLACE INTO puzzle (id, title, text, identity,"
    " size, received, added) VALUES (1, 'x', 'x', 'x', 4, 'x', 'x')",
    "give it another number": "UPDATE puzzle SET id = 9 WHERE id = 1",
    "delete what is planned": "DELETE FROM puzzle WHERE id = 1",
    "put another setter in the place of one who agreed": "INSERT OR REPLACE INTO setter (id, credit, added)"
    " VALUES (2, 'x', 'x')",
    "delete a setter who agreed": "DELETE FROM setter WHERE id = 2",
    "give a setter another number": "UPDATE setter SET id = 9 WHERE id = 2",
    "take a standing permission back": "UPDATE setter SET standing = 'asked' WHERE id = 2",
    "take the setter away": "UPDATE puzzle SET setter = NULL WHERE id = 3",
    "take the permission back": "UPDATE puzzle SET permission = 'asked' WHERE id = 1",
    "grant without words": "UPDATE puzzle SET permission = 'granted', permission_on = 'x' WHERE id = 2",
    "grant on no day": "UPDATE puzzle SET permission = 'granted', permission_words = 'yes' WHERE id = 2",
    "grant all without words": "UPDATE setter SET standing = 'granted', standing_on = '2026-01-01'",
    "another answer": "UPDATE puzzle SET permission = 'perhaps' WHERE id = 2",
    "another state": "UPDATE episode SET state = 'aired' WHERE puzzle = 1",
    "plan for no day": "UPDATE episode SET airs = NULL WHERE puzzle = 1",
    "plan twice": f"{_PLAN} (1, 'planned', 'x', 'x')",
    "a number for a text": "UPDATE puzzle SET title = x'00' WHERE id = 1",
    "no JSON": "UPDATE puzzle SET effort = 'nonsense' WHERE id = 1",
}


@pytest.mark.parametrize("what", FORBIDDEN)
def test_the_database_itself_refuses_to(tmp_path: Path, what: str) -> None:
    with Shelf(tmp_path) as shelf:
        shelf.puzzles.add(text("Low tide"), said=GRANTED)
        other = shelf.puzzles.add(text("High tide"))
        shelf.episodes.plan(1, "2026-12-01")
        shelf.episodes.record_unplanned(other.id, "blind")
        standing = shelf.puzzles.add(text("Slack water", "bowline"))
        assert standing.setter is not None
        shelf.setters.permit(standing.setter, GRANTED)
        shelf.episodes.plan(standing.id, "2026-12-08")
    # Any program at all that opens the file, without the shelf's settings.
    with closing(sqlite3.connect(tmp_path / "shelf.sqlite")) as base:
        base.execute("PRAGMA foreign_keys = OFF")
        with pytest.raises(sqlite3.IntegrityError):
            base.execute(FORBIDDEN[what])


ANSWERS = st.sampled_from([NOBODY, ASKED, GRANTED, REFUSED])
DOINGS = st.lists(
    st.one_of(
        st.tuples(st.just("permit"), st.integers(1, 3), ANSWERS, st.booleans()),
        st.tuples(st.just("standing"), st.integers(1, 2), ANSWERS, st.booleans()),
        st.tuples(st.just("plan"), st.integers(1, 3)),
        st.tuples(st.just("setter"), st.integers(1, 3), st.sampled_from(["oarlock", "bowline", ""])),
        st.tuples(st.just("record"), st.integers(1, 6)),
        st.tuples(st.just("undo")),
    ),
    max_size=14,
)


@settings(deadline=None, max_examples=35)
@given(DOINGS)
def test_whatever_is_done_nothing_stands_planned_that_may_not_air(
    tmp_path_factory: pytest.TempPathFactory, doings: list[tuple[object, ...]]
) -> None:
    with Shelf(tmp_path_factory.mktemp("shelf")) as shelf:
        for title, setter in (("Ebb", "oarlock"), ("Flood", "oarlock"), ("Slack", "bowline")):
            shelf.puzzles.add(text(title, setter))
        for done in doings:
            try:
                _do(shelf, *done)
            except NotAllowedError as error:
                assert error.problems[0].mend
            may = {held.id for held in shelf.puzzles.all(cleared=True)}
            assert {episode.puzzle for episode in shelf.episodes.all(state=State.PLANNED)} <= may


def _do(shelf: Shelf, what: object, *of: object) -> None:
    match what, *of:
        case "permit", int(number), Said() as said, bool(unplan):
            shelf.puzzles.permit(number, said, unplan=unplan)
        case "standing", int(number), Said() as said, bool(unplan):
            shelf.setters.permit(number, said, unplan=unplan)
        case "plan", int(number):
            shelf.episodes.plan(number, "2026-12-01")
        case "setter", int(number), str(setter):
            shelf.puzzles.change(number, setter=setter)
        case "record", int(number):
            shelf.episodes.record(number, "blind")
        case _:
            shelf.undo()
