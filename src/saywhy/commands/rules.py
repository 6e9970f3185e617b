"""``saywhy rules``: the rules of a puzzle, for its viewers."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from saywhy.files import Entry
from saywhy.grid import Grid
from saywhy.puzzle import Puzzle
from saywhy.terminal.codes import Exit
from saywhy.terminal.lines import print_error, print_json
from saywhy.terminal.one import one_puzzle
from saywhy.terminal.options import json_option

if TYPE_CHECKING:
    from saywhy.rules_text import Example

WIDTH = 88


@click.command()
@click.argument("file", required=False, metavar="[FILE]")
@json_option
def command(file: str | None, as_json: bool) -> Exit:
    """
    Give a puzzle's rules for its viewers: written, spoken, and an example of each that spoils nothing.

    Without FILE, name every rule that a puzzle file may use.
    """
    if file is None:
        return _names(as_json)
    entry = one_puzzle(file)
    return (
        print_error(entry, as_json=as_json) if entry.puzzle is None else _rules(entry, entry.puzzle, as_json)
    )


def _names(as_json: bool) -> Exit:
    from saywhy.rules import all_rules

    for name, rule in all_rules().items():
        if as_json:
            print_json({"rule": name, "title": rule.title})
        else:
            click.echo(f"{name:<20} {rule.title}")
    return Exit.FINE


def _rules(entry: Entry, puzzle: Puzzle, as_json: bool) -> Exit:
    from saywhy.rules_text import rules_text

    found = rules_text(puzzle)
    examples = [_example_json(example, puzzle.grid) for example in found.examples]
    if as_json:
        print_json(
            {
                "file": entry.source,
                "written": list(found.written),
                "spoken": found.spoken,
                "seconds": round(found.seconds, 1),
                "examples": examples,
            }
        )
        return Exit.FINE
    for paragraph in found.written:
        click.echo(click.wrap_text(paragraph, WIDTH) + "\n")
    click.echo(f"Spoken, about {found.seconds:.0f} seconds:")
    click.echo(click.wrap_text(found.spoken, WIDTH, "  ", "  "))
    return Exit.FINE


def _example_json(example: Example, grid: Grid) -> dict[str, Any]:
    return {
        "rule": example.rule,
        "title": example.title,
        "spoken": example.spoken,
        "clue": example.clue,
        "cells": grid.names(example.cells),
    }
