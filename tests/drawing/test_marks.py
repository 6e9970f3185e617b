"""Marks are values."""

from __future__ import annotations

from dataclasses import FrozenInstanceError

import pytest

from saywhy.marks import ROLES, Mark


def test_a_mark_is_a_value() -> None:
    assert Mark("a", (1, 2), "because") == Mark("a", (1, 2), "because")
    assert len({Mark("a", (1,)), Mark("a", (1,)), Mark("b", (1,))}) == 2
    with pytest.raises(FrozenInstanceError):
        Mark().group = "b"  # type: ignore[misc]


def test_there_are_three_roles() -> None:
    assert ROLES == ("look", "because", "result")
