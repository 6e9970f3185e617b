"""The first example as an episode, explained once."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
from playwright.sync_api import Browser

from saywhy import examples
from saywhy.files import read
from saywhy.publishing.episode import Episode
from saywhy.reasoning.explain import Path, explain
from tests.desk.browsers import chromium

LINK = "https://example.org/harbour"


@pytest.fixture(scope="session")
def path() -> Path:
    return explain(read(examples.path(examples.FIRST))[0])


@pytest.fixture(scope="session")
def harbour(path: Path) -> Episode:
    airs = datetime(2026, 12, 1, 18, 0, tzinfo=UTC)
    return Episode(
        path.puzzle,
        path,
        link=LINK,
        blind=True,
        licence="CC BY 4.0",
        airs=airs,
        next_date="on Friday",
        series="Harbour evenings",
    )


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with chromium() as running:
        yield running
