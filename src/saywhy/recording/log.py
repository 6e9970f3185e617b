"""
The recording of a solve as JSON Lines: a writer that is on disk before it says so, and a strict reader.

The first line is the ``Header``; every further line is one act. A line counts once its line feed is on
disk, so whatever a crash leaves behind it ends at most one line early.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Self

import msgspec

from saywhy.errors import NotAllowedError, Problem, UnreadableError
from saywhy.files import puzzle_id
from saywhy.grid import Grid
from saywhy.puzzle import Puzzle
from saywhy.recording.acts import AnyAct, Header

#: A recording of a long evening has a few thousand acts.
MOST_BYTES = 64 * 1024 * 1024
LONGEST_LINE = 16 * 1024

_encoder = msgspec.json.Encoder()
_header = msgspec.json.Decoder(Header)
_act = msgspec.json.Decoder(AnyAct)


@dataclass(frozen=True)
class Recording:
    """
    A recording as read.

    Attributes:
        header: Its first line.
        acts: In order.
        damage: What is wrong after the last act that could be read; None where all is well.
    """

    header: Header
    acts: tuple[AnyAct, ...]
    damage: Problem | None = None


class Log:
    """
    A recording that is being written. One writer at a time: a second one on the same file is refused.

    Attributes:
        path: The file.
        recording: What stood in it when it was opened.
        count: Acts on disk.
    """

    def __init__(self, path: Path, recording: Recording, descriptor: int, size: int) -> None:
        self.path = path
        self.recording = recording
        self.count = len(recording.acts)
        self._last = recording.acts[-1].t if recording.acts else 0.0
        self._file: int | None = descriptor
        self._size = size

    @classmethod
    def create(cls, path: Path, header: Header) -> Self:
        """
        Begin a recording; its first line is on disk when this returns.

        Raises:
            FileExistsError: There is such a file; it is never written over.
        """
        descriptor = os.open(path, os.O_WRONLY | os.O_APPEND | os.O_CREAT | os.O_EXCL, 0o600)
        log = cls(path, Recording(header, ()), descriptor, 0)
        _only_writer(descriptor, path)
        log._write(_encoder.encode(header) + b"\n")
        sync_folder(path.parent)
        return log

    @classmethod
    def reopen(cls, path: Path) -> Self:
        """
        Go on with a recording, after a crash or not.

        A last line that was being written when the machine stopped, and so was never acknowledged, is cut
        off; its bytes are kept beside the recording, under the same name with ``.torn`` added.

        Raises:
            UnreadableError: Not a recording.
            NotAllowedError: Damaged elsewhere than in its last line.
        """
        descriptor = os.open(path, os.O_RDWR | os.O_APPEND)
        try:
            _only_writer(descriptor, path)
            data = path.read_bytes()
            whole = data.rfind(b"\n") + 1
            recording = read_bytes(data[:whole], str(path))
            if whole < len(data):
                with path.with_name(path.name + ".torn").open("ab") as kept:
                    kept.write(data[whole:] + b"\n")
                    kept.flush()
                    os.fsync(kept.fileno())
                os.ftruncate(descriptor, whole)
                os.fsync(descriptor)
        except BaseException:
            os.close(descriptor)
            raise
        return cls(path, recording, descriptor, whole)

    def append(self, acts: Sequence[AnyAct]) -> int:
        """
        Write acts; all of them are on disk when this returns, or none is.

        Returns:
            How many acts are on disk now.

        Raises:
            NotAllowedError: An act is earlier than the one before it.
            OSError: The disk refused; nothing of these acts remains in the file.
        """
        last = self._last
        for act in acts:
            if act.t < last:
                raise NotAllowedError(_backwards(act.t, last), str(self.path))
            last = act.t
        if acts:
            self._write(b"".join(_encoder.encode(act) + b"\n" for act in acts))
            self.count += len(acts)
            self._last = last
        return self.count

    def close(self) -> None:
        """Let go of the file; nothing is pending."""
        if self._file is not None:
            os.close(self._file)
            self._file = None

    def _write(self, data: bytes) -> None:
        if self._file is None:
            raise ValueError("the recording is closed")
        try:
            left = memoryview(data)
            while left:
                left = left[os.write(self._file, left) :]
            os.fsync(self._file)
        except OSError:
            # What is not acknowledged must not be found later either: it will be sent again.
            with suppress(OSError):
                os.ftruncate(self._file, self._size)
            raise
        self._size += len(data)


def read(path: str | Path, *, salvage: bool = False) -> Recording:
    """
    Read a recording.

    Args:
        path: The file.
        salvage: Give what can be read before a damage, which is named in the result, instead of raising.

    Raises:
        UnreadableError: Cannot be opened, or the first line is not that of a recording.
        NotAllowedError: A line is damaged or not allowed; the message names it.
    """
    try:
        with Path(path).open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        what = f"the recording cannot be opened: {reason.lower()}"
        raise UnreadableError(Problem(what, "Check the name and that it can be read"), str(path)) from None
    return read_bytes(data, str(path), salvage=salvage)


def read_bytes(data: bytes, source: str | None = None, *, salvage: bool = False) -> Recording:
    """Read a recording from its bytes; as ``read``."""
    if len(data) > MOST_BYTES:
        what = f"the recording is larger than {MOST_BYTES // 1024 // 1024} MiB"
        raise UnreadableError(Problem(what, "Send the recording of one solve"), source)
    lines = data.removeprefix(b"\xef\xbb\xbf").split(b"\n")
    header = _read_header(lines[0], source)
    acts: list[AnyAct] = []
    damage: Problem | None = None
    for number, line in enumerate(lines[1:], 2):
        if not line.strip():
            continue
        damage = _read_act(line.rstrip(b"\r"), number, number == len(lines), acts)
        if damage is not None:
            break
    if damage is not None and not salvage:
        raise NotAllowedError(damage, source)
    return Recording(header, tuple(acts), damage)


def written(recording: Recording) -> bytes:
    """Give a recording as its file holds it; reading it gives an equal recording."""
    return b"".join(_encoder.encode(line) + b"\n" for line in (recording.header, *recording.acts))


def belongs(recording: Recording, puzzle: Puzzle) -> None:
    """
    Check that a recording is one of this puzzle: its name, its cells and its digits.

    Raises:
        NotAllowedError: It is not; up to ten problems are told.
    """
    if recording.header.puzzle != puzzle_id(puzzle):
        what = "the recording is of another puzzle, or of an earlier form of this one"
        raise NotAllowedError(Problem(what, "Give the puzzle that was solved", "puzzle", 1))
    problems = []
    for line, act in enumerate(recording.acts, 2):
        if wrong := misfit(act, puzzle.grid):
            problems.append(
                Problem(wrong, f"The grid is {puzzle.grid.size} by {puzzle.grid.size}", line=line)
            )
    if problems:
        raise NotAllowedError(problems[:10])


def misfit(act: AnyAct, grid: Grid) -> str | None:
    """Say which cell or digit of an act is not on this grid; None if all are."""
    told = msgspec.structs.asdict(act)
    for name in [told.get("cell"), *(told.get("cells") or ())]:
        if isinstance(name, str):
            try:
                grid.cell(name)
            except ValueError as error:
                return str(error)
    for digit in [told.get("digit"), *(told.get("digits") or ())]:
        if isinstance(digit, int) and digit > grid.size:
            return f"{digit} is not a digit from 1 to {grid.size}"
    return None


def _read_header(line: bytes, source: str | None) -> Header:
    try:
        header = _header.decode(line)
        if datetime.fromisoformat(header.started).tzinfo is None:
            raise ValueError("started has no offset from UTC")
    except (ValueError, msgspec.DecodeError) as error:
        what = f"the first line is not that of a recording: {_reason(error)}"
        if not line.lstrip().startswith(b"{"):
            mend = "Name a file of JSON Lines as the desk records a solve"
            raise UnreadableError(Problem("this is no recording", mend, line=1), source) from None
        first = '{"format":1,"puzzle":"<SHA-256>","blind":true,"started":"2026-11-25T20:00:00+00:00"}'
        mend = f"A recording begins with {first}"
        raise UnreadableError(Problem(what, mend, line=1), source) from None
    return header


def _read_act(line: bytes, number: int, torn: bool, acts: list[AnyAct]) -> Problem | None:
    """Read one line and add its act; give what is wrong with it instead, if anything."""
    if len(line) > LONGEST_LINE:
        return Problem(f"the line is longer than {LONGEST_LINE} bytes", "No act needs that", line=number)
    try:
        act = _act.decode(line)
    except RecursionError:
        return Problem("the line is nested too deep", "No act needs that", line=number)
    except (ValueError, msgspec.DecodeError) as error:
        if torn and not line.endswith(b"}"):
            mend = "The acts before it are whole: remove this line"
            return Problem("the last line breaks off", mend, line=number)
        return Problem(_reason(error), "Mend the line, or cut the file off before it", line=number)
    if acts and act.t < acts[-1].t:
        what = _backwards(act.t, acts[-1].t)
        return Problem(what.what, what.mend, "t", number)
    acts.append(act)
    return None


def _backwards(time: float, before: float) -> Problem:
    return Problem(
        f"the time goes back from {before:.2f} s to {time:.2f} s", "Put the acts in the order of their times"
    )


def _reason(error: Exception) -> str:
    """Give an error's message as a clause, whatever a stranger's bytes put into it."""
    text = "".join(letter if letter.isprintable() else "?" for letter in str(error))[:160]
    if text == "Input data was truncated":
        return "the line breaks off"
    return text if text[:2].isupper() else text[:1].lower() + text[1:]


def _only_writer(descriptor: int, path: Path) -> None:
    try:
        import fcntl
    except ImportError:  # not on this system: the desk's own lock on its folder must do
        return
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        what = "another program is writing this recording"
        raise NotAllowedError(Problem(what, "Stop the other desk first"), str(path)) from None


def sync_folder(folder: Path) -> None:
    """Have the new name in its folder on disk too, where the system can do that."""
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
