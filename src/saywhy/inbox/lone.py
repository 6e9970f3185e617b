"""
Judge arrivals one after another in a process that anything may end: ``python -m saywhy.inbox.lone``.

Asked in lines of JSON on the standard input, it answers in lines of JSON on the standard output, and ends
where there is nothing more to read. ``Lone`` is the other side of it.
"""

from __future__ import annotations

import os
import selectors
import subprocess
import sys
from time import monotonic

import msgspec

from saywhy.inbox.judgement import Arrival, Judgement, Limits
from saywhy.inbox.pool import LAST_ATTEMPT, confine, ended

#: Seconds for the process to come up.
START_S = 60.0


class Question(msgspec.Struct, frozen=True):
    """What is asked: an arrival, its limits, and which attempt it is."""

    arrival: Arrival
    limits: Limits
    attempt: int = 0


class Lone:
    """
    A process that judges one arrival at a time, started where it is needed and ended where it is stuck.

    Attributes:
        process: None where there is none at the moment.
    """

    def __init__(self) -> None:
        self.process: subprocess.Popen[bytes] | None = None

    def judge(self, arrival: Arrival, limits: Limits) -> Judgement:
        """Judge an arrival: in full, or once that had to be ended, with less to do."""
        error: BaseException | None = None
        for attempt in range(LAST_ATTEMPT + 1):
            try:
                return self._ask(Question(arrival, limits, attempt))
            except (OSError, EOFError, TimeoutError, msgspec.DecodeError) as failed:
                error = failed
                self.end()
        assert error is not None
        return ended(arrival, limits, error)

    def end(self) -> None:
        """End the process."""
        if self.process is None:
            return
        self.process.kill()
        self.process.communicate()
        self.process = None

    def _ask(self, question: Question) -> Judgement:
        if self.process is None:
            self.process = subprocess.Popen(
                [sys.executable, "-m", __name__, str(question.limits.memory_mb)],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                bufsize=0,
            )
            self._line(START_S)
        assert self.process.stdin is not None
        self.process.stdin.write(msgspec.json.encode(question) + b"\n")
        return msgspec.json.decode(self._line(question.limits.last_s), type=Judgement)

    def _line(self, seconds: float) -> bytes:
        """
        Read a line of the answer.

        Raises:
            TimeoutError: It does not come in time.
            EOFError: The process has ended.
        """
        assert self.process is not None and self.process.stdout is not None
        until = monotonic() + seconds
        held = b""
        with selectors.DefaultSelector() as selector:
            selector.register(self.process.stdout, selectors.EVENT_READ)
            while not held.endswith(b"\n"):
                if not selector.select(max(0.0, until - monotonic())):
                    raise TimeoutError
                fresh = os.read(self.process.stdout.fileno(), 1 << 16)
                if not fresh:
                    raise EOFError
                held += fresh
        return held


def main() -> None:
    """Answer until there is nothing more to read."""
    from saywhy.inbox.judging import judge

    answers = os.dup(1)
    os.dup2(2, 1)  # whatever else prints must not stand between the answers
    confine(int(sys.argv[1]))
    os.write(answers, b"ready\n")
    for line in sys.stdin.buffer:
        question = msgspec.json.decode(line, type=Question)
        data = msgspec.json.encode(judge(question.arrival, question.limits, attempt=question.attempt)) + b"\n"
        while data:
            data = data[os.write(answers, data) :]


if __name__ == "__main__":
    main()
