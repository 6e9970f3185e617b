"""Judges that misbehave where a file's name says so."""

from __future__ import annotations

import os
import signal
import time

from saywhy.inbox.judgement import Arrival, Judgement, Limits
from saywhy.inbox.judging import judge


def misbehaving(arrival: Arrival, limits: Limits, *, attempt: int = 0) -> Judgement:
    """Judge; but hang, crash, fill the memory or fail where the name says so, once or always."""
    how = arrival.file.partition("-")[0]
    if attempt and arrival.file.endswith("once"):
        how = ""
    match how:
        case "hang":
            time.sleep(1000)
        case "crash":
            os.kill(os.getpid(), signal.SIGSEGV)
        case "fill":
            held = [bytearray(1 << 28) for _ in range(1000)]
            return judge(arrival, limits, attempt=len(held))
        case "fail":
            raise ValueError("a defect")
    return judge(arrival, limits, attempt=attempt)
