"""
Measure the plan: two hundred puzzles into forty slots, planned, planned anew, and clashing.

Usage: ``python -m benchmarks.plan [--seeds N]``. Processor time is this process's; the limit is ten seconds
of wall time on two quiet cores.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from random import Random
from typing import TypeVar

from saywhy.plan.cadence import Cadence
from saywhy.plan.clash import find_clash
from saywhy.plan.families import FAMILIES
from saywhy.plan.series import Candidate, Series
from saywhy.plan.solve import solve
from saywhy.plan.wishes import Effort, FamilyRest, Fill, Request, SetterRest, Wish
from saywhy.plan.wishes.effort import NAMES

PUZZLES, SLOTS, SETTERS = 200, 40, 50
Got = TypeVar("Got")


def series(seed: int) -> Series:
    """Give a series: few setters send many puzzles, most puzzles are of middling effort."""
    random = Random(seed)
    candidates = tuple(
        Candidate(
            f"p{number}",
            setter=f"setter {int(SETTERS * random.random() ** 2)}",
            families=frozenset(random.sample(list(FAMILIES), random.choice([0, 1, 1, 2, 3]))),
            band=random.choices(NAMES, [2, 4, 4, 2, 1])[0],
            received=date(2026, 1, 1) + timedelta(days=random.randrange(300)),
        )
        for number in range(1, PUZZLES + 1)
    )
    cadence = Cadence(date(2026, 12, 1), every=4, episodes=SLOTS)
    slots = cadence.slots()
    return Series(
        candidates,
        tuple(slots),
        opens=cadence.first,
        day_before=cadence.before(),
        next_day=cadence.after(slots[-1].day),
    )


def wishes() -> list[Wish]:
    """Give the wishes of a demanding host."""
    gentle, hard = NAMES[:2], NAMES[3:]
    return [
        Fill(),
        SetterRest(episodes=5),
        FamilyRest(episodes=2, firm=False),
        Effort(bands=gentle, window="first 5", only=True),
        Effort(bands=hard, window="each month", least=1, most=1),
        Effort(bands=hard, rest=1),
        Request(puzzle="p7", by=date(2027, 1, 31)),
        Request(puzzle="p9", around=date(2027, 2, 14)),
        Request(puzzle="p11", start=date(2027, 3, 1)),
        Request(setter="setter 3", on=date(2026, 12, 25)),
    ]


def timed(run: Callable[[], Got]) -> tuple[Got, float, float]:
    """Give what it gives, wall seconds and processor seconds."""
    wall, processor = time.perf_counter(), time.process_time()
    got = run()
    return got, time.perf_counter() - wall, time.process_time() - processor


def main() -> None:
    """Measure and print a line for each."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks.plan", description=__doc__)
    parser.add_argument("--seeds", type=int, default=5)
    asked = wishes()
    for seed in range(parser.parse_args().seeds):
        held = series(seed)
        plan, wall, processor = timed(lambda held=held: solve(held, asked))  # type: ignore[misc]
        told = f"seed {seed}: planned {plan.status}, gap {100 * plan.gap:.1f} %"
        print(f"{told}, {wall:.1f} s wall, {processor:.1f} s cpu")
        planned = {
            number: held.slots[slot].day for slot, number in enumerate(plan.line) if number is not None
        }
        pinned = [*asked, Request(puzzle="p20", on=held.slots[20].day, pin=True)]
        again, wall, processor = timed(lambda: solve(replace(held, planned=planned), pinned))  # noqa: B023
        moved = sum(one != other for one, other in zip(plan.line, again.line, strict=True))
        print(f"  with a pin {again.status}, {moved} changed, {wall:.1f} s wall, {processor:.1f} s cpu")
        clashing = [*asked, Effort(bands=NAMES[3:], window="first 2", least=1)]
        clash, wall, processor = timed(lambda: find_clash(held, clashing))  # noqa: B023
        parts = 0 if clash is None else len(clash.demands)
        print(f"  a clash of {parts}, {wall:.1f} s wall, {processor:.1f} s cpu", flush=True)


if __name__ == "__main__":
    main()
