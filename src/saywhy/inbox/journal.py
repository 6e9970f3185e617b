"""
The journal: every judgement on disk before it counts, so that a killed run loses nothing.

One JSON object a line, added to the end and synced. A kill in the middle of a line leaves a torn one, which
the next run cuts off; its file is judged again.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from types import TracebackType
from typing import Self

import msgspec

from saywhy.errors import NotAllowedError, Problem, UnreadableError
from saywhy.inbox.arrivals import HEAD, JOURNAL
from saywhy.inbox.judgement import Judgement
from saywhy.shelf.folder import lock


class Journal:
    """
    The journal of an output folder, held by one run at a time.

    Attributes:
        torn: Bytes of a torn last line that were cut off.
        spoilt: Lines that do not read: what they told is judged again.

    Raises:
        NotAllowedError: Another run holds it, or the file is no journal.
        UnreadableError: It cannot be opened or written.
    """

    def __init__(self, folder: Path) -> None:
        self.path = folder / JOURNAL
        self.torn = self.spoilt = 0
        self._held: dict[tuple[str, int | None], Judgement] = {}
        try:
            folder.mkdir(parents=True, exist_ok=True)
            self._file = os.open(self.path, os.O_RDWR | os.O_CREAT | os.O_APPEND, 0o600)
        except OSError as error:
            reason = (error.strerror or str(error)).lower()
            problem = Problem(f"the journal cannot be written: {reason}", "Name another folder with --output")
            raise UnreadableError(problem, str(self.path)) from error
        try:
            if not lock(self._file):
                what = "another run is judging into this folder"
                raise NotAllowedError(Problem(what, "Wait for it, or name another --output"), str(folder))
            self._read()
        except BaseException:
            os.close(self._file)
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, _kind: type[BaseException] | None, _error: BaseException | None, _trace: TracebackType | None
    ) -> None:
        os.close(self._file)

    def __len__(self) -> int:
        return len(self._held)

    def __iter__(self) -> Iterator[Judgement]:
        return iter(self._held.values())

    def get(self, file: str, line: int | None) -> Judgement | None:
        """Give the last judgement on a file, whatever it held then."""
        return self._held.get((file, line))

    def keep(self, judgement: Judgement) -> None:
        """Add a judgement; it is on disk when this returns."""
        data = msgspec.json.encode(judgement) + b"\n"
        while data:
            data = data[os.write(self._file, data) :]
        os.fsync(self._file)
        self._held[judgement.file, judgement.line] = judgement

    def _read(self) -> None:
        data = self.path.read_bytes()
        if HEAD.startswith(data):  # new, or killed while it began
            os.ftruncate(self._file, 0)
            os.write(self._file, HEAD)
            os.fsync(self._file)
            _sync_folder(self.path.parent)
            return
        if not data.startswith(HEAD):
            problem = Problem("this file is no journal of an inbox", "Name another folder with --output")
            raise NotAllowedError(problem, str(self.path))
        whole = data[: data.rfind(b"\n") + 1]
        self.torn = len(data) - len(whole)
        if self.torn:
            os.ftruncate(self._file, len(whole))
            os.fsync(self._file)
        for text in whole[len(HEAD) :].splitlines():
            try:
                held = msgspec.json.decode(text, type=Judgement)
            except msgspec.DecodeError:
                self.spoilt += 1
                continue
            self._held[held.file, held.line] = held


def _sync_folder(folder: Path) -> None:
    """Put the folder's list of files on disk, where the system lets us."""
    try:
        descriptor = os.open(folder, os.O_RDONLY)
    except OSError:  # on Windows a folder cannot be opened
        return
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
