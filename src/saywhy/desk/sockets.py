"""The two live lines of the desk: the verdict while a puzzle is drawn, and a recording as it is made."""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import Coroutine
from dataclasses import dataclass, field
from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta
from starlette.concurrency import run_in_threadpool
from starlette.websockets import WebSocket, WebSocketDisconnect

from saywhy.desk.drafts import Draft, DraftProblem, look, told
from saywhy.desk.latest import answer_latest, tell_page
from saywhy.desk.picture import Picture, picture
from saywhy.desk.store import Store
from saywhy.desk.verdicts import verdict, where
from saywhy.engine import Cancel
from saywhy.errors import NotAllowedError, Problem, SaywhyError
from saywhy.files import read_text
from saywhy.puzzle import Puzzle
from saywhy.recording import Log
from saywhy.recording.acts import AnyAct
from saywhy.recording.log import misfit

#: Why a line was closed, besides the standard codes.
ELSEWHERE, NOT_HERE, DAMAGED = 4001, 4004, 4009


class Edit(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What the drawing page sends: the draft after the edit of this number."""

    n: int
    draft: Draft
    ask: Literal["verdict", "where"] = "verdict"


class Seen(msgspec.Struct, frozen=True, kw_only=True):
    """The picture of an edit, sent at once."""

    n: int
    picture: Picture | None
    problems: list[DraftProblem]


class Acts(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What the recording page sends: acts, the first of which is to be number ``after`` + 1 on disk."""

    after: Annotated[int, Meta(ge=0)]
    acts: Annotated[list[AnyAct], Meta(max_length=10_000)]


_edit = msgspec.json.Decoder(Edit)
_acts = msgspec.json.Decoder(Acts)


async def drawing(socket: WebSocket) -> None:
    """Answer each edit with its picture and then its verdict; the next edit stops the work on the last."""
    await answer_latest(socket, _edit, _answer, "not an edit")


async def _answer(socket: WebSocket, edit: Edit, cancel: Cancel) -> None:
    seen, puzzle = await run_in_threadpool(_see, edit)
    await tell_page(socket, seen)
    if puzzle is None or seen.problems or cancel.is_set:
        return
    work = verdict if edit.ask == "verdict" else where
    answer = await run_in_threadpool(work, puzzle, cancel)
    if not cancel.is_set:
        await tell_page(socket, {"n": edit.n, edit.ask: answer})


def _see(edit: Edit) -> tuple[Seen, Puzzle | None]:
    looked = look(edit.draft)
    made = None if looked.puzzle is None else picture(looked.puzzle)
    return Seen(n=edit.n, picture=made, problems=looked.problems), looked.puzzle


@dataclass
class _Writer:
    """A page that writes a recording; ``busy`` is held while acts go to the disk."""

    replaced: bool = False
    task: asyncio.Task[None] | None = None
    busy: asyncio.Lock = field(default_factory=asyncio.Lock)
    gone: asyncio.Event = field(default_factory=asyncio.Event)


class Recorder:
    """Recordings that are being made: one page at a time writes each."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self._writers: dict[str, _Writer] = {}

    async def record(self, socket: WebSocket) -> None:
        """Take acts from a page until it goes; each is on disk before it is acknowledged."""
        await socket.accept()
        key = socket.path_params["key"]
        kept = self.store.recording(key)
        if kept is None:
            await socket.close(NOT_HERE, "this recording is not on the desk")
            return
        before, writer = self._writers.get(key), _Writer()
        self._writers[key] = writer
        log: Log | None = None
        try:
            if before is not None:
                await _replace(before)
            log = await run_in_threadpool(Log.reopen, self.store.file(key))
            await tell_page(socket, {"saved": log.count, "acts": log.recording.acts})
            taking = self._take(socket, log, read_text(kept.text)[0], writer.busy)
            writer.task = asyncio.create_task(taking)
            if writer.replaced:
                writer.task.cancel()
            await asyncio.wait({writer.task})
            if writer.task.cancelled():
                await _quietly(socket.close(ELSEWHERE, "this recording was opened in another window"))
            else:
                writer.task.result()
        except WebSocketDisconnect:
            pass
        except (SaywhyError, OSError) as error:
            what = error.problems[0].what if isinstance(error, SaywhyError) else str(error)
            await _quietly(socket.close(DAMAGED, what[:100]))
        finally:
            if writer.task is not None:
                writer.task.cancel()
            if log is not None:
                log.close()
            writer.gone.set()
            if self._writers.get(key) is writer:
                del self._writers[key]

    async def _take(self, socket: WebSocket, log: Log, puzzle: Puzzle, busy: asyncio.Lock) -> None:
        while True:
            try:
                given = _acts.decode(await socket.receive_text())
            except (msgspec.DecodeError, RecursionError, KeyError):
                await socket.close(1003, "not acts")
                return
            async with busy:
                try:
                    saved = await run_in_threadpool(_append, log, given, puzzle)
                except SaywhyError as error:
                    problems = [told(held) for held in error.problems]
                    await tell_page(socket, {"saved": log.count, "problems": problems})
                else:
                    await tell_page(socket, {"saved": saved})


def _append(log: Log, given: Acts, puzzle: Puzzle) -> int:
    """Write what is new of the acts; what came through before a broken line is not written twice."""
    if given.after > log.count:
        raise NotAllowedError(Problem("acts are missing before these", "Send them too"))
    fresh = given.acts[max(log.count - given.after, 0) :]
    for act in fresh:
        if wrong := misfit(act, puzzle.grid):
            raise NotAllowedError(Problem(wrong, "Write on the grid"))
    return log.append(fresh)


async def _replace(writer: _Writer) -> None:
    """Take a recording from the page that writes it, not between an act and its acknowledgement."""
    async with writer.busy:
        writer.replaced = True
        if writer.task is not None:
            writer.task.cancel()
    await writer.gone.wait()


async def _quietly(closing: Coroutine[Any, Any, None]) -> None:
    with contextlib.suppress(RuntimeError, WebSocketDisconnect):
        await closing
