"""Whole paths: sweeps, traces and their order, what-ifs and trials, on seeded puzzles of several kinds."""

from __future__ import annotations

from functools import cache

import pytest

from saywhy.engine import prove
from saywhy.puzzle import Puzzle
from saywhy.reasoning.explain import told
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.path import Walk, Walker
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Step
from saywhy.reasoning.sweep import Sweeper
from saywhy.second_opinion import certify_path
from tests.reasoning.boards import classic, variant

#: Seeds of puzzles with one solution, none chosen for what its path looks like.
CASES = [("classic", seed) for seed in range(4)] + [("variant", seed) for seed in range(6)]


def board(case: tuple[str, int]) -> Puzzle:
    kind, seed = case
    return classic(seed) if kind == "classic" else variant(seed)


@cache
def walk(case: tuple[str, int]) -> Walk:
    return Walker(Frame(board(case))).walk()


@cache
def bare_walk(seed: int) -> Walk:
    """Walk a classic with no tiers but what-ifs and trials, so that both are seen at work."""
    frame = Frame(classic(seed))
    walker = Walker(frame)
    walker.sweeper.looks = [walker.sweeper.looks[0][:1]]
    return walker.walk()


def _lacking(known: list[int], step: Step) -> list[int]:
    return [cell for cell, mask in step.reason.facts.items() if known[cell] & ~mask]


def _unknown(start: Position, steps: list[Step]) -> list[Step]:
    """Give the steps that rely on what neither the start nor an earlier step has shown."""
    frame = start.frame
    known = frame.domains(start.marks)
    found = []
    for step in steps:
        if _lacking(known, step):
            found.append(step)
        for cell, mask in step.struck(frame.full).items():
            known[cell] &= ~mask
    return found


@pytest.mark.parametrize("case", CASES, ids=str)
def test_every_fact_is_shown_by_the_start_or_an_earlier_step(case: tuple[str, int]) -> None:
    found = walk(case)
    assert found.complete
    assert not _unknown(found.start, list(found.steps)), f"seed {case}"


@pytest.mark.parametrize("case", CASES, ids=str)
def test_the_steps_fill_the_grid_with_the_solution_and_place_no_digit_twice(case: tuple[str, int]) -> None:
    found = walk(case)
    solution = prove(board(case)).solution
    assert solution is not None
    placed = [(cell, digit) for step in found.steps for cell, digit in step.places.items()]
    empty = [(cell, solution[cell]) for cell, given in enumerate(board(case).givens) if not given]
    assert sorted(placed) == empty
    for step in found.steps:
        assert all(not mask >> (solution[cell] - 1) & 1 for cell, mask in step.removes.items())


@pytest.mark.parametrize("case", CASES, ids=str)
def test_no_step_can_be_left_out(case: tuple[str, int]) -> None:
    found = walk(case)
    spare = []
    for place, step in enumerate(found.steps):
        rest = [*found.steps[:place], *found.steps[place + 1 :]]
        if not step.places and not _unknown(found.start, rest):
            spare.append(place + 1)
    assert not spare, f"seed {case}"


@pytest.mark.parametrize("case", CASES[::3], ids=str)
def test_the_same_puzzle_gives_the_same_path(case: tuple[str, int]) -> None:
    again = Walker(Frame(board(case))).walk()
    assert again.steps == walk(case).steps
    assert again.openings == walk(case).openings


@pytest.mark.parametrize("case", CASES, ids=str)
def test_every_certificate_is_proved_again(case: tuple[str, int]) -> None:
    report = certify_path(board(case), told(walk(case)).as_json(str(case)))
    assert report.sound, f"seed {case}: {report.faults} {report.undecided}"


@pytest.mark.parametrize("case", CASES, ids=str)
def test_a_step_counts_itself_among_the_openings(case: tuple[str, int]) -> None:
    found = walk(case)
    assert len(found.openings) == len(found.steps)
    assert all(1 <= ready <= len(found.steps) - place for place, ready in enumerate(found.openings))


def test_a_sweep_takes_the_easiest_tier_that_shows_anything_and_leaves_its_start_alone() -> None:
    frame = Frame(classic(1))
    sweeper = Sweeper(frame)
    start = Position.opening(frame)
    before = start.copy()
    sweep = sweeper.sweep(start)
    assert (start.placed, start.marks, start.candidates) == (before.placed, before.marks, before.candidates)
    assert sweep.end.complete
    for found in sweep.rounds:
        for tier in sweeper.tiers[: found.tier]:
            assert not any(True for finder in tier for _ in finder(found.before))
        assert found.finds


def test_a_sweep_with_no_time_finds_nothing_and_says_so() -> None:
    frame = Frame(classic(1))
    sweep = Sweeper(frame).sweep(Position.opening(frame), 0.0)
    assert not sweep.rounds
    assert not sweep.end.complete
    found = Walker(frame).walk(0.0)
    assert not found.complete
    assert found.steps == ()


def _what_ifs() -> list[tuple[int, Step]]:
    return [(seed, step) for seed in range(3) for step in bare_walk(seed).steps if step.idea == "what-if"]


def test_a_what_if_concludes_the_opposite_of_what_it_supposes_and_its_story_breaks_at_the_end() -> None:
    stories = _what_ifs()
    assert len(stories) >= 5
    for seed, step in stories:
        assert step.suppose is not None
        cell, digit = step.suppose
        assert digit.bit_count() == 1
        assert step.removes == {cell: digit} or not step.removes.keys() - {cell}, f"seed {seed}"
        assert [inner.breaks for inner in step.story] == [False] * (len(step.story) - 1) + [True]
        assert step.reason.sources == {s for inner in step.story for s in inner.reason.sources}
        assert cell not in step.reason.facts
        assert step.inner_steps >= len(step.story)


def test_a_story_shows_each_inner_fact_from_its_premises_the_supposition_or_an_earlier_inner_step() -> None:
    for seed, step in _what_ifs():
        assert step.suppose is not None
        cell, digit = step.suppose
        frame = bare_walk(seed).frame
        known = [step.reason.facts.get(c, frame.full) for c in frame.grid.cells]
        known[cell] = digit
        for inner in step.story:
            assert not _lacking(known, inner), f"seed {seed}"
            for where, mask in inner.struck(frame.full).items():
                known[where] &= ~mask


@pytest.mark.parametrize("seed", range(3))
def test_paths_of_what_ifs_and_trials_are_proved_again(seed: int) -> None:
    found = bare_walk(seed)
    assert found.complete
    report = certify_path(classic(seed), told(found).as_json("bare"))
    assert report.sound, f"seed {seed}: {report.faults} {report.undecided}"


def test_a_trial_settles_a_cell_with_its_true_digit_and_is_called_one() -> None:
    for seed in range(3):
        frame = Frame(classic(seed, 6))
        sweeper = Sweeper(frame)
        here = Position.opening(frame)
        (find,) = sweeper.trials.finds(here)
        step = find.build({})
        solution = prove(classic(seed, 6)).solution
        assert solution is not None
        assert step.idea == "trial"
        assert find.places == step.places
        assert all(solution[cell] == digit for cell, digit in step.places.items())


def test_where_nothing_can_be_a_trial_gives_nothing() -> None:
    frame = Frame(classic(1, 6))
    here = Position.opening(frame)
    empty = here.placed.index(0)
    solution = prove(classic(1, 6)).solution
    assert solution is not None
    here.remove({empty: 1 << (solution[empty] - 1)})
    assert not list(Sweeper(frame).trials.finds(here))
