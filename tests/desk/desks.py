"""A desk for tests: in this process by its app, or as a program of its own that can be killed."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import threading
from pathlib import Path
from queue import Queue
from typing import Self

from saywhy.files import read_text, write
from saywhy.puzzle import Puzzle

PORT = 8642
KEY = "the-key-of-this-test"
ROOT = f"http://127.0.0.1:{PORT}"
LINE = f"ws://127.0.0.1:{PORT}"

#: A double arrow on a small grid: one solution, and many without the arrow.
HARBOUR = """
format = 1
title = "Harbour lights"
setter = "gulls"
size = 4
givens = \"\"\"
1 . 3 .
3 . . 2
. . . .
. . . .
\"\"\"
[[clue]]
rule = "double-arrow"
cells = "r1c4 r2c3 r3c3 r4c4"
"""


def harbour() -> Puzzle:
    """Give the puzzle of these tests."""
    return read_text(HARBOUR)[0]


class Program:
    """
    A desk that runs as a program of its own.

    Attributes:
        address: Where it answers, key included.
        root: The same without path and key.
    """

    def __init__(self, folder: Path, puzzles: tuple[Path, ...] = (), port: int | None = None) -> None:
        self.folder = folder
        self.port = port or free_port()
        names = [str(puzzle) for puzzle in puzzles]
        command = [sys.executable, "-m", "saywhy", "desk", *names, "--folder", str(folder)]
        command += ["--port", str(self.port), "--no-browser"]
        self.process = subprocess.Popen(
            command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=os.environ
        )
        lines: Queue[str] = Queue()
        self._drain = threading.Thread(target=_drain, args=(self.process, lines), daemon=True)
        self._drain.start()
        self.address = _address(lines)
        self.root = f"http://127.0.0.1:{self.port}"

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.stop()

    def kill(self) -> None:
        """End it as a crash does."""
        os.kill(self.process.pid, signal.SIGKILL)
        self._reap()

    def stop(self) -> None:
        """End it as Ctrl-C does."""
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
        self._reap()

    def _reap(self) -> None:
        self.process.wait(timeout=10)
        self._drain.join(timeout=10)
        assert self.process.stdout is not None
        self.process.stdout.close()


def free_port() -> int:
    """Give a port that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _drain(process: subprocess.Popen[str], lines: Queue[str]) -> None:
    assert process.stdout is not None
    for line in process.stdout:
        lines.put(line)
    lines.put("")


def _address(lines: Queue[str]) -> str:
    said = []
    while line := lines.get(timeout=30):
        said.append(line)
        if found := re.search(r"http://\S+", line):
            return found[0]
    raise AssertionError("the desk did not open: " + "".join(said))


def written(folder: Path, puzzle: Puzzle) -> Path:
    """Write a puzzle into a folder and give its file."""
    path = folder / "puzzle.toml"
    path.write_text(write(puzzle), encoding="utf-8")
    return path
