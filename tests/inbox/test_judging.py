"""One arrival judged: what is known of it, and what its setter is to hear."""

from __future__ import annotations

import re
from dataclasses import replace

import msgspec
import pytest

from saywhy.files import write
from saywhy.inbox.judgement import Judgement, Limits
from saywhy.inbox.judging import judge
from saywhy.puzzle import Puzzle
from saywhy.sameness import near_key, same_key
from saywhy.second_opinion.answers import solve, verdict
from tests.inbox.test_pool import UNIQUE, arrival

OPEN = replace(
    UNIQUE, givens=(1, 2, 0, 0, 0, 0, 0, 0, 0, 0, 0, 3, 0, 0, 0, 0), title="Open", setter="oarlock"
)


def judged(puzzle: Puzzle) -> Judgement:
    held = msgspec.structs.replace(arrival("a.toml"), data=write(puzzle).encode())
    return judge(held, Limits(seconds=20))


def test_a_fit_puzzle_has_keys_and_effort_and_nothing_that_spoils() -> None:
    found = judge(arrival("a.toml"), Limits(seconds=20))
    assert (found.verdict, found.why, found.sealed) == ("unique", "", "")
    assert found.effort is not None and found.effort["band"]
    assert (found.same, found.near) == (same_key(UNIQUE), near_key(UNIQUE))


def test_two_fillings_are_named_and_the_repair_settles_it() -> None:
    found = judged(OPEN)
    assert (found.verdict, found.title, found.setter) == ("many", "Open", "oarlock")
    spoils = found.spoils
    assert found.differ == len(spoils.differ) > 0
    solutions = solve(OPEN, limit=None)
    for said in spoils.differ:
        name, one, other = re.fullmatch(r"(r\dc\d): (\d) or (\d)", said).groups()  # type: ignore[union-attr]
        there = {filling[OPEN.grid.cell(name)] for filling in solutions}
        assert {int(one), int(other)} <= there
    givens = list(OPEN.givens)
    for said in spoils.repair:
        digit, name = re.fullmatch(r"give (\d) in (r\dc\d)", said).groups()  # type: ignore[union-attr]
        givens[OPEN.grid.cell(name)] = int(digit)
    assert verdict(replace(OPEN, givens=tuple(givens))) == "unique"


def test_what_clashes_is_named() -> None:
    found = judged(replace(UNIQUE, givens=(1, 1, *[0] * 14)))
    assert found.verdict == "none"
    assert set(found.spoils.clash) >= {"1 in r1c1", "1 in r1c2"}
    assert found.spoils.smallest


def test_a_defect_beyond_the_proof_costs_itself_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> None:
        raise TypeError("a defect")

    monkeypatch.setattr("saywhy.reasoning.explain", broken)
    found = judge(arrival("a.toml"), Limits())
    assert (found.verdict, found.effort) == ("unique", None)
    assert found.why == "its effort could not be measured: TypeError"
    assert found.same is not None
    monkeypatch.setattr("saywhy.sameness.keys", broken)
    found = judge(arrival("a.toml"), Limits(effort=False))
    assert (found.verdict, found.same) == ("unique", None)


def test_later_attempts_leave_out_more_and_more() -> None:
    first, second, third = (judge(arrival("a.toml"), Limits(), attempt=attempt) for attempt in range(3))
    assert [held.verdict for held in (first, second, third)] == ["unique"] * 3
    assert [held.effort is None for held in (first, second, third)] == [False, True, True]
    assert [held.same is None for held in (first, second, third)] == [False, False, True]


def test_what_a_stranger_writes_is_never_run_or_shown_raw() -> None:
    data = b'format = 1\nsize = 4\ntitle = "\\u001b[2J"\n'
    found = judge(msgspec.structs.replace(arrival("a.toml"), data=data), Limits())
    assert found.verdict == "unreadable"
    assert all("\x1b" not in str(problem) for problem in found.problems)
