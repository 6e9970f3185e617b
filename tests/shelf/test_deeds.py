"""Deeds: whole or not at all, and taken back from the last one on."""

from __future__ import annotations

import pytest

from saywhy.errors import NotAllowedError
from saywhy.shelf import Judged, Shelf, ShelfEpisode, ShelfPuzzle
from saywhy.shelf.deeds import MOST_DEEDS
from tests.shelf.shelves import GRANTED, REFUSED, log, picture, sound, text


def test_everything_can_be_taken_back_step_by_step(shelf: Shelf) -> None:
    pictures = [picture(shelf)]

    def did(_: object = None) -> None:
        pictures.append(picture(shelf))
        assert pictures[-1] != pictures[-2]

    did(shelf.setters.add("oarlock", contact="oar@example.org"))
    did(tide := shelf.puzzles.add(text()))
    did(shelf.setters.change(1, called="Oar", remarks="writes on Mondays"))
    did(shelf.setters.permit(1, GRANTED))
    did(shelf.puzzles.judge(tide.id, Judged(verdict="unique", effort={"band": "a stroll"})))
    did(shelf.puzzles.change(tide.id, title="Lowest tide", setter="bowline", licence="CC BY 4.0"))
    did(shelf.puzzles.permit(tide.id, GRANTED))
    did(episode := shelf.episodes.plan(tide.id, "2026-12-01"))
    did(shelf.episodes.move(episode.id, "2026-12-04", pinned=True))
    did(shelf.episodes.pin(episode.id, False))
    did(shelf.episodes.record(episode.id, "blind"))
    did(kept := shelf.recordings.keep(tide.id, log(tide.identity), episode=episode.id))
    did(shelf.recordings.keep_review(kept.id, {"moves": []}))
    did(shelf.episodes.publish(episode.id, "https://example.org/1"))
    did(shelf.episodes.change(episode.id, title="Episode one"))
    did(shelf.puzzles.mend(tide.id, text("Neap tide", last=1)))
    shelf.episodes.remove(episode.id)
    did()
    shelf.recordings.remove(kept.id)
    did()
    shelf.puzzles.remove(tide.id)
    did()
    shelf.setters.remove(1)
    did()
    while shelf.deeds():
        assert picture(shelf) == pictures.pop()
        shelf.undo()
        sound(shelf)
    assert picture(shelf) == pictures.pop() and not pictures
    assert shelf.undo() is None


def test_a_removed_puzzle_comes_back_with_all_that_went_with_it(
    shelf: Shelf, tide: ShelfPuzzle, planned: ShelfEpisode
) -> None:
    kept = shelf.recordings.keep(tide.id, log(tide.identity), episode=planned.id)
    shelf.recordings.keep_review(kept.id, {"moves": []})
    before = picture(shelf)
    assert shelf.puzzles.goes_with(tide.id) == {"review": 1, "recording": 1, "episode": 1}
    shelf.puzzles.remove(tide.id)
    after = picture(shelf)
    assert not any(after[table] for table in ("puzzle", "episode", "recording", "review"))
    taken = shelf.undo()
    assert taken is not None and taken.words == "Low tide was removed"
    assert picture(shelf) == before


def test_a_deed_in_a_deed_is_one_deed(shelf: Shelf) -> None:
    with shelf.deed("the post of Monday"):
        for number in range(5):
            held = shelf.puzzles.add(text(f"Tide {number}"))
            shelf.puzzles.permit(held.id, GRANTED)
    assert [deed.words for deed in shelf.deeds()] == ["the post of Monday"]
    shelf.undo()
    assert shelf.puzzles.all() == []


def test_a_deed_that_fails_leaves_nothing(shelf: Shelf) -> None:
    with pytest.raises(NotAllowedError, match="no permission"), shelf.deed("the post of Monday"):
        held = shelf.puzzles.add(text())
        shelf.episodes.plan(held.id, "2026-12-01")
    assert not any(picture(shelf).values()) and shelf.deeds() == []


def test_a_part_of_a_deed_may_fail_alone(shelf: Shelf) -> None:
    with shelf.deed("the post of Monday"):
        shelf.puzzles.add(text("Ebb"))
        with pytest.raises(ZeroDivisionError), shelf.deed("a bad letter"):
            shelf.puzzles.add(text("Flood"))
            raise ZeroDivisionError
        shelf.puzzles.add(text("Slack water"))
    assert {held.title for held in shelf.puzzles.all()} == {"Ebb", "Slack water"}
    shelf.undo()
    assert not any(picture(shelf).values())


def test_the_setter_that_came_with_a_puzzle_goes_when_that_is_taken_back(shelf: Shelf) -> None:
    shelf.puzzles.add(text())
    shelf.undo()
    assert shelf.setters.all() == []


def test_the_last_deeds_are_kept_and_no_more(shelf: Shelf) -> None:
    shelf.setters.add("oarlock")
    for number in range(MOST_DEEDS + 5):
        shelf.setters.change(1, remarks=f"letter {number}")
    assert len(shelf.deeds()) == MOST_DEEDS
    assert shelf.undo() is not None
    assert shelf.setters.get(1).remarks == f"letter {MOST_DEEDS + 3}"


def test_what_changes_nothing_is_no_deed(shelf: Shelf, tide: ShelfPuzzle) -> None:
    before = shelf.deeds()
    shelf.puzzles.change(tide.id)
    with shelf.deed("nothing"):
        pass
    assert shelf.deeds() == before


def test_a_refused_permission_that_was_taken_back_can_be_used(shelf: Shelf, tide: ShelfPuzzle) -> None:
    shelf.puzzles.permit(tide.id, REFUSED)
    shelf.undo()
    assert shelf.episodes.plan(tide.id, "2026-12-01").puzzle == tide.id
