"""
Measure the inbox: files a second, what a second process brings, where time goes, and CP-SAT beside it.

Usage: ``python -m benchmarks.inbox [--post small|examples] [--files N] [--seed N]``. The small post is made
up as for the tests, without the files that never end: those cost their limit whoever judges them. The other
is the examples of this repository, disguised. Processor time is measured in the processes that judge, so a
busy machine shows in the wall time alone.
"""

from __future__ import annotations

import argparse
import tempfile
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path
from statistics import fmean
from time import perf_counter, process_time

import msgspec

from saywhy import examples
from saywhy.files import read, write
from saywhy.files.source import entries_of
from saywhy.inbox.arrivals import arrivals
from saywhy.inbox.journal import Journal
from saywhy.inbox.judgement import Arrival, Judgement, Limits, Verdict
from saywhy.inbox.judging import judge
from saywhy.inbox.pool import Judge, LocalPool
from tests.inbox.scenario import post
from tests.sameness.disguise import disguised

#: The proof once more, for comparison; no part of the judging.
SECOND = "proof by CP-SAT"
WORKS = ("proof alone", "proof alone, CP-SAT", "all but the effort", "all of it")


def whole(arrival: Arrival, limits: Limits, *, attempt: int = 0) -> Judgement:
    """Judge as the inbox does; ``seconds`` is processor time."""
    begun = process_time()
    held = judge(arrival, limits, attempt=attempt)
    return msgspec.structs.replace(held, seconds=process_time() - begun)


def proof(arrival: Arrival, limits: Limits, *, attempt: int = 0) -> Judgement:
    """Read and prove, nothing else."""
    from saywhy.engine import Budget, prove

    del attempt
    return _proved(arrival, limits, lambda puzzle: prove(puzzle, Budget(seconds=limits.seconds)).verdict)


def second(arrival: Arrival, limits: Limits, *, attempt: int = 0) -> Judgement:
    """Read and prove by CP-SAT."""
    from saywhy.second_opinion.answers import verdict

    del attempt
    return _proved(arrival, limits, lambda puzzle: verdict(puzzle, limits.seconds))


def _proved(arrival: Arrival, limits: Limits, ask: Callable[..., str]) -> Judgement:
    begun = process_time()
    entry = next(iter(entries_of(BytesIO(arrival.data), "puzzle.toml")))
    said = "unreadable" if entry.puzzle is None else ask(entry.puzzle)
    return Judgement(
        file=arrival.file,
        line=None,
        digest=arrival.digest,
        verdict=said,  # type: ignore[arg-type]
        seconds=process_time() - begun,
        limits=limits,
    )


JUDGES: dict[str, Judge] = {
    "proof alone": proof,
    "proof alone, CP-SAT": second,
    "all but the effort": whole,
    "all of it": whole,
}


def measure(
    coming: Sequence[Arrival], work: str, workers: int
) -> tuple[float, float, float, dict[str, Verdict]]:
    """
    Give wall seconds, processor seconds of the judging and of handing it out, and the verdicts.

    The start of the processes is left out.
    """
    limits = Limits(seconds=30, memory_mb=0, effort=work == "all of it")
    pool = LocalPool(workers, JUDGES[work])
    warm = [msgspec.structs.replace(coming[0], file=f"warm {number}") for number in range(4 * workers)]
    begun = cpu = own = 0.0
    verdicts: dict[str, Verdict] = {}
    for held in pool.judge([*warm, *coming], limits):
        if held.file.startswith("warm"):
            begun, own = perf_counter(), process_time()
            continue
        cpu += held.seconds
        verdicts[held.file] = held.verdict
    return perf_counter() - begun, cpu, process_time() - own, verdicts


def stages(coming: Sequence[Arrival]) -> dict[str, float]:
    """Give processor seconds of each stage of the judging, and of CP-SAT, over all arrivals."""
    from saywhy.engine import Budget, conflict, prove
    from saywhy.reasoning import explain
    from saywhy.sameness import keys
    from saywhy.second_opinion.answers import verdict
    from saywhy.setting.repair import repair

    spent: dict[str, float] = defaultdict(float)

    @contextmanager
    def stage(name: str) -> Iterator[None]:
        begun = process_time()
        yield
        spent[name] += process_time() - begun

    for arrival in coming:
        with stage("reading"):
            entry = next(iter(entries_of(BytesIO(arrival.data), "puzzle.toml")))
        if entry.puzzle is None:
            continue
        with stage("keys of likeness"):
            keys(entry.puzzle)
        with stage("proof"):
            found = prove(entry.puzzle)
        with stage(SECOND):
            verdict(entry.puzzle)
        if found.verdict == "unique":
            with stage("effort"):
                explain(entry.puzzle)
        elif found.verdict == "many":
            with stage("repair"):
                repair(entry.puzzle, most=1, effort=False, seconds=4)
        else:
            with stage("clash"):
                conflict(entry.puzzle, Budget(seconds=4))
    return spent


def keeping(judgements: int = 300) -> float:
    """Give wall seconds to put one judgement on disk, the disk's own waiting included."""
    held = Judgement(file="a", line=None, digest="d", verdict="unique")
    with tempfile.TemporaryDirectory() as folder, Journal(Path(folder)) as journal:
        begun = perf_counter()
        for _ in range(judgements):
            journal.keep(held)
        return (perf_counter() - begun) / judgements


def delivered(kind: str, files: int, seed: int) -> Iterator[bytes]:
    """Give the files of a post."""
    if kind == "small":
        yield from (sent.data for sent in post(files, seed) if sent.kind != "endless")
        return
    shipped = [read(path)[0] for path in sorted(examples.folder().glob("*.toml"))]
    for number in range(files):
        yield write(disguised(shipped[number % len(shipped)], seed + number)).encode()


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks.inbox", description=__doc__)
    parser.add_argument("--post", choices=("small", "examples"), default="small")
    parser.add_argument("--files", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        for number, data in enumerate(delivered(asked.post, asked.files, asked.seed)):
            (Path(folder) / f"{number:05}.toml").write_bytes(data)
        coming = list(arrivals(Path(folder)))
    print(f"{len(coming)} files")
    verdicts: dict[str, dict[str, Verdict]] = {}
    cost: dict[str, float] = {}
    for work in WORKS:
        for workers in (1, 2):
            wall, cpu, own, verdicts[work] = measure(coming, work, workers)
            if workers == 1:
                cost[work] = cpu
            rate, apiece = len(coming) / wall, 1e3 * cpu / len(coming)
            handing = 1e3 * own / len(coming)
            print(
                f"{work:20} {workers} process(es): {rate:6.1f} files a second, {apiece:7.2f} ms CPU a file, "
                f"{handing:.2f} ms to hand it out"
            )
    differ = [file for file, said in verdicts[WORKS[0]].items() if verdicts[WORKS[1]][file] != said]
    print(f"CP-SAT takes {cost[WORKS[1]] / cost[WORKS[0]]:.1f} times the CPU of the same work; {differ=}")
    spent = stages(coming)
    by_second = spent.pop(SECOND)
    total = sum(spent.values())
    print(f"of the proofs without the reading: {by_second / spent['proof']:.0f} times")
    print("of the CPU of judging: " + ", ".join(f"{name} {s / total:.1%}" for name, s in spent.items()))
    print(f"to put a judgement on disk: {1e3 * fmean(keeping() for _ in range(3)):.2f} ms of wall time")


if __name__ == "__main__":
    main()
