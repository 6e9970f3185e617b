"""Backups, and the shelf as plain files."""

from __future__ import annotations

from pathlib import Path

import click

from saywhy.commands.shelf.parts import agreed, part
from saywhy.shelf import Shelf, backups, exporting, importing
from saywhy.terminal.about import counted
from saywhy.terminal.lines import print_json


@part("export", click.argument("folder", metavar="DIR", type=click.Path(path_type=Path)))
def export(shelf: Shelf, *, folder: Path, as_json: bool) -> None:
    """Write the whole shelf as plain files: TOML puzzles and JSON Lines."""
    counts = exporting.export(shelf, folder)
    if as_json:
        print_json({"folder": str(folder), **counts})
    else:
        click.echo(f"{folder}: {_told(counts)}")


@part("import", click.argument("folder", metavar="DIR", type=click.Path(path_type=Path)))
def take_in(shelf: Shelf, *, folder: Path, as_json: bool) -> None:
    """Fill an empty shelf from what export wrote; all or nothing."""
    counts = importing.take_in(shelf, folder)
    if as_json:
        print_json({"folder": str(folder), **counts})
    else:
        click.echo(f"On the shelf: {_told(counts)}")


@part("backup", click.argument("file", metavar="FILE", type=click.Path(path_type=Path)))
def backup(shelf: Shelf, *, file: Path, as_json: bool) -> None:
    """Copy the shelf into a new FILE, whole and checked, while it may be in use."""
    size = backups.backup(shelf, file)
    if as_json:
        print_json({"file": str(file), "bytes": size})
    else:
        click.echo(f"{file}: {size // 1024} KiB, checked")


@part(
    "restore",
    click.argument("file", metavar="FILE", type=click.Path(path_type=Path)),
    click.option("--yes", is_flag=True, help="Do not ask."),
)
def restore(shelf: Shelf, *, file: Path, yes: bool, as_json: bool) -> None:
    """Put a backup in the place of the shelf; what was there is kept in a backup too."""
    backups.check(file)
    agreed(f"Put {file} in the place of the shelf?", yes=yes, as_json=as_json)
    before = backups.restore(shelf, file)
    if as_json:
        print_json({"file": str(file), "before": str(before)})
    else:
        click.echo(f"The shelf is that of {file}. What was there before is in {before}.")


def _told(counts: dict[str, int]) -> str:
    return ", ".join(counted(many, name) for name, many in counts.items())


PARTS = [export, take_in, backup, restore]
