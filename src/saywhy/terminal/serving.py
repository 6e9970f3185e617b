"""Serve a folder on this machine for a look."""

from __future__ import annotations

import sys
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import click


class _Quiet(SimpleHTTPRequestHandler):
    """Serves files and says nothing of each; it answers this machine's own names alone."""

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002 - the library's name
        """Say nothing."""

    def send_head(self):  # type: ignore[no-untyped-def]
        if self.headers.get("Host", "").rpartition(":")[0] not in ("127.0.0.1", "localhost"):
            self.send_error(403)
            return None
        return super().send_head()


class _Server(ThreadingHTTPServer):
    """Takes it in silence that a browser goes before it has read everything."""

    def handle_error(self, request: Any, client_address: Any) -> None:
        """Tell what went wrong, unless the other side just left."""
        if not isinstance(sys.exc_info()[1], ConnectionError):
            super().handle_error(request, client_address)


def serve_folder(folder: Path, port: int = 0) -> None:
    """Serve a folder on the loopback interface until Ctrl-C."""
    with _Server(("127.0.0.1", port), partial(_Quiet, directory=str(folder))) as server:
        click.echo(f"http://127.0.0.1:{server.server_address[1]}/ (Ctrl-C stops it)")
        try:
            server.serve_forever()
        except KeyboardInterrupt:
            click.echo("Stopped.")
