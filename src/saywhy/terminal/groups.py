"""A group of commands: its help says each in a whole sentence, and a misspelt name gets a hint."""

from __future__ import annotations

import click

#: Longer than any first sentence of a command's help.
WHOLE = 400


class Group(click.Group):
    """A group as ``saywhy`` and its parts show it."""

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the commands; a sentence goes on in the next line instead of breaking off."""
        rows = []
        for name in self.list_commands(ctx):
            found = self.get_command(ctx, name)
            if found is not None and not found.hidden:
                rows.append((name, found.get_short_help_str(WHOLE)))
        if rows:
            with formatter.section("Commands"):
                formatter.write_dl(rows)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find a command; where there is none of this name, name the nearest."""
        try:
            return super().resolve_command(ctx, args)
        except click.UsageError:
            from difflib import get_close_matches

            near = get_close_matches(args[0][:40], self.list_commands(ctx), 1)
            hint = f" Did you mean {near[0]}?" if near else ""
            raise click.UsageError(f"there is no command {args[0][:40]!r}.{hint}", ctx) from None
