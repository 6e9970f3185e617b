"""A desk in this process, and one that runs as a program of its own."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser
from starlette.testclient import TestClient

from saywhy.desk.app import desk_app
from saywhy.desk.store import Store
from tests.desk.browsers import chromium
from tests.desk.desks import KEY, PORT, ROOT, Program, harbour, written


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    held = Store(tmp_path / "desk")
    yield held
    held.close()


@pytest.fixture
def stranger(store: Store) -> Iterator[TestClient]:
    """Someone at the right address without the key."""
    app = desk_app(store, PORT, KEY)
    with TestClient(app, base_url=ROOT, follow_redirects=False, raise_server_exceptions=True) as client:
        yield client


@pytest.fixture
def host(stranger: TestClient) -> TestClient:
    """The host: has the key, and sends what the desk's own pages send."""
    stranger.cookies.set(f"saywhy-desk-{PORT}", KEY)
    stranger.headers["Origin"] = ROOT
    return stranger


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    """A desk of its own with one puzzle on it, for all tests of a module."""
    folder = tmp_path_factory.mktemp("desk")
    with Program(folder / "kept", (written(folder, harbour()),)) as running:
        yield running


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with chromium() as running:
        yield running
