"""
Reviews on the desk: each worked out by a program beside it, one at a time, and kept for a while.

What each adds to the host's habits is kept on disk, so that the habits outlive the desk.
"""

from __future__ import annotations

import asyncio
import contextlib
import subprocess
import sys
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from threading import Event, Lock

import msgspec
from starlette.concurrency import run_in_threadpool
from starlette.websockets import WebSocket, WebSocketDisconnect

from saywhy.desk.exchange import Endpoint, NotHereError
from saywhy.desk.reviewing import Failed, Order, Reviewed
from saywhy.desk.store import KeptRecording, Store
from saywhy.errors import NotAllowedError, Problem
from saywhy.recording.host import Evening, Habits, habits

#: Reviews kept in memory, and the longest that one may take, seconds.
MOST, LONGEST_S = 16, 180.0
#: So often it is seen whether a review is to be stopped, seconds.
LOOK_S = 0.1

#: Downloads: the last part of their address, and their media type.
FILES = {
    "review.json": "application/json",
    "report.html": "text/html",
    "errata.txt": "text/plain",
    "chapters.txt": "text/plain",
    "chapters.vtt": "text/vtt",
}
#: A recording as it stands on disk: its size in bytes and the time of its last change.
Stamp = tuple[int, int]


class StoppedError(Exception):
    """Nobody wants this review any more."""


@dataclass(frozen=True)
class _Kept:
    stamp: Stamp
    reviewed: Reviewed


class Reviews:
    """The reviews of one store's recordings."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self.folder = store.folder / "reviews"
        self._kept: OrderedDict[str, _Kept] = OrderedDict()
        self._working = Lock()

    def kept(self, key: str) -> Reviewed | None:
        """Give a review that was worked out already, if its recording is still the same."""
        held = self._kept.get(key)
        with contextlib.suppress(OSError, ValueError):
            if held is not None and held.stamp == _stamp(self.store.file(key)):
                return held.reviewed
        return None

    def review(self, key: str, stop: Event | None = None) -> Reviewed:
        """
        Give a review; the first time this takes as long as ``saywhy review``.

        Args:
            key: Of the recording.
            stop: Set when nobody waits any more; the work ends then.

        Raises:
            NotHereError: There is no such recording.
            NotAllowedError: It cannot be reviewed; the message says why.
            StoppedError: ``stop`` was set.
        """
        recording = self.store.recording(key)
        if recording is None:
            raise NotHereError("this recording is not on the desk")
        while not self._working.acquire(timeout=LOOK_S):
            if stop is not None and stop.is_set():
                raise StoppedError
        try:
            return self.kept(key) or self._work(recording, stop or Event())
        finally:
            self._working.release()

    def _work(self, recording: KeptRecording, stop: Event) -> Reviewed:
        file = self.store.file(recording.key)
        try:
            stamp = _stamp(file)
        except OSError as error:
            raise NotAllowedError(
                Problem(f"the recording cannot be read: {error}", "Bring it again")
            ) from None
        order = msgspec.json.encode(Order(recording.text, str(file)))
        found = msgspec.json.decode(_run(order, stop), type=Reviewed | Failed)
        if isinstance(found, Failed):
            raise NotAllowedError(Problem(found.problem.rstrip("."), "Mend that first"))
        self._kept[recording.key] = _Kept(stamp, found)
        while len(self._kept) > MOST:
            self._kept.popitem(last=False)
        self.folder.mkdir(mode=0o700, exist_ok=True)
        part = self.folder / f"{recording.key}.part"
        part.write_bytes(msgspec.json.encode(found.evening))
        part.replace(self.folder / f"{recording.key}.json")
        return found

    def habits(self) -> tuple[Habits, list[KeptRecording]]:
        """Give the host's habits over all solves reviewed so far, and the recordings not reviewed yet."""
        evenings: list[Evening] = []
        others: list[KeptRecording] = []
        for recording in self.store.all_recordings():
            try:
                data = (self.folder / f"{recording.key}.json").read_bytes()
                evenings.append(msgspec.json.decode(data, type=Evening))
            except (OSError, msgspec.DecodeError):
                others.append(recording)
        return habits(evenings), others

    def endpoints(self) -> list[Endpoint]:
        """Give what can be asked for by HTTP."""
        return [
            Endpoint(
                "GET",
                f"/api/recordings/{{key}}/{name}",
                self._giver(name),
                None,
                bytes,
                {"viewers": ("no", "yes")},
                kind,
            )
            for name, kind in FILES.items()
        ]

    def _giver(self, name: str) -> Callable[..., bytes]:
        def give(key: str, viewers: str) -> bytes:
            stem, dot, ending = name.partition(".")
            files = self.review(key).files
            wanted = f"{stem}-viewers{dot}{ending}" if viewers == "yes" else name
            if wanted not in files:
                raise NotHereError(f"this review has no {stem}")
            return files[wanted].encode()

        give.__doc__ = (
            f"Give a recording's {name}, for its host or for viewers; the review is made if needed."
        )
        return give

    async def line(self, socket: WebSocket) -> None:
        """Have a recording reviewed while somebody waits; when they go, the work stops."""
        await socket.accept()
        stop = Event()
        work = asyncio.create_task(run_in_threadpool(self.review, socket.path_params["key"], stop))
        gone = asyncio.create_task(_gone(socket))
        await asyncio.wait({work, gone}, return_when=asyncio.FIRST_COMPLETED)
        stop.set()
        told: dict[str, object] = {"done": True}
        try:
            await work
        except StoppedError:
            told = {"problem": "It was stopped."}
        except NotHereError as error:
            told = {"problem": f"{error}."}
        except NotAllowedError as error:
            told = {"problem": f"{error.problems[0].what}."}
        gone.cancel()
        with contextlib.suppress(RuntimeError, WebSocketDisconnect):
            await socket.send_text(msgspec.json.encode(told).decode())
            await socket.close()


async def _gone(socket: WebSocket) -> None:
    with contextlib.suppress(RuntimeError, WebSocketDisconnect):
        while (await socket.receive())["type"] != "websocket.disconnect":
            pass


def _stamp(file: Path) -> Stamp:
    held = file.stat()
    return held.st_size, held.st_mtime_ns


def _run(order: bytes, stop: Event) -> bytes:
    """Run the program that works a review out; it is ended when nobody waits or it takes too long."""
    command = [sys.executable, "-m", "saywhy.desk.reviewing"]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as program:
        waited, given = 0.0, order
        while True:
            try:
                out, wrong = program.communicate(given, timeout=LOOK_S)
                break
            except subprocess.TimeoutExpired:
                waited, given = waited + LOOK_S, b""
                if stop.is_set() or waited > LONGEST_S:
                    program.kill()
                    program.communicate()
                    if stop.is_set():
                        raise StoppedError from None
                    what = f"the review took longer than {LONGEST_S:.0f} s"
                    raise NotAllowedError(Problem(what, "Try `saywhy review` on the command line")) from None
    if program.returncode:
        last = wrong.decode("utf-8", "replace").strip().rpartition("\n")[2]
        what = f"the review broke off ({last[:200] or 'without a word'})"
        raise NotAllowedError(Problem(what, "Try `saywhy review` on the command line, which says more"))
    return out
