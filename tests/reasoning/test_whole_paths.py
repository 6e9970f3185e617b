"""Paths: swept forwards, traced back, put in order."""

from __future__ import annotations

import random
from itertools import pairwise

import pytest

from saywhy.engine import prove
from saywhy.puzzle import Puzzle
from saywhy.reasoning.beats import LONGEST, beats
from saywhy.reasoning.effort import IDEAS
from saywhy.reasoning.explain import explain
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.path import Walk, Walker
from saywhy.reasoning.position import Position
from saywhy.reasoning.profile import BANDS, profile
from saywhy.reasoning.step import Step
from saywhy.second_opinion import certify_path
from tests.reasoning.positions import clue, puzzle, toml

#: Made for these tests; each has one solution (asserted below).
CLASSIC = "53..7....6..195....98....6.8...6...34..8.3..17...2...6.6....28....419..5....8..79"


def classic(seed: int, size: int = 9) -> Puzzle:
    """Give a classic puzzle with one solution from which no given can be taken."""
    rng = random.Random(seed)
    solution = prove(toml(size), seed=seed + 1).solution
    assert solution is not None
    digits = ["0123456789ABCDEFG"[digit] for digit in solution]
    order = list(range(size * size))
    rng.shuffle(order)
    for cell in order:
        held, digits[cell] = digits[cell], "."
        if prove(puzzle("".join(digits))).verdict != "unique":
            digits[cell] = held
    return puzzle("".join(digits))


def missing(walk: Walk) -> list[tuple[int, int]]:
    """Give the facts that neither the start nor an earlier step establishes, as (step, cell)."""
    known = walk.frame.domains(walk.start.marks)
    found = []
    for number, step in enumerate(walk.steps):
        found += [(number, cell) for cell, mask in step.reason.facts.items() if known[cell] & ~mask]
        for cell, mask in step.struck(walk.frame.full).items():
            known[cell] &= ~mask
    return found


@pytest.mark.parametrize("seed", range(6))
def test_a_random_classic_is_solved_and_every_step_is_re_proved_by_another_solver(seed: int) -> None:
    held = classic(seed)
    path = explain(held)
    assert path.complete, f"seed {seed}"
    report = certify_path(held, path.as_json(""))
    assert report.sound, (seed, report.faults)


@pytest.mark.parametrize("size", [4, 6, 8])
def test_smaller_sizes_are_explained_with_the_same_words(size: int) -> None:
    held = classic(3, size)
    path = explain(held)
    assert path.complete
    assert certify_path(held, path.as_json("")).sound
    assert all(step.told.text.endswith((".", "?")) for step in path.steps)


def test_every_fact_is_established_by_the_start_or_by_an_earlier_step() -> None:
    for seed in range(4):
        assert missing(Walker(Frame(classic(seed))).walk()) == []


def test_no_step_can_go_without_leaving_a_later_fact_or_a_cell_open() -> None:
    walk = Walker(Frame(classic(2))).walk()
    for number, step in enumerate(walk.steps):
        if step.places:
            continue
        without = Walk(walk.frame, walk.start, (*walk.steps[:number], *walk.steps[number + 1 :]), (), True)
        assert missing(without), f"step {number + 1} is not needed"


def test_no_digit_is_placed_twice_and_no_mark_made_twice() -> None:
    walk = Walker(Frame(classic(5))).walk()
    placed = [cell for step in walk.steps for cell in step.places]
    assert len(placed) == len(set(placed))
    known = walk.frame.domains(walk.start.marks)
    for step in walk.steps:
        assert all(known[cell] & mask for cell, mask in step.removes.items())
        for cell, mask in step.struck(walk.frame.full).items():
            known[cell] &= ~mask


def test_the_same_puzzle_gives_the_same_path_and_the_same_words() -> None:
    first, second = explain(puzzle(CLASSIC)), explain(puzzle(CLASSIC))
    assert first.as_json("") == second.as_json("")


def test_a_walk_can_start_from_any_position() -> None:
    frame = Frame(puzzle(CLASSIC))
    whole = Walker(frame).walk()
    start = Position.opening(frame)
    for step in whole.steps[:20]:
        start.apply(step)
    rest = Walker(frame).walk(start=start)
    assert rest.complete
    assert missing(rest) == []
    assert sum(len(step.places) for step in rest.steps) == start.placed.count(0)


@pytest.mark.parametrize(("line", "verdict"), [("11" + "." * 79, "none"), ("." * 81, "many")])
def test_puzzles_without_exactly_one_solution_have_a_verdict_and_no_steps(line: str, verdict: str) -> None:
    path = explain(puzzle(line))
    assert (path.verdict, path.complete, path.steps, path.effort) == (verdict, False, (), None)


def test_a_walk_whose_time_is_up_says_that_it_is_not_complete() -> None:
    walk = Walker(Frame(puzzle(CLASSIC))).walk(seconds=0.0)
    assert not walk.complete
    assert walk.steps == ()


def test_a_double_arrow_takes_part_in_the_reasons() -> None:
    held = toml(
        4,
        "1... .... .... ...2",
        clue("double-arrow", "r1c2 r1c3 r2c4") + clue("double-arrow", "r4c1 r3c1 r2c1"),
    )
    verdict = prove(held).verdict
    path = explain(held)
    assert path.verdict == verdict
    assert path.complete == (verdict == "unique")


def test_the_profile_counts_what_the_path_has() -> None:
    path = explain(puzzle(CLASSIC))
    assert path.effort is not None
    steps = [told.step for told in path.steps]
    assert path.effort.steps == len(steps)
    assert path.effort.beats == path.steps[-1].beat == len(path.beats)
    assert path.effort.total == pytest.approx(sum(step.effort for step in steps))
    assert path.effort.hardest == max(step.effort for step in steps)
    assert path.effort.what_ifs == sum(bool(step.story) for step in steps)
    least, likely, most = path.effort.minutes
    assert least < likely < most
    assert path.effort.band in {name for _, name in BANDS}
    assert not any(char.isdigit() for char in path.effort.hardest_idea)


def test_an_empty_path_has_an_empty_profile() -> None:
    empty = profile([], [], [])
    assert (empty.steps, empty.beats, empty.total, empty.hardest) == (0, 0, 0, 0)


def test_a_beat_joins_small_consequences_and_is_never_too_long() -> None:
    walk = Walker(Frame(puzzle(CLASSIC))).walk()
    numbers = beats(walk.steps, walk.frame.full)
    assert numbers[0] == 1
    assert all(after - before in (0, 1) for before, after in pairwise(numbers))
    assert max(numbers.count(number) for number in numbers) <= LONGEST
    shown: dict[int, int] = {}
    for before, (number, step) in zip([0, *numbers], zip(numbers, walk.steps, strict=True), strict=False):
        if number == before:
            assert any(shown.get(cell, 0) & ~mask for cell, mask in step.reason.facts.items())
        else:
            shown = {}
        for cell, mask in step.struck(walk.frame.full).items():
            shown[cell] = shown.get(cell, 0) | mask


def test_every_idea_of_a_step_has_its_weight() -> None:
    def all_steps(steps: tuple[Step, ...]) -> list[Step]:
        return [inner for step in steps for inner in (step, *all_steps(step.story))]

    for seed in range(3):
        assert {step.idea for step in all_steps(Walker(Frame(classic(seed))).walk().steps)} <= set(IDEAS)
