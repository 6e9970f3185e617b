"""What is known of one puzzle of the inbox, as plain values that a journal keeps."""

from __future__ import annotations

import base64
import zlib
from typing import Any, Literal

import msgspec

from saywhy.errors import Problem

Verdict = Literal["unique", "none", "many", "undecided", "unreadable"]

#: Seconds for one file unless told otherwise.
USUAL_S = 30.0
#: Megabytes of memory for one file unless told otherwise.
USUAL_MB = 2048
#: Cells named in a letter; the rest are counted.
MOST_CELLS = 40


class Limits(msgspec.Struct, frozen=True, kw_only=True):
    """
    What one file may take.

    Attributes:
        seconds: Wall time; what does not end by itself is ended a little later.
        memory_mb: Megabytes of address space; 0 for no limit.
        effort: Whether to measure the effort of puzzles with one solution.
    """

    seconds: float = USUAL_S
    memory_mb: int = USUAL_MB
    effort: bool = True

    @property
    def last_s(self) -> float:
        """Seconds after which a file's process is ended."""
        return 1.5 * self.seconds + 5


class Arrival(msgspec.Struct, frozen=True, kw_only=True):
    """
    One puzzle that came, or a file that holds none.

    Attributes:
        file: Its path within the inbox, parts parted by ``/``; bytes that are no text are escaped.
        line: In a file of puzzle lines, the line.
        data: What it says, TOML; empty where ``problems`` says that there is nothing to judge.
        digest: SHA-256 of what the file holds, hexadecimal.
        problems: Why there is nothing to judge.
    """

    file: str
    line: int | None
    data: bytes
    digest: str
    problems: tuple[Problem, ...] = ()

    @property
    def name(self) -> str:
        """The file, with the line where it has several."""
        return self.file if self.line is None else f"{self.file}:{self.line}"


class Spoils(msgspec.Struct, frozen=True, kw_only=True):
    """
    What is said to the setter and to nobody else, since it names cells.

    Attributes:
        differ: Cells in which two solutions differ, with the digits of both: ``r1c2: 3 or 7``.
        repair: Changes that would settle it, in words; all of them together.
        proved: Whether fewer changes are proved not to do.
        clash: Clues, givens, houses and rules that cannot hold together.
        smallest: Whether no smaller clash is there.
    """

    differ: tuple[str, ...] = ()
    repair: tuple[str, ...] = ()
    proved: bool = False
    clash: tuple[str, ...] = ()
    smallest: bool = False


class Judgement(msgspec.Struct, frozen=True, kw_only=True):
    """
    What is known of an arrival.

    Attributes:
        file: As ``Arrival.file``.
        line: As ``Arrival.line``.
        digest: As ``Arrival.digest``.
        verdict: As ``check`` gives it; ``unreadable`` where there is no puzzle.
        why: For ``undecided`` what stopped it, and for a missing effort why there is none; else empty.
        title: The puzzle's title.
        setter: Its setter's credit.
        size: Rows of its grid; 0 where there is no puzzle.
        rules: Its rules as people read them, with how often each stands there.
        effort: The profile as ``check --json`` prints it.
        same: Key that it shares with itself turned, mirrored or relabelled.
        near: Key that it shares with puzzles that look alike but for digits and numbers.
        differ: In how many cells two solutions differ, where there are several.
        problems: What is wrong with a file that does not read.
        sealed: The ``Spoils``, packed so that nobody reads them by accident.
        seconds: Wall time that it took.
        limits: What it was allowed.
        made: Which release judged it.
    """

    file: str
    line: int | None
    digest: str
    verdict: Verdict
    why: str = ""
    title: str = ""
    setter: str = ""
    size: int = 0
    rules: str = ""
    effort: dict[str, Any] | None = None
    same: str | None = None
    near: str | None = None
    differ: int = 0
    problems: tuple[Problem, ...] = ()
    sealed: str = ""
    seconds: float = 0.0
    limits: Limits = Limits()
    made: str = ""

    @property
    def name(self) -> str:
        """The file, with the line where it has several."""
        return self.file if self.line is None else f"{self.file}:{self.line}"

    @property
    def spoils(self) -> Spoils:
        """What its setter is told and nobody else."""
        if not self.sealed:
            return Spoils()
        return msgspec.json.decode(zlib.decompress(base64.b64decode(self.sealed)), type=Spoils)


def seal(spoils: Spoils) -> str:
    """Pack what spoils, so that a look into the journal shows none of it."""
    return base64.b64encode(zlib.compress(msgspec.json.encode(spoils))).decode()
