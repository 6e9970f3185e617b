"""The talk track in text: every beat as it is spoken, with the cells that it points at."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

import click

from saywhy.puzzle import Puzzle
from saywhy.terminal.about import counted, heading, measures, rule_titles
from saywhy.terminal.card import Card
from saywhy.terminal.verdict import VERDICTS, add_effort, unfit

if TYPE_CHECKING:
    from saywhy.reasoning import Path
    from saywhy.reasoning.step import PathStep
    from saywhy.second_opinion import PathReport

WIDTH = 88


def show_summary(puzzle: Puzzle, source: str, path: Path, report: PathReport | None, *, reveal: bool) -> None:
    """Print what the path takes; without ``reveal`` nothing on it names a digit or a cell."""
    card = Card(
        heading(puzzle, source), {"unique": path.complete, "undecided": None}.get(path.verdict, False)
    )
    card.add("verdict", VERDICTS[path.verdict])
    card.add("size", measures(puzzle))
    if titles := rule_titles(puzzle):
        card.add("rules", titles)
    if path.verdict == "unique":
        from saywhy.reasoning.explain import WALK_S

        short = f"not to the end: no further step was found within {counted(round(WALK_S), 'second')}"
        reaches = "to the end" if path.complete else short
        card.add("path", f"{counted(len(path.steps), 'step')}, {reaches}")
    else:
        card.add("path", f"none: {unfit(path.verdict, '--seconds')}")
    if path.effort is not None and path.complete:
        add_effort(card, path.effort)
    if report is not None:
        card.add("certified", _certified(report, reveal=reveal))
    card.show()


def show(path: Path, *, brief: bool) -> None:
    """Print the path beat by beat, or in brief a sentence a step."""
    if brief:
        for told in path.steps:
            click.echo(f"{told.n:>4}  {told.told.brief}")
        return
    for number, group in groupby(path.steps, key=lambda told: told.beat):
        click.echo(_beat(path, number, list(group)))


def _beat(path: Path, number: int, steps: list[PathStep]) -> str:
    spoken = click.wrap_text(path.beats[number - 1], WIDTH, f"\n{number:>4}  ", " " * 6)
    written = [told.told.written for told in steps if told.told.written not in path.beats[number - 1]]
    lines = [click.wrap_text(text, WIDTH, " " * 8, " " * 8) for text in written]
    return "\n".join([spoken, *(click.style(line, dim=True) for line in lines)])


def _certified(report: PathReport, *, reveal: bool) -> list[str]:
    if report.sound:
        return [f"all {len(report.steps)} steps proved anew in {report.seconds:.1f} s"]
    lines = [f"{counted(len(report.faults), 'fault')}, {len(report.undecided)} not decided"]
    if not report.faults:
        return lines
    return [*lines, *report.faults[:10]] if reveal else [*lines, "--reveal tells which"]
