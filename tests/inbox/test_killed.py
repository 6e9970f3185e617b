"""Much post, killed twice with its whole process group and resumed: all judged as known, nothing lost."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from tests.inbox.killed import killed_twice

FILES = 30


def test_a_run_that_is_killed_twice_judges_all_as_known_and_loses_nothing(tmp_path: Path) -> None:
    outcome = killed_twice(tmp_path, FILES, seed=8, seconds=1.0)
    kinds = Counter(told["kind"] for told in outcome.known.values())
    assert set(kinds) == {"valid", "again", "several", "none", "hostile", "endless"}
    assert len(outcome.rows) == FILES
    assert outcome.wrong() == []
    assert (outcome.ungrouped(), outcome.grouped_wrongly()) == ([], [])
    assert (outcome.lost(), outcome.twice()) == (0, [])
    first, second, third = outcome.said
    assert first.startswith(f"{FILES} puzzles in ")
    assert "earlier run" not in first
    assert f"{outcome.at_kill[0]} judged by an earlier run" in second
    assert f"{outcome.at_kill[1]} judged by an earlier run" in third
    assert 0 < outcome.at_kill[0] < outcome.at_kill[1] < FILES
