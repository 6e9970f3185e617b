"""``saywhy trim``: which givens and clues are not needed?"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

import click

from saywhy.errors import NotAllowedError, Problem, SaywhyError
from saywhy.terminal.codes import OF_VERDICT, Exit
from saywhy.terminal.lines import print_error, print_json
from saywhy.terminal.one import one_puzzle
from saywhy.terminal.options import Whole, json_option, seconds_option

if TYPE_CHECKING:
    from saywhy.puzzle import Puzzle


@click.command()
@click.argument("file", metavar="FILE")
@click.option("--reveal", is_flag=True, help="Show what goes, with cells.")
@click.option(
    "--wish",
    type=click.Choice(["fewest", "pretty", "all"]),
    default="fewest",
    show_default=True,
    help="fewest: as few givens as can be, then as few clues. pretty: every clue stays and the givens keep "
    "(or get) a symmetry. all: list the ways after which nothing is to spare.",
)
@click.option(
    "--only",
    type=click.Choice(["givens", "clues", "both"]),
    default="both",
    show_default=True,
    help="What may go.",
)
@click.option(
    "--keep", multiple=True, metavar="WHAT", help="What stays: a cell with a given, or a clue by its number."
)
@click.option("--band", metavar="BAND", help="Trim no further than to this band of effort, in its words.")
@click.option(
    "-o", "--output", metavar="OUT", help="Write the trimmed puzzle to OUT; this shows nothing of it."
)
@click.option("--take", type=Whole(min=1), metavar="N", help="With -o: write way N.  [default: 1]")
@click.option("--no-effort", is_flag=True, help="Leave the effort unmeasured.")
@click.option(
    "--certify", is_flag=True, help="Prove every trimming anew by an independent solver (OR-Tools)."
)
@click.option("--seed", type=Whole(), default=0, show_default=True, metavar="N", help="Try in another order.")
@json_option
@seconds_option("the search, and half as much again for the effort")
def command(  # noqa: PLR0913, PLR0917 - one argument an option
    file: str,
    reveal: bool,
    wish: Literal["fewest", "pretty", "all"],
    only: Literal["givens", "clues", "both"],
    keep: tuple[str, ...],
    band: str | None,
    output: str | None,
    take: int | None,
    no_effort: bool,
    certify: bool,
    seed: int,
    as_json: bool,
    seconds: float,
) -> Exit:
    """
    Say which givens and clues of a puzzle are not needed, and trim it without losing its one solution.

    Without --reveal nothing that is printed names a cell. Marks of which all are given always stay: to take
    one out would say that it does not hold. The exit code is 1 for a puzzle that has not one solution.
    """
    if take is not None and output is None:
        raise click.UsageError("--take says which way -o writes: give -o OUT as well.")
    if band is not None and no_effort:
        raise click.UsageError(
            "--band goes by the effort that --no-effort leaves unmeasured: give one of them."
        )
    if wish == "pretty" and only == "clues":
        raise click.UsageError("--wish pretty keeps every clue and --only clues every given: nothing may go.")
    entry = one_puzzle(file)
    if entry.puzzle is None:
        return print_error(entry, as_json=as_json)
    from saywhy.setting.trim import trim
    from saywhy.terminal.made import check_output, chosen, confirmed, write_puzzle
    from saywhy.terminal.mended import trim_card, trim_json
    from saywhy.terminal.progress import progress

    try:
        if output is not None:
            check_output(output, file)
        clues, givens = _kept(keep, entry.puzzle)
        with progress() as tell:
            found = trim(
                entry.puzzle,
                wish=wish,
                only=only,
                keep_clues=clues,
                keep_givens=givens,
                band=_band(band),
                effort=not no_effort,
                seconds=seconds,
                tell=tell,
                seed=seed,
            )
        certified = None
        if certify and found.trimmings:
            certified = confirmed((trimming.puzzle for trimming in found.trimmings), "trimming")
        if as_json:
            print_json(trim_json(found, entry.source, reveal=reveal, certified=certified))
        else:
            trim_card(found, entry.source, reveal=reveal, certified=certified).show()
        if output is not None and found.verdict == "unique":
            write_puzzle(chosen(found.trimmings, take or 1, "way").puzzle, output, file)
            click.echo(f"Written to {output}.", err=True)
    except SaywhyError as error:
        return print_error(replace(entry, error=error), as_json=as_json)
    return Exit.UNDECIDED if certified is False else OF_VERDICT[found.verdict]


def _kept(keep: tuple[str, ...], puzzle: Puzzle) -> tuple[set[int], set[int]]:
    """Read what is to stay: numbers of clues, and cells."""
    clues, givens, problems = set[int](), set[int](), list[Problem]()
    for word in " ".join(keep).replace(",", " ").split():
        if word.isascii() and word.isdigit() and len(word) < 6:
            if not 1 <= int(word) <= len(puzzle.clues):
                problems.append(Problem(f"there is no clue {word}", "Count the clues from 1", "--keep"))
            clues.add(int(word) - 1)
            continue
        try:
            cell = puzzle.grid.cell(word)
        except ValueError as error:
            problems.append(Problem(str(error), "Name a cell or the number of a clue", "--keep"))
            continue
        if not puzzle.givens[cell]:
            problems.append(Problem(f"there is no given in {word}", "Name a cell that has one", "--keep"))
        givens.add(cell)
    if problems:
        raise NotAllowedError(problems)
    return clues, givens


def _band(name: str | None) -> str | None:
    from saywhy.reasoning.profile import BANDS

    names = [held for _, held in BANDS]
    if name is None or name in names:
        return name
    if f"a {name}" in names:
        return f"a {name}"
    quoted = ", ".join(repr(held) for held in names)
    raise NotAllowedError(
        Problem(f"{name[:40]!r} is not a band of effort", f"Name one of {quoted}", "--band")
    )
