"""``saywhy desk``: the local web app."""

from __future__ import annotations

from pathlib import Path

import click

from saywhy.errors import SaywhyError
from saywhy.files.titles import plain
from saywhy.terminal.codes import Exit
from saywhy.terminal.options import Whole


@click.command()
@click.argument("files", nargs=-1, metavar="[FILE]...")
@click.option("--port", default=8642, show_default=True, type=Whole(0, 65535), help="0 for any that is free.")
@click.option("--folder", type=click.Path(path_type=Path), help="Where puzzles and recordings are kept.")
@click.option("--no-browser", is_flag=True, help="Print the address and open nothing.")
def command(files: tuple[str, ...], port: int, folder: Path | None, no_browser: bool) -> Exit:
    """
    Draw a puzzle, check it, rehearse it and record a solve, in the browser.

    FILES are laid on the desk first. The desk answers this machine alone, and only who has the key in
    the address that it prints. Stop it with Ctrl-C.
    """
    try:
        from saywhy.desk.server import serve
        from saywhy.shelf.folder import usual_folder
    except ModuleNotFoundError as error:
        raise click.UsageError(f"the desk needs {error.name}: install saywhy[desk]") from None

    def ready(address: str) -> None:
        click.echo(f"The desk is open at {address}")
        click.echo("Ctrl-C closes it.")
        if not no_browser:
            import webbrowser

            webbrowser.open(address)

    try:
        serve(folder or usual_folder(), port, files, ready)
    except SaywhyError as error:
        for line in str(error).splitlines():
            click.echo(plain(line), err=True)
        return Exit.BAD_INPUT
    return Exit.FINE
