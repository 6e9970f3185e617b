"""Packs on the desk: each made by a program of its own, told of, stopped, looked at and taken away whole."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import zipfile
from dataclasses import dataclass, field
from io import BytesIO
from pathlib import Path
from threading import Lock, Thread
from typing import Any

import msgspec

from saywhy.desk.drafts import DraftProblem, told
from saywhy.desk.exchange import Endpoint, NotHereError, NotYetError
from saywhy.desk.packing import Job, News, Order, problems
from saywhy.desk.store import KeptPuzzle, Store
from saywhy.errors import NotAllowedError, Problem, SaywhyError
from saywhy.files import puzzle_id
from saywhy.publishing.pack import MANIFEST, mend
from saywhy.recording import written

REVEAL: dict[str, tuple[str, ...]] = {"reveal": ("no", "yes")}
#: Times of files in an archive: none, so that the same pack gives the same bytes.
_NO_TIME = (1980, 1, 1, 0, 0, 0)


class Part(msgspec.Struct, frozen=True, kw_only=True):
    """One file of a pack, as its manifest has it; ``alt`` is empty for what is no picture."""

    name: str
    bytes: int
    spoils: bool
    alt: str = ""


class PackState(msgspec.Struct, frozen=True, kw_only=True):
    """
    How a pack stands.

    Attributes:
        state: ``none``, ``making``, ``made``, ``failed`` or ``stopped``; of the last attempt.
        stage: What is being made.
        number: How many stages are behind.
        of: How many there are.
        problems: Why it failed.
        parts: The files of the pack that stands there, of this attempt or an earlier one.
    """

    state: str
    stage: str = ""
    number: int = 0
    of: int = 1
    problems: list[DraftProblem] = []
    parts: list[Part] = []


@dataclass
class _Making:
    """A program that makes a pack, and what it said last."""

    process: subprocess.Popen[bytes]
    news: News = field(default_factory=News)
    stopped: bool = False
    over: bool = False


class Packs:
    """The packs of one store, a folder a puzzle; one is made at a time of each."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self._making: dict[str, _Making] = {}
        self._lock = Lock()

    def all(self) -> list[Endpoint]:
        """Give every endpoint."""
        one = "/api/packs/{key}"
        return [
            Endpoint("POST", one, self.start, Order, PackState, {}),
            Endpoint("GET", one, self.state, None, PackState, {}),
            Endpoint("DELETE", one, self.stop, None, PackState, {}),
            Endpoint("GET", one + "/zip", self.archive, None, bytes, REVEAL, "application/zip"),
        ]

    def start(self, key: str, body: Order) -> PackState:
        """Make a puzzle's pack, in place of an earlier one."""
        kept = self._kept(key)
        if wrong := problems(body):
            raise NotAllowedError(wrong)
        recording = ""
        if body.recording:
            if self.store.recording(body.recording) is None:
                raise NotHereError("this recording is not on the desk")
            recording = written(self.store.read_recording(body.recording)).decode()
        episode = self.episode(kept)
        job = Job(
            text=kept.text,
            order=body,
            recording=recording,
            folder=str(self.folder(key)),
            shelf=str(self.store.folder) if episode else "",
            episode=episode or 0,
        )
        with self._lock:
            now = self._making.get(key)
            if now is not None and not now.over:
                raise NotAllowedError(Problem("this pack is being made", "Wait for it, or stop it first"))
            mend(self.folder(key))
            self.folder(key).parent.mkdir(exist_ok=True, mode=0o700)
            self._order_file(key).write_bytes(msgspec.json.encode(body))
            process = subprocess.Popen(
                [sys.executable, "-m", "saywhy.desk.packing"], stdin=subprocess.PIPE, stdout=subprocess.PIPE
            )
            making = self._making[key] = _Making(process)
        Thread(target=_follow, args=(making, msgspec.json.encode(job)), daemon=True).start()
        return self.state(key)

    def state(self, key: str) -> PackState:
        """Say how a puzzle's pack stands."""
        self._kept(key)
        making = self._making.get(key)
        parts = self.parts(key)
        if making is None:
            return PackState(state="made" if parts else "none", parts=parts)
        news = making.news
        if making.stopped:
            return PackState(state="stopped", parts=parts)
        if not making.over:
            return PackState(state="making", stage=news.stage, number=news.number, of=news.of, parts=parts)
        if news.problems:
            return PackState(state="failed", problems=news.problems, parts=parts)
        if news.stage != "done":
            what = "the program that makes the pack ended before its time"
            problems = [told(Problem(what, "Try again; a smaller pack needs less memory"))]
            return PackState(state="failed", problems=problems, parts=parts)
        return PackState(state="made", parts=parts)

    def stop(self, key: str) -> PackState:
        """Stop the making of a pack; an earlier one stays as it was."""
        self._kept(key)
        making = self._making.get(key)
        if making is not None and not making.over:
            making.stopped = True
            making.process.kill()
            making.process.wait()
            making.over = True
            mend(self.folder(key))
        return self.state(key)

    def archive(self, key: str, reveal: str) -> bytes:
        """Give a pack as one archive; what spoils is in it where reveal is asked for."""
        self._kept(key)
        folder, out = self.folder(key), BytesIO()
        held = [part for part in self.parts(key) if reveal == "yes" or not part.spoils]
        if not held:
            raise NotHereError("there is no pack of this puzzle yet")
        with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
            for name in sorted([MANIFEST, *(part.name for part in held)]):
                made.writestr(zipfile.ZipInfo(f"pack/{name}", _NO_TIME), (folder / name).read_bytes())
        return out.getvalue()

    def parts(self, key: str) -> list[Part]:
        """Give the files of a puzzle's pack; none where there is no pack."""
        try:
            held = json.loads((self.folder(key) / MANIFEST).read_bytes())
        except (OSError, ValueError):
            return []
        return [
            Part(name=file["name"], bytes=file["bytes"], spoils=file["spoils"], alt=file.get("alt", ""))
            for file in held["files"]
        ]

    def part(self, key: str, name: str, *, reveal: bool) -> bytes:
        """
        Give one file of a pack.

        Raises:
            NotHereError: There is none of this name.
            NotYetError: It spoils, and reveal was not asked for.
        """
        self._kept(key)
        held = {part.name: part for part in self.parts(key)}.get(name)
        if held is None:
            raise NotHereError("this is no part of the pack")
        if held.spoils and not reveal:
            raise NotYetError("this part shows the solve")
        return (self.folder(key) / name).read_bytes()

    def last_order(self, key: str) -> Order | None:
        """Give what was asked for last; None where nothing was."""
        try:
            return msgspec.json.decode(self._order_file(key).read_bytes(), type=Order)
        except (OSError, msgspec.DecodeError):
            return None

    def episode(self, kept: KeptPuzzle) -> int | None:
        """Give the number of the shelf's latest episode of a puzzle; None where there is none."""
        identity = puzzle_id(kept.puzzle)
        try:
            shelf = self.store.shelf
            mine = {held.id for held in shelf.puzzles.all() if held.identity == identity}
            found = [episode.id for episode in shelf.episodes.all() if episode.puzzle in mine]
        except SaywhyError:
            return None
        return max(found, default=None)

    def folder(self, key: str) -> Path:
        """
        Give the folder of a puzzle's pack.

        Raises:
            NotHereError: Not a key; nothing outside can be named.
        """
        if not re.fullmatch(r"[a-z0-9]{12}", key):
            raise NotHereError("this puzzle is not on the desk")
        return self.store.folder / "packs" / key

    def _order_file(self, key: str) -> Path:
        return self.folder(key).with_suffix(".order.json")

    def _kept(self, key: str) -> KeptPuzzle:
        found = self.store.puzzle(key)
        if found is None:
            raise NotHereError("this puzzle is not on the desk")
        return found


def _follow(making: _Making, job: bytes) -> None:
    """Give the program its job and take note of what it says until it ends."""
    process = making.process
    assert process.stdin is not None and process.stdout is not None, "both are pipes"
    try:
        process.stdin.write(job)
        process.stdin.close()
        decode: Any = msgspec.json.Decoder(News).decode
        for line in process.stdout:
            making.news = decode(line)
    except (OSError, msgspec.DecodeError):
        process.kill()
    finally:
        process.stdout.close()
        process.wait()
        making.over = True
