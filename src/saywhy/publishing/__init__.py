"""The episode pack: everything that an episode needs beside the video."""

from saywhy.publishing.episode import Episode
from saywhy.publishing.pack import build
from saywhy.publishing.pieces import Wish

__all__ = ["Episode", "Wish", "build"]
