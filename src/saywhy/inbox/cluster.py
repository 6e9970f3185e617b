"""
Judge on more machines: the same work handed to the workers of a dask cluster.

Each thread of a worker keeps a process of its own in which files are judged, so that one that does not end
or takes too much costs itself and not the worker. A worker that dies has its files handed to another.
"""

from __future__ import annotations

import socket
import threading
from collections.abc import Iterable, Iterator
from importlib import import_module
from typing import Any

from saywhy.errors import NotAllowedError, Problem, UnreadableError
from saywhy.inbox.judgement import Arrival, Judgement, Limits
from saywhy.inbox.lone import Lone
from saywhy.inbox.pool import AHEAD, ended

#: Seconds to wait for the cluster to answer.
CONNECT_S = 30.0
#: Seconds to wait until anything does.
KNOCK_S = 10.0
MOST_PORT = 65_535
#: How often the file of a worker that died is handed to another before it is told as broken.
TRIES = 3

_held = threading.local()


def judge_there(arrival: Arrival, limits: Limits) -> Judgement:
    """Judge an arrival on a worker; its process is kept for the next one."""
    lone = getattr(_held, "lone", None)
    if lone is None:
        lone = _held.lone = Lone()
    return lone.judge(arrival, limits)


def _knock(address: str) -> None:
    """Check that something answers at an address, which the library waits for much longer."""
    kind, parted, rest = address.partition("://")
    if parted and kind not in ("tcp", "tls"):
        return
    host, _, port = (rest if parted else address).rpartition(":")
    if not host or not port.isascii() or not port.isdecimal() or int(port) > MOST_PORT:
        what = "the address of a cluster has a machine and a port"
        raise NotAllowedError(Problem(what, "Write it as tcp://10.0.0.5:8786", "--cluster"), address)
    try:
        socket.create_connection((host.strip("[]"), int(port)), KNOCK_S).close()
    except OSError as error:
        problem = Problem("no cluster answers at this address", "Start its scheduler, or name another")
        raise UnreadableError(problem, address) from error


class ClusterPool:
    """
    The workers of a dask cluster.

    Args:
        address: Of its scheduler, such as ``tcp://10.0.0.5:8786``.

    Raises:
        UnreadableError: There is no cluster at this address.
        NotAllowedError: The extra ``cluster`` is not installed.
    """

    def __init__(self, address: str) -> None:
        try:
            self._library: Any = import_module("distributed")
        except ImportError:
            problem = Problem("a cluster needs dask", "Install it: pip install 'saywhy[cluster]'")
            raise NotAllowedError(problem, "--cluster") from None
        _knock(address)
        try:
            self._client = self._library.Client(address, timeout=CONNECT_S, set_as_default=False)
        except (OSError, ValueError, TimeoutError) as error:
            problem = Problem("no cluster answers at this address", "Start its scheduler, or name another")
            raise UnreadableError(problem, address) from error

    def judge(self, arrivals: Iterable[Arrival], limits: Limits) -> Iterator[Judgement]:
        """Judge arrivals, each on whichever worker is free; a few for each of them wait their turn."""
        coming = iter(arrivals)
        landed = self._library.as_completed(loop=self._client.loop)
        out: dict[Any, Arrival] = {}
        more = True
        try:
            while more or out:
                while more and len(out) < AHEAD * max(1, sum(self.workers().values())):
                    arrival = next(coming, None)
                    if arrival is None:
                        more = False
                        break
                    future = self._client.submit(judge_there, arrival, limits, pure=False, retries=TRIES)
                    out[future] = arrival
                    landed.add(future)
                if not out:
                    break
                future = next(landed)
                arrival = out.pop(future)
                error = future.exception()
                yield future.result() if error is None else ended(arrival, limits, error)
        finally:
            self._client.cancel(list(out))
            self._client.close()

    def workers(self) -> dict[str, int]:
        """Give the workers that are there, with their threads."""
        return dict(self._client.nthreads())
