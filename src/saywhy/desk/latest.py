"""A live line on which only the latest question counts: a new one stops the work on the last."""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import Awaitable, Callable
from typing import TypeVar

import msgspec
from starlette.websockets import WebSocket, WebSocketDisconnect

from saywhy.engine import Cancel

Question = TypeVar("Question")


async def answer_latest(
    socket: WebSocket,
    questions: msgspec.json.Decoder[Question],
    answer: Callable[[WebSocket, Question, Cancel], Awaitable[None]],
    refusal: str,
) -> None:
    """
    Answer the questions of a page until it goes, one at a time.

    Args:
        socket: The line.
        questions: Reads a question.
        answer: Answers one; it stops soon after its flag is set.
        refusal: Why the line is closed where something else came.
    """
    await socket.accept()
    cancel = Cancel()
    working: asyncio.Future[None] | None = None
    try:
        while True:
            try:
                question = questions.decode(await socket.receive_text())
            except (msgspec.DecodeError, RecursionError, KeyError):
                await socket.close(1003, refusal)
                return
            cancel.set()
            if working is not None:
                await working
            cancel = Cancel()
            working = asyncio.ensure_future(answer(socket, question, cancel))
    except WebSocketDisconnect:
        pass
    finally:
        cancel.set()
        if working is not None:
            await asyncio.gather(working, return_exceptions=True)


async def tell_page(socket: WebSocket, answer: object) -> None:
    """Send a page an answer; one that has gone misses it."""
    with contextlib.suppress(RuntimeError, WebSocketDisconnect):  # the page may have gone
        await socket.send_text(msgspec.json.encode(answer).decode())
