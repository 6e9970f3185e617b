"""The same work on a cluster of two workers, one of which is killed on the way."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
import warnings
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from socket import socket

import pytest

from saywhy.errors import UnreadableError
from saywhy.inbox.cluster import ClusterPool
from saywhy.inbox.journal import Journal
from saywhy.inbox.judgement import Judgement, Limits
from saywhy.inbox.lone import Lone
from saywhy.inbox.run import Inbox, run
from tests.inbox.scenario import deliver
from tests.inbox.test_pool import arrival

pytestmark = [
    pytest.mark.filterwarnings("ignore::DeprecationWarning"),
    pytest.mark.filterwarnings("ignore::ResourceWarning"),
]
FILES = 24


@contextmanager
def cluster() -> Iterator[tuple[str, list[subprocess.Popen[bytes]]]]:
    """Start a scheduler and two workers as an administrator would, and give address and workers."""
    with closing(socket()) as free:
        free.bind(("127.0.0.1", 0))
        address = f"tcp://127.0.0.1:{free.getsockname()[1]}"
    port = address.rpartition(":")[2]
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, "start_new_session": True}
    dask = [sys.executable, "-m", "dask"]
    scheduler = [*dask, "scheduler", "--host", "127.0.0.1", "--port", port, "--no-dashboard", "--no-show"]
    worker = [*dask, "worker", address, "--nthreads", "1", "--no-nanny", "--no-dashboard"]
    processes = [subprocess.Popen(scheduler, **quiet)]  # type: ignore[call-overload]
    try:
        processes += [subprocess.Popen(worker, **quiet) for _ in range(2)]  # type: ignore[call-overload]
        yield address, processes[1:]
    finally:
        for process in processes:
            if process.poll() is None:
                os.killpg(process.pid, signal.SIGKILL)
            process.wait()


def test_a_cluster_judges_all_though_one_of_its_two_workers_is_killed(tmp_path: Path) -> None:
    known = deliver(tmp_path / "post", FILES, seed=3)
    with cluster() as (address, workers), warnings.catch_warnings():
        warnings.simplefilter("ignore")
        until = time.monotonic() + 60
        pool = None
        while pool is None:  # the scheduler is still starting
            try:
                pool = ClusterPool(address)
            except UnreadableError:
                assert time.monotonic() < until
                time.sleep(0.2)
        while len(pool.workers()) < 2 and time.monotonic() < until:
            time.sleep(0.1)
        assert len(pool.workers()) == 2
        killed: list[int] = []

        def tell(inbox: Inbox) -> None:
            if inbox.progress.judged == FILES // 3:
                os.killpg(workers[0].pid, signal.SIGKILL)
                killed.append(inbox.progress.judged)

        found = run(tmp_path / "post", tmp_path / "judged", pool, Limits(seconds=1), tell)
    assert killed == [FILES // 3]
    assert {held.file for held in found.judgements} == set(known)
    assert all(held.verdict in known[held.file]["verdicts"] for held in found.judgements)
    with Journal(tmp_path / "judged") as journal:
        assert len(journal) == FILES


def test_an_address_where_nothing_answers_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("saywhy.inbox.cluster.CONNECT_S", 0.5)
    with pytest.raises(UnreadableError, match="no cluster answers"):
        ClusterPool("tcp://127.0.0.1:9")
    with pytest.raises(UnreadableError, match="no cluster answers"):
        ClusterPool("nonsense://here")


def test_a_process_that_is_ended_from_outside_is_started_anew() -> None:
    lone = Lone()
    try:
        limits = Limits(seconds=5)
        found: list[Judgement] = [lone.judge(arrival("a"), limits)]
        assert lone.process is not None
        lone.process.kill()
        found.append(lone.judge(arrival("b"), limits))
    finally:
        lone.end()
    assert [held.verdict for held in found] == ["unique", "unique"]
    assert found[1].file == "b"
