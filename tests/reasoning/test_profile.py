"""How long a talk is said to take: the same everywhere."""

from __future__ import annotations

import pytest

from saywhy.reasoning.profile import whole_minutes


@pytest.mark.parametrize(
    ("minutes", "told"), [(0.0, 1), (0.3, 1), (1.44, 1), (4.5, 5), (4.54, 5), (4.46, 5), (5.5, 6)]
)
def test_minutes_are_told_whole_halves_up_and_one_at_least(minutes: float, told: int) -> None:
    assert whole_minutes(minutes) == told


@pytest.mark.parametrize("tenths", range(0, 300))
def test_what_is_stored_in_tenths_is_told_as_what_was_measured(tenths: int) -> None:
    for measured in (tenths / 10 - 0.04, tenths / 10, tenths / 10 + 0.04):
        assert whole_minutes(measured) == whole_minutes(round(measured, 1))
