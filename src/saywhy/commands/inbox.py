"""``saywhy inbox``: judge a whole folder of puzzles from setters."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from saywhy.errors import SaywhyError
from saywhy.files import Entry
from saywhy.inbox.judgement import USUAL_MB
from saywhy.terminal.codes import OF_VERDICT, Exit, worse
from saywhy.terminal.lines import print_error, print_json
from saywhy.terminal.options import Whole, json_option, seconds_option

if TYPE_CHECKING:
    from saywhy.inbox.pool import Pool

#: Less than this does not even hold the program that judges, megabytes.
LEAST_MB = 100


@click.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option(
    "-o", "--output", metavar="DIR", type=click.Path(path_type=Path),
    help="Folder for journal, table and letters; DIR-judged beside the inbox unless named.",
)  # fmt: skip
@json_option
@click.option("--no-effort", is_flag=True, help="Prove only; leave the effort unmeasured.")
@seconds_option("each file", 30.0)
@click.option(
    "--memory", "memory_mb", type=Whole(min=0), default=USUAL_MB, show_default=True, metavar="MB",
    help="Megabytes allowed for each file; 0 for no limit.",
)  # fmt: skip
@click.option(
    "--workers",
    type=Whole(min=1),
    metavar="N",
    help="Files judged at once; one a processor unless named.",
)
@click.option("--rows", type=Whole(min=0), default=40, show_default=True, metavar="N", help="Rows to print.")
@click.option("--shelf", is_flag=True, help="Put those with exactly one solution on the shelf, each once.")
@click.option(
    "--folder", "host", metavar="FOLDER", type=click.Path(path_type=Path), help="Where the shelf is kept."
)
@click.option("--cluster", metavar="ADDRESS", help="Judge on a dask cluster, such as tcp://10.0.0.5:8786.")
def command(  # noqa: PLR0913, PLR0917 - one argument an option
    folder: Path,
    output: Path | None,
    as_json: bool,
    no_effort: bool,
    seconds: float,
    memory_mb: int,
    workers: int | None,
    rows: int,
    shelf: bool,
    host: Path | None,
    cluster: str | None,
) -> Exit:
    """
    Judge every puzzle in a folder, tell which came twice, and draft a reply to each setter.

    What is judged is kept as it lands, so a run that was stopped goes on where it was. Nothing that is
    printed spoils a solve; letters that name cells are in a folder "spoilers" of their own.
    """
    from saywhy.inbox import Limits, alike, run, write_all
    from saywhy.inbox.shelving import put, shelf_of
    from saywhy.terminal.inboxed import show, summary, telling

    named = folder if folder.name not in ("", "..") else folder.resolve()
    there = named.with_name(f"{named.name}-judged") if output is None else output
    if 0 < memory_mb < LEAST_MB:
        what = f"no file is judged in less than {LEAST_MB} megabytes: give --memory more, or 0 for no limit"
        raise click.UsageError(what)
    limits = Limits(seconds=seconds, memory_mb=memory_mb, effort=not no_effort)
    try:
        with shelf_of(host, make=shelf):  # what is wrong with it is told before the work, not after
            pass
        pool = _pool(cluster, workers or len(_processors()))
        with telling() as tell:
            inbox = run(folder, there, pool, limits, tell)
        with shelf_of(host, make=shelf) as held:
            likes = alike(inbox.judgements, held.alike)
            written = write_all(inbox.judgements, likes, there)
            added = put(inbox, likes, held) if shelf else None
    except SaywhyError as error:
        return print_error(Entry(str(folder), error=error), as_json=as_json)
    code = Exit.FINE
    for judgement in inbox.judgements:
        code = worse(code, OF_VERDICT.get(judgement.verdict, Exit.BAD_INPUT))
    if as_json:
        for row in written.rows:
            print_json(row)
        return code
    show(written.rows, rows)
    for line in summary(inbox, written, str(there)):
        click.echo(line)
    if added is not None:
        click.echo(f"{added} put on the shelf")
    return code


def _pool(cluster: str | None, workers: int) -> Pool:
    if cluster is None:
        from saywhy.inbox.pool import LocalPool

        return LocalPool(workers)
    from saywhy.inbox.cluster import ClusterPool

    return ClusterPool(cluster)


def _processors() -> Any:
    return os.sched_getaffinity(0) if hasattr(os, "sched_getaffinity") else range(os.cpu_count() or 1)
