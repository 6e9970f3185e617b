"""
Kill a program that writes to a shelf, again and again, and look at what is left.

A writer does one deed after another, each of which depends on its number alone, and acknowledges each
through a pipe. It is killed (SIGKILL) at a random moment, then the shelf is opened: it must be whole, and
hold exactly what a writer that nobody killed had after the acknowledged deeds, or after one more that was
on its way.
"""

from __future__ import annotations

import hashlib
import json
import random
import time
from dataclasses import dataclass, field
from multiprocessing import get_context
from multiprocessing.connection import Connection
from pathlib import Path

from saywhy.errors import SaywhyError
from saywhy.files import read_text
from saywhy.shelf import Permission, Said, Shelf, State
from saywhy.shelf.backups import backup
from saywhy.shelf.personal import erase
from tests.shelf.shelves import GRANTED, picture, sound, text

#: Read here once, with all the rules, so that a writer that is made from this module begins at once.
WARM = read_text(text())

#: Longest time from the start of a writer to its end, seconds.
LONGEST_S = 0.25


@dataclass
class Report:
    """What was found: kills, deeds acknowledged, deeds found that were on their way, and when kills fell."""

    kills: int = 0
    deeds: int = 0
    on_their_way: int = 0
    before_the_first: int = 0
    wrong: list[str] = field(default_factory=list)


def do(shelf: Shelf, number: int) -> None:
    """Do the deed of this number; what it does follows from the number and from what stands there."""
    puzzles = shelf.puzzles.all()
    match number % 12:
        case 3 if puzzles:
            shelf.puzzles.permit(puzzles[0].id, GRANTED, unplan=True)
        case 4 if puzzles and puzzles[0].cleared and not shelf.episodes.all(puzzle=puzzles[0].id):
            shelf.episodes.plan(puzzles[0].id, "2026-12-01")
        case 5 if planned := shelf.episodes.all(state=State.PLANNED):
            shelf.episodes.record(planned[0].id, "blind")
        case 6 if puzzles:
            shelf.puzzles.permit(puzzles[-1].id, Said(permission=Permission.ASKED), unplan=True)
        case 7 if len(puzzles) > 6:
            shelf.puzzles.remove(puzzles[-1].id)
        case 8 if shelf.deeds():
            shelf.undo()
        case 9:
            with shelf.deed("a letter with three puzzles"):
                for part in "abc":
                    shelf.puzzles.add(text(f"Tide {number}{part}", f"setter-{number % 5}", number % 4 + 1))
        case 10 if number % 48 == 10 and (setters := shelf.setters.all()):
            erase(shelf, setters[0].id, puzzles="go")
        case _:
            shelf.puzzles.add(text(f"Tide {number}", f"setter-{number % 5}", number % 4 + 1), remarks="wet")


def digest(shelf: Shelf) -> str:
    """Give all that stands on a shelf and can be taken back, moments left out, as one short text."""
    held = {**picture(shelf, times=False), "deeds": [deed.words for deed in shelf.deeds()]}
    return hashlib.sha256(json.dumps(held, sort_keys=True).encode()).hexdigest()


def write(folder: Path, first: int, pipe: Connection) -> None:
    """Do deeds from this one on until killed; each is acknowledged once the shelf says that it is done."""
    pipe.send(-1)
    with Shelf(folder) as shelf:
        number = first
        while True:
            do(shelf, number)
            pipe.send(number)
            if number % 16 == 0:
                backup(shelf, folder / f"{number}.backup")
            number += 1


def kill_again_and_again(folder: Path, times: int, seed: int) -> Report:
    """Kill writers of one shelf this many times, and say what was found each time."""
    chance = random.Random(seed)
    context = get_context("forkserver")
    context.set_forkserver_preload(["tests.shelf.killing"])
    report, done = Report(), 0
    with Shelf(folder / "calm") as calm:
        expected = [digest(calm)]
        for _ in range(times):
            report.kills += 1
            acknowledged = _killed(context, folder / "shelf", done, chance.uniform(0.0, LONGEST_S))
            report.before_the_first += acknowledged == done
            while len(expected) <= acknowledged + 1:
                do(calm, len(expected) - 1)
                expected.append(digest(calm))
            try:
                with Shelf(folder / "shelf") as shelf:
                    sound(shelf)
                    found = digest(shelf)
            except (AssertionError, SaywhyError) as error:
                report.wrong.append(f"kill {report.kills}: {error!r:.300}")
                return report
            if found not in expected[acknowledged : acknowledged + 2]:
                report.wrong.append(
                    f"kill {report.kills}: not as after deed {acknowledged}, nor the next one"
                )
                return report
            report.on_their_way += found != expected[acknowledged]
            done = acknowledged if found == expected[acknowledged] else acknowledged + 1
    report.deeds = done
    return report


def _killed(context: object, folder: Path, first: int, after_s: float) -> int:
    """Run a writer from a deed on, kill it, and give how many deeds were acknowledged in all."""
    here, there = context.Pipe(duplex=False)  # type: ignore[attr-defined]
    writer = context.Process(target=write, args=(folder, first, there), daemon=True)  # type: ignore[attr-defined]
    writer.start()
    there.close()
    here.recv()  # it lives, and is about to open the shelf
    time.sleep(after_s)
    writer.kill()
    writer.join()
    count = first
    try:
        while True:
            count = here.recv() + 1
    except EOFError:
        here.close()
        return count
