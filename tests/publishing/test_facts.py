"""What a host says of an episode: all that cannot be so is told at once."""

from __future__ import annotations

import pytest

from saywhy.errors import NotAllowedError
from saywhy.publishing.episode import Episode
from saywhy.publishing.facts import Facts


@pytest.mark.parametrize("airs", ["soon", "2026-13-01", "2026-12-01T18:00"])
@pytest.mark.parametrize("link", ["javascript:alert(1)", "http://[x", "example.org", "https://a b"])
def test_a_link_and_a_time_that_are_none_are_both_told(harbour: Episode, link: str, airs: str) -> None:
    wrong = Facts(link=link, airs=airs)
    assert [problem.field for problem in wrong.problems()] == ["--link", "--airs"]
    with pytest.raises(NotAllowedError) as refused:
        wrong.episode(harbour.puzzle, harbour.path)
    assert list(refused.value.problems) == wrong.problems()


@pytest.mark.parametrize("airs", ["2026-12-01", "2026-12-01T18:00+00:00", None])
def test_what_can_be_so_has_no_problem(harbour: Episode, airs: str | None) -> None:
    fine = Facts(link="https://example.org/page", airs=airs)
    assert fine.problems() == []
    assert fine.episode(harbour.puzzle, harbour.path).link == "https://example.org/page"
