"""The plan and the shelf: only what may air, what stands stays, and a plan taken can be taken back."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from saywhy.errors import NotAllowedError
from saywhy.plan.families import FAMILIES, families
from saywhy.plan.outcome import Outcome, make_plan, standing
from saywhy.plan.sheet import Sheet, read_sheet
from saywhy.plan.shelving import stock_of, take
from saywhy.rules import all_rules
from saywhy.shelf import Permission, Said, Shelf, State

TODAY = date(2026, 11, 25)
SHEET = """
format = 1
[cadence]
first = 2026-12-01
every = 4
episodes = 3
at = 18:00:00
zone = "Europe/Lisbon"
[rest]
setter = 1
"""
YES = Said(permission=Permission.GRANTED, on="2026-11-01", words="Gladly.")


def line(number: int) -> str:
    return f'format = 1\nsize = 4\ntitle = "Pier {number}"\n'


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[Shelf]:
    """Six puzzles by two setters; the last without permission."""
    with Shelf(tmp_path) as held:
        for number in range(1, 7):
            held.puzzles.add(
                line(number),
                setter="gulls" if number % 2 else "quay cat",
                received=f"2026-10-{number:02d}",
                said=YES if number < 6 else None,
            )
        yield held


def planned(shelf: Shelf, sheet: Sheet | None = None, **how: bool) -> Outcome:
    return make_plan(stock_of(shelf), sheet or read_sheet(SHEET), TODAY, **how)


def airs(shelf: Shelf) -> list[tuple[int, str | None]]:
    return [(held.puzzle, held.airs) for held in shelf.episodes.all(state=State.PLANNED)]


def test_a_plan_is_written_as_planned_episodes_and_taken_back_as_one(shelf: Shelf) -> None:
    outcome = planned(shelf)
    assert outcome.plan.status == "best"
    assert take(shelf, outcome) == 3
    assert airs(shelf) == [
        (1, "2026-12-01T18:00+00:00"),
        (2, "2026-12-05T18:00+00:00"),
        (3, "2026-12-09T18:00+00:00"),
    ]
    again = planned(shelf)
    assert [change.kind for change in again.changes()] == ["kept"] * 3
    assert take(shelf, again) == 0
    told = shelf.undo()
    assert told is not None and told.words == "a plan was taken"
    assert airs(shelf) == []


def test_what_has_no_permission_is_never_planned_and_a_wish_for_it_says_why(shelf: Shelf) -> None:
    sheet = read_sheet(SHEET + '[[request]]\npuzzle = "p6"\n')
    outcome = planned(shelf, sheet)
    assert not outcome.made
    assert outcome.clash is not None
    assert outcome.clash.told == ("p6 airs in this plan, but it has no permission to air: not asked",)
    wide = read_sheet(SHEET.replace("episodes = 3", "episodes = 6"))
    outcome = planned(shelf, wide, give_way=True)
    assert outcome.clash is not None and outcome.plan.given_up
    names = [outcome.series.candidates[n].name for n in outcome.plan.line if n is not None]
    assert sorted(names) == ["p1", "p2", "p3", "p4", "p5"]


def test_recorded_and_published_episodes_stand_and_count_for_rests(shelf: Shelf) -> None:
    recorded = shelf.episodes.plan(1, "2026-12-01")
    shelf.episodes.record(recorded.id, "blind")
    published = shelf.episodes.plan(3, "2026-11-27")
    shelf.episodes.record(published.id, "blind")
    shelf.episodes.publish(published.id, "https://example.org/1")
    outcome = planned(shelf)
    by_day = {
        slot.day: None if n is None else outcome.series.candidates[n].name
        for slot, n in zip(outcome.series.slots, outcome.plan.line, strict=True)
    }
    assert by_day[date(2026, 11, 27)] == "p3"
    assert by_day[date(2026, 12, 1)] == "p1"
    assert by_day[date(2026, 12, 5)] in ("p2", "p4"), "the setter of p1 rests"
    take(shelf, outcome)
    assert shelf.episodes.get(recorded.id).state is State.RECORDED


def test_a_pinned_episode_stays_also_on_a_day_of_its_own_and_one_after_the_plan_is_left(shelf: Shelf) -> None:
    pinned = shelf.episodes.plan(5, "2026-12-03", pinned=True)
    later = shelf.episodes.plan(4, "2027-06-01")
    outcome = planned(shelf)
    take(shelf, outcome)
    assert shelf.episodes.get(pinned.id).airs == "2026-12-03"
    assert shelf.episodes.get(pinned.id).pinned
    assert shelf.episodes.get(later.id).airs == "2027-06-01"
    assert 4 not in [p for p, day in airs(shelf) if day != "2027-06-01"]


def test_an_episode_whose_day_has_gone_by_is_planned_again(shelf: Shelf) -> None:
    late = shelf.episodes.plan(5, "2026-11-20")
    take(shelf, planned(shelf))
    assert str(shelf.episodes.get(late.id).airs)[:10] in ("2026-12-01", "2026-12-05", "2026-12-09")


def test_a_permission_taken_away_meanwhile_keeps_the_plan_from_being_taken(shelf: Shelf) -> None:
    outcome = planned(shelf)
    shelf.puzzles.permit(1, Said(permission=Permission.REFUSED))
    with pytest.raises(NotAllowedError, match="permission"):
        take(shelf, outcome)
    assert airs(shelf) == [], "all of a plan or nothing"


def test_what_stands_is_shown_without_planning(shelf: Shelf) -> None:
    shelf.episodes.plan(2, "2026-12-05")
    outcome = standing(stock_of(shelf), read_sheet(SHEET), TODAY)
    assert [n is not None for n in outcome.plan.line] == [False, True, False]


def test_a_name_that_is_not_there_is_told_with_one_that_is_close(shelf: Shelf) -> None:
    with pytest.raises(NotAllowedError, match="Did you mean Pier 1"):
        planned(shelf, read_sheet(SHEET + '[[request]]\npuzzle = "Pir 1"\n'))


def test_days_that_went_by_do_not_move_what_is_said_of_the_first_episodes(shelf: Shelf) -> None:
    text = SHEET + '[[effort]]\nin = "first 2"\nbands = ["a stroll"]\nonly = true\n'
    assert planned(shelf, read_sheet(text)).clash is not None
    late = make_plan(stock_of(shelf), read_sheet(text), date(2026, 12, 8))
    assert late.made, "both first days have gone by"


def test_every_family_names_rules_that_there_are_each_once() -> None:
    named = [rule for rules in FAMILIES.values() for rule in rules]
    assert len(named) == len(set(named))
    assert set(named) <= set(all_rules())
    assert families(["a-new-rule", "arrow"]) == {"a new rule", "arrows"}


def test_a_series_without_a_day_to_fill_or_with_too_many_is_refused(shelf: Shelf) -> None:
    with pytest.raises(NotAllowedError, match="no day that is still to be filled"):
        planned(shelf, read_sheet(SHEET.replace("2026-12-01", "2020-12-01")))
    with pytest.raises(NotAllowedError, match="more than 200 days"):
        planned(shelf, read_sheet(SHEET.replace("episodes = 3", "until = 2036-12-01")))


def test_without_a_puzzle_that_may_air_that_is_what_is_said(tmp_path: Path) -> None:
    with Shelf(tmp_path / "bare") as bare:
        bare.puzzles.add(line(1))
        with pytest.raises(NotAllowedError, match="no puzzle that may air"):
            planned(bare)


def test_a_fresh_plan_leaves_nothing_of_the_earlier_one_behind_but_pins(shelf: Shelf) -> None:
    for number, day in ((4, "2026-12-01"), (5, "2026-12-05")):
        shelf.episodes.plan(number, day, pinned=number == 5)
    free = read_sheet(SHEET.replace("setter = 1", "setter = 0"))
    kept = planned(shelf, free)
    assert {change.kind for change in kept.changes()} == {"kept", "new"}
    fresh = planned(shelf, free, fresh=True)
    before = {change.candidate + 1: change.kind for change in fresh.changes() if change.before is not None}
    assert before == {4: "off", 5: "kept"}
    take(shelf, fresh)
    found = dict(airs(shelf))
    assert len(found) == 3 and 4 not in found and str(found[5]).startswith("2026-12-05")


def test_a_plan_is_not_taken_over_what_was_done_meanwhile(shelf: Shelf) -> None:
    outcome = planned(shelf)
    shelf.episodes.record_unplanned(1, "blind")
    with pytest.raises(NotAllowedError, match="was changed since"):
        take(shelf, outcome)
    assert airs(shelf) == []
    take(shelf, planned(shelf))
    again = planned(shelf)
    first = shelf.episodes.all(state=State.PLANNED)[0]
    shelf.episodes.record(first.id, "blind")
    with pytest.raises(NotAllowedError, match="was changed since"):
        take(shelf, again)
