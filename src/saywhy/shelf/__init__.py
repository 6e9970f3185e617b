"""The shelf: a catalogue of setters, puzzles, episodes, recordings and reviews, in one SQLite file."""

from saywhy.shelf.deeds import DeedTold
from saywhy.shelf.episodes import EpisodeFacts
from saywhy.shelf.finding import Found
from saywhy.shelf.folder import usual_folder
from saywhy.shelf.shelf import Shelf
from saywhy.shelf.values import (
    Judged,
    Permission,
    Said,
    Setter,
    ShelfEpisode,
    ShelfPuzzle,
    ShelfRecording,
    ShelfReview,
    State,
)

__all__ = [
    "DeedTold",
    "EpisodeFacts",
    "Found",
    "Judged",
    "Permission",
    "Said",
    "Setter",
    "Shelf",
    "ShelfEpisode",
    "ShelfPuzzle",
    "ShelfRecording",
    "ShelfReview",
    "State",
    "usual_folder",
]
