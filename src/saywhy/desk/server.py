"""Run the desk on the loopback interface until it is told to stop."""

from __future__ import annotations

import contextlib
import secrets
import socket
from collections.abc import Callable
from pathlib import Path

import uvicorn

from saywhy.desk.app import desk_app
from saywhy.desk.store import Store
from saywhy.errors import NotAllowedError, Problem
from saywhy.files import read

#: The usual port.
PORT = 8642
HOST = "127.0.0.1"


def serve(
    folder: Path, port: int = PORT, puzzles: tuple[str, ...] = (), ready: Callable[[str], None] = print
) -> None:
    """
    Serve the desk until Ctrl-C.

    Args:
        folder: Where it keeps its things.
        port: Port; 0 for any that is free.
        puzzles: Files to lay on the desk first.
        ready: Called with the address, key included, once it answers.

    Raises:
        SaywhyError: A file cannot be read, the port is taken, or another desk has the folder.
    """
    store = Store(folder)
    try:
        start = "/"
        for name in puzzles:
            for puzzle in read(name):
                key = store.lay(puzzle)
                start = f"/fit/{key}" if len(puzzles) == 1 else "/"
        with contextlib.closing(_bound(port)) as bound:
            number = bound.getsockname()[1]
            key = secrets.token_urlsafe(24)
            config = uvicorn.Config(
                desk_app(store, number, key),
                lifespan="off",
                log_level="warning",
                access_log=False,
                server_header=False,
                date_header=False,
                ws="websockets-sansio",
                ws_max_size=4 * 1024 * 1024,
                timeout_graceful_shutdown=2,
            )
            with contextlib.suppress(KeyboardInterrupt):
                ready(f"http://{HOST}:{number}{start}?key={key}")
                uvicorn.Server(config).run([bound])
    finally:
        store.close()


def _bound(port: int) -> socket.socket:
    """Give a socket that listens on the loopback interface alone; a browser that is told at once can wait."""
    bound = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    bound.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        bound.bind((HOST, port))
        bound.listen(64)
    except OSError as error:
        bound.close()
        what = f"port {port} cannot be used: {(error.strerror or str(error)).lower()}"
        raise NotAllowedError(Problem(what, "Stop the other desk, or name a port with --port")) from None
    return bound
