"""
Composing: from a sketch to finished puzzles.

``read_sketch`` and ``sketch_of`` read one, ``like`` and ``moved`` make one from a puzzle, ``compose`` works
on it. An attempt places the clues that have no cells yet, finds a grid, reads numbers off it, and gives
digits where the reasoning has come to rest; what looks alone then solve is proved and measured.
"""

from saywhy.setting.compose.attempt import Attempt, attempt
from saywhy.setting.compose.like import like, moved
from saywhy.setting.compose.reading import read_sketch, sketch_of
from saywhy.setting.compose.run import Progress, compose
from saywhy.setting.compose.sketch import EFFORTS, OpenClue, Sketch, Wish

__all__ = [
    "EFFORTS",
    "Attempt",
    "OpenClue",
    "Progress",
    "Sketch",
    "Wish",
    "attempt",
    "compose",
    "like",
    "moved",
    "read_sketch",
    "sketch_of",
]
