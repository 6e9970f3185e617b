"""A file that does not end, crashes or fills the memory costs itself and nothing else."""

from __future__ import annotations

import hashlib
from time import monotonic

import pytest

from saywhy.files import write
from saywhy.grid import Grid
from saywhy.inbox.judgement import Arrival, Limits
from saywhy.inbox.pool import LocalPool
from saywhy.puzzle import Puzzle
from tests.inbox.fakes import misbehaving

UNIQUE = Puzzle(Grid.standard(4), (1, 0, 0, 0, 0, 0, 4, 0, 0, 2, 0, 0, 0, 0, 0, 3))


def arrival(name: str) -> Arrival:
    data = write(UNIQUE).encode()
    return Arrival(file=name, line=None, data=data, digest=hashlib.sha256(data).hexdigest())


def test_files_that_hang_crash_or_fill_the_memory_are_told_and_the_rest_is_judged() -> None:
    names = [
        *("hang-always", "hang-once", "crash-always", "crash-once", "fill-always", "fail-always"),
        *(f"good-{n}" for n in range(6)),
    ]
    limits = Limits(seconds=0.1, memory_mb=1024)
    begun = monotonic()
    found = {held.file: held for held in LocalPool(2, misbehaving).judge(map(arrival, names), limits)}
    assert set(found) == set(names)
    assert all(found[f"good-{n}"].verdict == "unique" for n in range(6))
    assert found["hang-once"].verdict == found["crash-once"].verdict == "unique"
    assert found["hang-once"].why == "the rest of its judging broke off"
    assert found["hang-once"].effort is None
    assert found["hang-once"].same == found["good-0"].same is not None
    assert "did not stop by itself" in found["hang-always"].why
    assert "broke down" in found["crash-always"].why
    assert "1024 MB" in found["fill-always"].why
    assert "ValueError" in found["fail-always"].why
    bad = [name for name in names if name.endswith("always")]
    assert {found[name].verdict for name in bad} == {"undecided"}
    assert monotonic() - begun < 90  # one hangs for 5 s three times, one once


def test_every_arrival_is_judged_once_and_few_are_handed_out_ahead() -> None:
    taken: list[str] = []

    def coming() -> object:
        for number in range(12):
            taken.append(f"good-{number}")
            yield arrival(taken[-1])

    judged = []
    for held in LocalPool(2).judge(coming(), Limits(seconds=5)):  # type: ignore[arg-type]
        judged.append(held.file)
        assert len(taken) - len(judged) <= 5
    assert sorted(judged) == sorted(taken)
    assert len(judged) == 12


@pytest.mark.parametrize("seconds", [1.0, 30.0])
def test_a_process_is_ended_a_little_after_its_time(seconds: float) -> None:
    assert seconds < Limits(seconds=seconds).last_s <= 2 * seconds + 5
