"""The log of a solve, act by act."""

from saywhy.recording.acts import Header
from saywhy.recording.log import Log, Recording, belongs, read, read_bytes, written

__all__ = ["Header", "Log", "Recording", "belongs", "read", "read_bytes", "written"]
