"""The episode pack: everything that an episode needs beside the video."""

from saywhy.publishing.episode import Episode

__all__ = ["Episode"]
