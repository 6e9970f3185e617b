"""The folder of a host: where the shelf and the desk keep their things, and who may write there."""

from __future__ import annotations

import os
import time
from pathlib import Path


def usual_folder() -> Path:
    """Give the folder where things are kept unless told otherwise."""
    if os.name == "nt" and (local := os.environ.get("LOCALAPPDATA")):
        return Path(local) / "saywhy" / "desk"
    data = os.environ.get("XDG_DATA_HOME") or str(Path.home() / ".local" / "share")
    return Path(data) / "saywhy" / "desk"


def lock(descriptor: int, wait_s: float = 0.0) -> bool:
    """
    Lock an open file against other programs until it is closed or unlocked.

    Args:
        descriptor: The file.
        wait_s: How long to try.

    Returns:
        Whether it is ours. On a system without such locks it always is.
    """
    try:
        import fcntl
    except ImportError:
        return True
    until = time.monotonic() + wait_s
    while True:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            if time.monotonic() >= until:
                return False
            time.sleep(0.01)
        else:
            return True


def unlock(descriptor: int) -> None:
    """Let other programs lock the file."""
    try:
        import fcntl
    except ImportError:
        return
    fcntl.flock(descriptor, fcntl.LOCK_UN)
