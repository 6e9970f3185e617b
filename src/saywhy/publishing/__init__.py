"""The episode pack: everything that an episode needs beside the video."""

from saywhy.publishing.episode import Episode
from saywhy.publishing.pack import build

__all__ = ["Episode", "build"]
