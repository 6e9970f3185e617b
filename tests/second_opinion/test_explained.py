"""Every step of every path is proved a second time, from exactly what it names."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from functools import cache
from typing import Any

import pytest

from saywhy import examples
from saywhy.engine import Budget, prove
from saywhy.files import read, write
from saywhy.puzzle import Puzzle
from saywhy.reasoning.explain import explain
from saywhy.second_opinion import certify, certify_path
from tests.second_opinion.mixes import SECONDS, random_mix

#: How many paths are looked at.
MIXES = 20


@cache
def explained() -> tuple[tuple[int, Puzzle, dict[str, Any]], ...]:
    """Give the paths of some random mixes up to 9x9 that have one solution, each with its seed."""
    found: list[tuple[int, Puzzle, dict[str, Any]]] = []
    seed = 2000
    while len(found) < MIXES:
        puzzle, _ = random_mix(seed)
        if puzzle.grid.size <= 9 and prove(puzzle, Budget(seconds=SECONDS)).verdict == "unique":
            found.append((seed, puzzle, explain(puzzle, seconds=SECONDS).as_json("mix")))
        seed += 1
    return tuple(found)


@pytest.mark.parametrize("place", range(MIXES))
def test_every_step_of_a_random_mix_is_proved_again(place: int) -> None:
    seed, puzzle, path = explained()[place]
    report = certify_path(puzzle, path)
    assert report.sound, f"seed {seed}: {report.faults} {report.undecided}\n{write(puzzle)}"


def test_most_random_mixes_are_explained_to_the_end() -> None:
    complete = sum(path["complete"] for _, _, path in explained())
    assert complete >= 0.8 * MIXES


def test_the_shipped_puzzles_are_explained_and_proved_to_the_end() -> None:
    for name in examples.names():
        (puzzle,) = read(examples.path(name))
        path = explain(puzzle).as_json(name)
        report = certify_path(puzzle, path)
        assert report.sound, f"{name}: {report.faults} {report.undecided}"
        assert path["complete"], name
        assert not any("story" in step for step in path["steps"]), name


def _with_one_premise_less(step: dict[str, Any]) -> Iterator[dict[str, Any]]:
    for kind, named in step["uses"].items():
        for one in named:
            less = copy.deepcopy(step)
            less["uses"][kind].remove(one)
            yield less
    for place in range(len(step["facts"])):
        less = copy.deepcopy(step)
        del less["facts"][place]
        yield less


def test_hardly_a_step_names_a_premise_that_it_could_do_without() -> None:
    spare = needed = 0
    for _, puzzle, path in explained():
        for step in path["steps"][:40:5]:
            if "story" in step:
                continue
            for less in _with_one_premise_less(step):
                if certify(puzzle, less).holds:
                    spare += 1
                else:
                    needed += 1
    assert needed > 200
    assert spare < 0.1 * needed


def test_a_digit_too_many_struck_out_is_noticed_wherever_it_is() -> None:
    seed, puzzle, path = explained()[0]
    solution = prove(puzzle).solution
    assert solution is not None
    for place in range(len(path["steps"])):
        wrong = copy.deepcopy(path)
        cell = (7 * place + seed) % len(solution)
        name = puzzle.grid.name(cell)
        wrong["steps"][place]["removes"].append({"cell": name, "digits": [solution[cell]]})
        faults = certify_path(puzzle, wrong).faults
        n = path["steps"][place]["n"]
        assert f"step {n}: removes {solution[cell]} from {name}, where a solution has it" in faults
