"""``saywhy shelf``: setters, puzzles and episodes of a series, and what may air."""

from __future__ import annotations

from pathlib import Path

import click

from saywhy.commands.shelf import airing, copying, keeping, looking, people, taking_back
from saywhy.terminal.groups import Group


class _InOrder(Group):
    """Parts in the order in which a host comes to need them."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 (click's signature)
        return list(self.commands)


@click.group(cls=_InOrder)
@click.option(
    "--folder",
    metavar="FOLDER",
    type=click.Path(path_type=Path),
    help="Where the shelf is kept; the same folder as the desk's.",
)
@click.pass_context
def command(ctx: click.Context, folder: Path | None) -> None:
    """
    Keep setters, puzzles and episodes, and what may air.

    Things are named by letter and number (s3 a setter, p12 a puzzle, e7 an episode, r2 a recording), or by
    their title or credit where only one has it. Nothing here spoils a solve without --reveal, and nothing
    is planned to air without its setter's permission.
    """
    ctx.obj = folder


for held in (keeping, looking, people, airing, taking_back, copying):
    for part in held.PARTS:
        command.add_command(part)
