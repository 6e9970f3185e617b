"""The command line: every module of ``commands`` is one command, found by discovery."""

from __future__ import annotations

import importlib
import os
import pkgutil
import sys
from collections.abc import Sequence

import click

from saywhy import __version__, commands
from saywhy.terminal.codes import Exit
from saywhy.terminal.groups import Group


class _Commands(Group):
    """The commands of the package ``commands``; a module is imported when its command is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 (click's signature)
        return sorted(info.name for info in pkgutil.iter_modules(commands.__path__))

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in self.list_commands(ctx):
            return None
        found = importlib.import_module(f"{commands.__name__}.{cmd_name}").command
        assert isinstance(found, click.Command)
        return found


@click.group(
    cls=_Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100}
)
@click.version_option(__version__, prog_name="saywhy", message="%(prog)s %(version)s")
def saywhy() -> None:
    """
    Prove a variant sudoku fit to air, and say why each digit is forced.

    Exit codes: 0 fine; 1 the puzzle has no solution or more than one; 2 bad input; 3 not decided in the
    time allowed. Over several puzzles the worst counts: 2, then 1, then 3.
    """


def run(args: Sequence[str]) -> int:
    """Run the command line and give its exit code."""
    try:
        code = saywhy.main(list(args), prog_name="saywhy", standalone_mode=False)
        return int(code) if isinstance(code, int) else Exit.FINE
    except click.ClickException as error:
        error.show()
        return Exit.BAD_INPUT
    except (click.Abort, KeyboardInterrupt):
        click.echo("Stopped.", err=True)
        return Exit.STOPPED
    except BrokenPipeError:  # the reader of our output, such as head, has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return Exit.FINE


def main() -> None:
    """Run the command line and leave with its exit code."""
    sys.exit(run(sys.argv[1:]))
