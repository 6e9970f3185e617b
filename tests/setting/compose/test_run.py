"""Attempts are handed on in order, the same whoever makes them, and can be stopped."""

from __future__ import annotations

import subprocess
import sys
from itertools import pairwise
from time import monotonic

import pytest

from saywhy.engine import Cancel
from saywhy.setting.compose import Sketch, compose, sketch_of
from saywhy.setting.compose import run as running
from saywhy.setting.compose.attempt import Attempt
from tests.setting.compose.drawn import PUNT, SKIFF

#: Far beyond what a small sketch takes on a busy machine.
SECONDS = 300.0

HERE = """
from saywhy.files import canonical
from saywhy.setting.compose import attempt, sketch_of
from tests.setting.compose.drawn import SKETCHES
for name, text in SKETCHES.items():
    for number in (1, 2, 3):
        made = attempt(sketch_of(text), 5, number)
        print(name, number, made.outcome, made.puzzle and canonical(made.puzzle))
"""


def found(sketch: Sketch, count: int, workers: int, seed: int = 2) -> list[Attempt]:
    """Give the finds in the order in which they were handed on."""
    told = compose(sketch, seed=seed, count=count, seconds=SECONDS, workers=workers)
    return [progress.found for progress in told if progress.found is not None]


def test_two_workers_find_what_one_process_finds_in_the_same_order() -> None:
    sketch = sketch_of(SKIFF)
    alone, together = found(sketch, 3, 0), found(sketch, 3, 2)
    assert alone == together
    assert len(alone) == 3
    assert all(a.number < b.number for a, b in pairwise(alone))


def test_another_seed_finds_other_puzzles() -> None:
    sketch = sketch_of(PUNT)
    assert [made.puzzle for made in found(sketch, 2, 0)] != [made.puzzle for made in found(sketch, 2, 0, 9)]


def test_attempts_do_not_depend_on_the_order_of_sets_in_memory() -> None:
    ran = [
        subprocess.run(
            [sys.executable, "-c", HERE],
            env={"PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "77")
    ]
    assert ran[0].count("found") >= 4
    assert ran[0] == ran[1]


def test_a_find_is_told_of_at_once_and_handed_on_in_its_turn(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(running, "_here", lambda *_: (Attempt(number, "found") for number in (2, 3, 1)))
    told = list(compose(sketch_of(PUNT), count=2))
    assert [progress.fresh.number for progress in told if progress.fresh] == [2, 3, 1]
    assert [progress.found.number for progress in told if progress.found] == [1, 2]
    assert told[-1].done


def test_the_last_word_says_how_many_attempts_came_to_what() -> None:
    last = list(compose(sketch_of(PUNT), count=100, most=6))[-1]
    assert last.done
    assert last.tried == sum(last.outcomes.values()) == 6


def test_a_proof_that_nothing_is_possible_ends_the_work() -> None:
    text = PUNT.replace("[wish]", '[wish]\npattern = "r1c1 r1c2 r2c2 read 1 2 2"')
    assert list(compose(sketch_of(text)))[-1].outcomes == {"impossible": 1}


def endless() -> Sketch:
    return sketch_of("format = 1\nsize = 9\n[wish]\ngivens = 9\n")


def test_time_ends_the_work_of_workers() -> None:
    begun = monotonic()
    assert list(compose(endless(), seconds=1, workers=2))[-1].done
    assert monotonic() - begun < 60


def test_a_flag_ends_the_work_of_workers() -> None:
    cancel = Cancel()
    told = compose(endless(), seconds=None, workers=1, cancel=cancel)
    next(told)
    cancel.set()
    assert list(told)[-1].done


def test_closing_ends_the_workers() -> None:
    import multiprocessing

    told = compose(endless(), seconds=None, workers=2)
    next(told)
    assert len(multiprocessing.active_children()) >= 2
    told.close()
    assert not multiprocessing.active_children()


def test_what_breaks_in_a_worker_is_raised_here() -> None:
    broken = sketch_of(PUNT)
    object.__setattr__(broken.wish, "efforts", ())
    with pytest.raises(ValueError, match="max"):
        list(compose(broken, workers=1, seconds=SECONDS))
