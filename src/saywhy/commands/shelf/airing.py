"""What may air, and what does: permissions and episodes."""

from __future__ import annotations

from dataclasses import replace

import click

from saywhy.commands.shelf.keeping import read_log, review_of
from saywhy.commands.shelf.parts import named, number_of, part
from saywhy.commands.shelf.telling import airing, episode_row, said, told_json
from saywhy.errors import NotAllowedError, Problem
from saywhy.files.titles import plain
from saywhy.shelf import Permission, Said, Setter, Shelf, ShelfEpisode, ShelfPuzzle
from saywhy.shelf.setters import PLAN
from saywhy.terminal.lines import print_json
from saywhy.terminal.options import Either


@part(
    "permit",
    click.argument("thing", metavar="THING"),
    click.argument("answer", type=click.Choice([held.value for held in Permission]), metavar="ANSWER"),
    click.option("--on", metavar="DAY", help="The day of it, as 2026-11-25."),
    click.option("--words", default="", metavar="TEXT", help="The setter's own words."),
    click.option("--off-plan", is_flag=True, help="Take off the plan what may not air any more."),
)
def permit(  # noqa: PLR0913 - one argument an option
    shelf: Shelf, *, thing: str, answer: str, on: str | None, words: str, off_plan: bool, as_json: bool
) -> None:
    """
    Keep a setter's ANSWER on airing: not-asked, asked, granted or refused.

    THING is a puzzle, or a setter for all puzzles of theirs that have no answer of their own. Granted needs
    the day and the words.
    """
    kind, number = named(shelf, thing, "puzzle", "setter")
    told = Said(permission=Permission(answer), on=on, words=words)
    try:
        permitted = (shelf.setters if kind == "setter" else shelf.puzzles).permit(
            number, told, unplan=off_plan
        )
    except NotAllowedError as error:
        if error.problems[0].field != PLAN:
            raise
        raise NotAllowedError(replace(error.problems[0], mend="Give --off-plan to take it off too")) from None
    _tell_answer(shelf, permitted, as_json=as_json)


@part(
    "air",
    click.argument("thing", metavar="THING"),
    click.option(
        "--on", required=True, metavar="TIME", help="A day, or a time as 2026-12-01T18:00+00:00, of airing."
    ),
    click.option("--title", metavar="TEXT", help="The episode's title, where the puzzle's is not the one."),
    click.option("--pin/--no-pin", cls=Either, default=None, help="Whether plans leave it where it is."),
)
def air(  # noqa: PLR0913 - one argument an option
    shelf: Shelf, *, thing: str, on: str, title: str | None, pin: bool | None, as_json: bool
) -> None:
    """Plan a puzzle to air, if it may; or move a planned episode to another time."""
    kind, number = named(shelf, thing, "puzzle", "episode")
    if kind == "puzzle":
        _tell(shelf, shelf.episodes.plan(number, on, title=title or "", pinned=bool(pin)), as_json=as_json)
        return
    with shelf.deed(f"episode e{number} was moved"):
        held = shelf.episodes.move(number, on, pinned=pin)
        if title is not None:
            held = shelf.episodes.change(number, title=title)
    _tell(shelf, held, as_json=as_json)


@part(
    "recorded",
    click.argument("thing", metavar="THING"),
    click.option(
        "--blind/--rehearsed",
        cls=Either,
        default=None,
        help="How it was solved; a recording says so itself.",
    ),
    click.option("--recording", metavar="FILE", help="The recorded solve, to be kept with it."),
    click.option("--review", is_flag=True, help="Judge the recorded solve, and keep that too."),
)
def recorded(  # noqa: PLR0913 - one argument an option
    shelf: Shelf, *, thing: str, blind: bool | None, recording: str | None, review: bool, as_json: bool
) -> None:
    """Say that a planned episode was recorded, or a puzzle that was never planned."""
    kind, number = named(shelf, thing, "puzzle", "episode")
    of = shelf.puzzles.get(number).id if kind == "puzzle" else shelf.episodes.get(number).puzzle
    log = None if recording is None else read_log(recording)
    if review and log is None:
        raise NotAllowedError(Problem("there is no recording to judge", "Give --recording", "--review"))
    if blind is None:
        if log is None:
            raise NotAllowedError(Problem("nothing says how it was solved", "Give --blind or --rehearsed"))
        from saywhy.recording import read_bytes

        blind = read_bytes(log, recording, salvage=True).header.blind
    told = review_of(shelf, of, log) if review and log is not None else None
    with shelf.deed(f"{kind[0]}{number} was recorded"):
        how = "blind" if blind else "rehearsed"
        if kind == "episode":
            held = shelf.episodes.record(number, "blind" if blind else "rehearsed")
        else:
            held = shelf.episodes.record_unplanned(number, "blind" if blind else "rehearsed")
        if log is not None:
            kept = shelf.recordings.keep(held.puzzle, log, episode=held.id)
            if kept.blind != blind:
                what = f"the recording says that it was not {how}"
                raise NotAllowedError(Problem(what, "Leave out --blind and --rehearsed"), recording)
            if told is not None:
                shelf.recordings.keep_review(kept.id, told)
    _tell(shelf, held, as_json=as_json)


@part(
    "published",
    click.argument("episode", metavar="EPISODE"),
    click.option("--link", required=True, metavar="URL", help="Where it can be seen."),
    click.option("--on", metavar="TIME", help="When it was, where that is not what was planned."),
)
def published(shelf: Shelf, *, episode: str, link: str, on: str | None, as_json: bool) -> None:
    """Say that a recorded episode was published; it needs permission too."""
    number = number_of(shelf, episode, "episode")
    if not link.strip():
        raise NotAllowedError(Problem("the link is empty", "Write it as https://example.org/page", "--link"))
    _tell(shelf, shelf.episodes.publish(number, link, airs=on), as_json=as_json)


def _tell_answer(shelf: Shelf, held: Setter | ShelfPuzzle, *, as_json: bool) -> None:
    if as_json:
        print_json(told_json(shelf, held))
    elif isinstance(held, Setter):
        click.echo(plain(f"s{held.id}, {held.credit}: {said(held.standing, held.standing_on)}"))
    else:
        click.echo(plain(f"p{held.id}, {held.title or 'untitled'}: {airing(held)}"))


def _tell(shelf: Shelf, held: ShelfEpisode, *, as_json: bool) -> None:
    if as_json:
        print_json(told_json(shelf, held))
    else:
        click.echo(plain("  ".join(filter(None, episode_row(shelf, held)))))


PARTS = [permit, air, recorded, published]
