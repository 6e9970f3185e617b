"""Chains of looks: their memory changes nothing, and what the path has for a mark is told whole."""

from __future__ import annotations

import random
from pathlib import Path

from saywhy.files import read
from saywhy.reasoning.clues import ClueFinder
from saywhy.reasoning.effort import FLOORS
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.looks import Looks
from saywhy.reasoning.path import Walker
from saywhy.reasoning.position import Position
from saywhy.reasoning.sweep import Sweeper
from saywhy.recording.chains import ALL, LEAST, Chains, Goal, _worth
from tests.recording.figures import PUZZLES

HARBOUR = Path(__file__).parents[2] / "examples" / "harbour-lights.toml"


def test_a_finder_that_remembers_shows_what_one_shows_that_does_not() -> None:
    for path in (HARBOUR, PUZZLES / "sandwich.toml"):
        frame = Frame(read(path)[0])
        walk = Walker(frame).walk(60.0)
        here, positions = walk.start.copy(), [walk.start]
        for step in walk.steps[:24]:
            here = here.copy()
            here.apply(step)
            positions.append(here)
        remembering = Sweeper(frame)
        chance = random.Random(7)
        order = [chance.choice(positions) for _ in range(60)]
        for position in order:
            fresh = Sweeper(frame)
            for tier in (0, 1):
                for mine, plain in zip(remembering.looks[tier], fresh.looks[tier], strict=True):
                    told = [(find.places, find.removes) for find in mine(position)]
                    assert told == [(find.places, find.removes) for find in plain(position)]


def test_a_memory_that_is_full_begins_anew_and_shows_the_same() -> None:
    frame = Frame(read(HARBOUR)[0])
    start = Position.opening(frame)
    finder = ClueFinder(Looks(frame))
    first = [(find.places, find.removes) for find in finder.finds(start, "clue")]
    assert first
    for cell in frame.grid.cells[:20]:
        for digit in (1, 2, 3, 4, 5):
            if start.placed[cell] or not start.domain(cell) >> (digit - 1) & 1:
                continue
            other = start.copy()
            other.remove({cell: 1 << (digit - 1)})
            list(finder.finds(other, "clue"))
    assert first == [(find.places, find.removes) for find in finder.finds(start, "clue")]


def test_what_the_path_has_for_marks_of_a_cell_that_it_fills_is_the_digit_itself() -> None:
    frame = Frame(read(HARBOUR)[0])
    walk = Walker(frame).walk(60.0)
    chains = Chains(Sweeper(frame), walk.steps)
    for step in walk.steps:
        for cell, digit in step.places.items():
            gone = walk.start.domain(cell) & ~(1 << (digit - 1))
            steps = chains._of_path(walk.start, Goal(cell, gone=gone))
            for told in steps or []:
                assert told.places or told.removes or told.parts, told


def test_a_digit_that_the_path_leaves_alone_in_a_cell_is_shown_before_the_path_places_it() -> None:
    met = 0
    for path in sorted(PUZZLES.glob("*.toml")):
        frame = Frame(read(path)[0])
        walk = Walker(frame).walk(60.0)
        chains = Chains(Sweeper(frame), walk.steps)
        here = walk.start.copy()
        for step in walk.steps:
            before = here.copy()
            here.apply(step)
            for cell in step.removes:
                left = here.domain(cell)
                if left & (left - 1) or here.placed[cell]:
                    continue
                told = chains._of_path(before, Goal(cell, left.bit_length()))
                assert told is not None and told[-1].places == {cell: left.bit_length()}, path.stem
                met += 1
    assert met > 5


def test_no_chain_below_a_bound_needs_a_look_that_is_not_worth_asking() -> None:
    assert _worth(float("inf")) == ALL.tiers
    for below in (1.5, 3.0, 6.5, 9.5, 12.5):
        for number, tiers in enumerate(_worth(below)):
            assert all(floor + number * LEAST >= below for floor in FLOORS[tiers:])
            assert all(floor + number * LEAST < below for floor in FLOORS[:tiers])
