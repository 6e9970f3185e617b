"""The puzzles that come with Saywhy."""

from __future__ import annotations

from pathlib import Path

#: The puzzle that ``saywhy demo`` takes first.
FIRST = "harbour-lights"


def folder() -> Path:
    """Give the folder of the shipped puzzles: beside this file once installed, else in the repository."""
    installed = Path(__file__).parent / "examples"
    return installed if installed.is_dir() else Path(__file__).parents[2] / "examples"


def names() -> list[str]:
    """Name the shipped puzzles, in alphabetical order."""
    return sorted(found.stem for found in folder().glob("*.toml"))


def path(name: str) -> Path:
    """Give the file of a shipped puzzle."""
    return folder() / f"{name}.toml"
