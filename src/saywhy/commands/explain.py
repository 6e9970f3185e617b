"""``saywhy explain``: why is each digit forced?"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import click

from saywhy.errors import NotAllowedError, SaywhyError
from saywhy.files import Entry, entries
from saywhy.files.titles import plain
from saywhy.terminal.codes import OF_VERDICT, Exit, worse
from saywhy.terminal.lines import print_error, print_json
from saywhy.terminal.options import Whole, seconds_option
from saywhy.terminal.waiting import waiting

if TYPE_CHECKING:
    from saywhy.puzzle import Puzzle
    from saywhy.reasoning import Path
    from saywhy.second_opinion import PathReport


@click.command()
@click.argument("file", metavar="FILE")
@click.option("--json", "as_json", is_flag=True, help="Print the whole path as one JSON object. This spoils.")
@click.option("--reveal", is_flag=True, help="Print the talk track, beat by beat.")
@click.option("--brief", is_flag=True, help="With --reveal: one short sentence a step.")
@click.option("--certify", is_flag=True, help="Prove every step anew by an independent solver (OR-Tools).")
@click.option(
    "--at", metavar="CELL", help="Say why this cell is what it is: the steps it rests on. This spoils."
)
@click.option(
    "--from",
    "board",
    metavar="POSITION",
    help="Take a position file and say what is false in it, what is not shown yet, or what comes next. This "
    "spoils as much as --nudge says.",
)
@click.option(
    "--nudge",
    type=Whole(1, 3),
    metavar="N",
    help="With --from: 1 says where to look, 2 which clue, 3 the whole reason.  [default: 3]",
)
@seconds_option("the proof")
def command(  # noqa: PLR0913, PLR0917 - one argument an option
    file: str,
    as_json: bool,
    reveal: bool,
    brief: bool,
    certify: bool,
    at: str | None,
    board: str | None,
    nudge: int | None,
    seconds: float,
) -> Exit:
    """
    Say why each digit is forced, in the words of a host.

    Without --reveal and --json only what does not spoil the solve is printed: how long the path is and
    what it takes. With --certify the exit code is 3 where a step could not be confirmed.
    """
    if at is not None and board is not None:
        raise click.UsageError("--at is asked of the whole path, --from of a position: give one of them.")
    if nudge is not None and board is None:
        raise click.UsageError("--nudge says how much --from tells: give --from POSITION as well.")
    if brief and not reveal:
        raise click.UsageError("--brief shortens the talk track: give --reveal as well.")
    if (at is not None or board is not None) and (reveal or certify):
        raise click.UsageError(
            "--reveal and --certify are of the whole path: leave them out of --at and --from."
        )
    code = Exit.FINE
    for entry in entries(file):
        if at is None and board is None:
            code = worse(code, _explain(entry, as_json, reveal, brief, certify, seconds))
        else:
            code = worse(code, _answer(entry, as_json, at, board, nudge or 3, seconds))
    return code


def _answer(  # noqa: PLR0913, PLR0917 - one argument an option
    entry: Entry, as_json: bool, at: str | None, board: str | None, strength: int, seconds: float
) -> Exit:
    """Answer about one cell, or from a position."""
    if entry.puzzle is None:
        return print_error(entry, as_json=as_json)
    from saywhy.engine import Budget
    from saywhy.terminal import answers

    budget = Budget(seconds=seconds)
    try:
        if board is not None:
            verdict = answers.show_from(entry.puzzle, board, entry.source, strength, budget, as_json=as_json)
        else:
            verdict = answers.show_at(entry.puzzle, at or "", entry.source, budget, as_json=as_json)
    except SaywhyError as error:
        told = replace(entry, source=error.source or entry.source, error=error)
        return print_error(told, as_json=as_json)
    if verdict != "unique":
        from saywhy.terminal.verdict import unfit

        click.echo(plain(f"{entry.source}: {unfit(verdict, '--seconds')}."), err=True)
        if as_json:
            print_json({"file": entry.source, "verdict": verdict})
    return OF_VERDICT[verdict]


def _explain(  # noqa: PLR0913, PLR0917 - one argument an option
    entry: Entry, as_json: bool, reveal: bool, brief: bool, certify: bool, seconds: float
) -> Exit:
    if entry.puzzle is None:
        return print_error(entry, as_json=as_json)
    from saywhy.engine import Budget
    from saywhy.reasoning import explain

    with waiting("Looking for the path"):
        path = explain(entry.puzzle, Budget(seconds=seconds))
    code = OF_VERDICT[path.verdict]
    report = None
    if certify and path.steps:
        try:
            with waiting("Proving every step anew"):
                report = _certified(entry.puzzle, path)
        except NotAllowedError as error:  # the solver is not installed
            return print_error(replace(entry, error=error), as_json=as_json)
        code = code if report.sound else worse(code, Exit.UNDECIDED)
    if as_json:
        found = path.as_json(entry.source)
        if report is not None:
            found["certified"] = report.sound
            found["faults"] = [str(fault) for fault in report.faults]
        print_json(found)
        return code
    from saywhy.terminal import talk

    talk.show_summary(entry.puzzle, entry.source, path, report, reveal=reveal)
    if reveal:
        talk.show(path, brief=brief)
    elif path.steps:
        click.echo("The path itself is shown with --reveal.")
    return code


def _certified(puzzle: Puzzle, path: Path) -> PathReport:
    from saywhy.second_opinion import certify_path

    return certify_path(puzzle, path.as_json(""))
