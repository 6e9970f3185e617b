"""An empty shelf in a folder of its own."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from saywhy.shelf import Shelf, ShelfEpisode, ShelfPuzzle
from tests.shelf.shelves import GRANTED, text


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[Shelf]:
    with Shelf(tmp_path / "shelf", wait_s=0.3) as held:
        yield held


@pytest.fixture
def tide(shelf: Shelf) -> ShelfPuzzle:
    """A puzzle that may air."""
    return shelf.puzzles.add(text(), said=GRANTED)


@pytest.fixture
def planned(shelf: Shelf, tide: ShelfPuzzle) -> ShelfEpisode:
    """An episode of it."""
    return shelf.episodes.plan(tide.id, "2026-12-01T18:00+00:00")
