"""
A run over much post, killed twice and resumed.

    python -m tests.inbox.killed --files 2000

delivers the post, runs ``saywhy inbox`` on it, kills its whole process group with SIGKILL at a third and at
two thirds of the way, runs it to the end, and compares what it says with what is known.
"""

from __future__ import annotations

import argparse
import json
import os
import signal
import subprocess
import sys
import tempfile
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from time import monotonic, sleep
from typing import Any

from tests.inbox.scenario import deliver


@dataclass
class Outcome:
    """
    What came of it.

    Attributes:
        known: What is known of each file.
        rows: The table of the last run.
        at_kill: Judgements in the journal at each kill.
        journals: What the journal held at each kill, and at the end.
        said: What each run said when it began.
        seconds: Wall time of each run.
    """

    known: dict[str, dict[str, Any]]
    rows: list[dict[str, Any]] = field(default_factory=list)
    at_kill: list[int] = field(default_factory=list)
    journals: list[bytes] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    seconds: list[float] = field(default_factory=list)

    def lost(self) -> int:
        """Count judgements that were on disk at a kill and are not at the end."""
        end = set(self.journals[-1].splitlines())
        return sum(line not in end for held in self.journals for line in whole_lines(held))

    def twice(self) -> list[str]:
        """Give the files that were judged twice."""
        counts = Counter(json.loads(line)["file"] for line in whole_lines(self.journals[-1])[1:])
        return [file for file, many in counts.items() if many > 1]

    def wrong(self) -> list[tuple[str, str]]:
        """Give the files of which something else is known than was said, with what was said."""
        verdicts = {row["file"]: row["verdict"] for row in self.rows}
        said = {file: verdicts.get(file, "nothing") for file in self.known}
        return [(file, said[file]) for file, told in self.known.items() if said[file] not in told["verdicts"]]

    def ungrouped(self) -> list[str]:
        """Give the files of which it is known which they are the same as, and another is named or none."""
        names = {row["file"]: row["same_as"] or row["file"] for row in self.rows}
        again = ((file, told["same"]) for file, told in self.known.items() if told["same"])
        return [file for file, first in again if names.get(file) != names.get(first)]

    def grouped_wrongly(self) -> list[str]:
        """
        Give the files that are told to be the same as one that is known to be another puzzle.

        Of files that are not fit that is not known: two may be broken alike by chance.
        """
        fit = ((file, told) for file, told in self.known.items() if told["kind"] in ("valid", "again"))
        first = {file: told["same"] or file for file, told in fit}
        told_same = ((row["file"], row["same_as"]) for row in self.rows if row["same_as"])
        return [file for file, other in told_same if first.get(file) != first.get(other)]


def whole_lines(journal: bytes) -> list[bytes]:
    """Give the lines of a journal that are whole."""
    return journal[: journal.rfind(b"\n") + 1].splitlines()


def killed_twice(folder: Path, files: int, seed: int, seconds: float, workers: int = 2) -> Outcome:
    """
    Deliver the post into a folder, judge it, kill twice, and judge to the end.

    Args:
        folder: Empty or not there.
        files: How many files.
        seed: Of the post.
        seconds: Limit for each file.
        workers: Files judged at once.
    """
    outcome = Outcome(deliver(folder / "post", files, seed))
    output = folder / "judged"
    journal = output / "journal.jsonl"
    for until in (files // 3, 2 * files // 3, None):
        begun = monotonic()
        process = subprocess.Popen(
            [
                *(sys.executable, "-m", "saywhy", "inbox", str(folder / "post"), "--output", str(output)),
                *("--seconds", str(seconds), "--workers", str(workers), "--rows", "0"),
            ],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            start_new_session=True,
            env={**os.environ, "XDG_DATA_HOME": str(folder / "data")},
        )
        while process.poll() is None and (until is None or judged(journal) < until):
            sleep(0.02)
        if until is not None:
            assert process.poll() is None, "it was done before it could be killed"
            os.killpg(process.pid, signal.SIGKILL)
        _, said = process.communicate()
        outcome.seconds.append(monotonic() - begun)
        outcome.said.append(said.decode().partition("\n")[0])
        outcome.journals.append(journal.read_bytes())
        if until is not None:
            outcome.at_kill.append(len(whole_lines(outcome.journals[-1])) - 1)
    outcome.rows = json.loads((output / "table.json").read_bytes())
    return outcome


def judged(journal: Path) -> int:
    """Count the judgements that are in a journal."""
    return journal.read_bytes().count(b"\n") - 1 if journal.exists() else 0


def main() -> None:
    """Run it and print what came of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--files", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--seconds", type=float, default=1.0)
    parser.add_argument("--workers", type=int, default=2)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        outcome = killed_twice(Path(folder), asked.files, asked.seed, asked.seconds, asked.workers)
    for begin, seconds in zip(outcome.said, outcome.seconds, strict=True):
        print(f"{begin}  ({seconds:.0f} s)")
    print("kinds:", dict(Counter(told["kind"] for told in outcome.known.values())))
    print("verdicts:", dict(Counter(row["verdict"] for row in outcome.rows)))
    print(
        f"killed at {outcome.at_kill} judgements; lost {outcome.lost()}, judged twice {len(outcome.twice())}"
    )
    print(f"wrong verdicts: {outcome.wrong()}")
    print(f"same puzzles not told: {outcome.ungrouped()}; told wrongly: {outcome.grouped_wrongly()}")
    print(f"in all {sum(outcome.seconds):.0f} s of wall time")


if __name__ == "__main__":
    main()
