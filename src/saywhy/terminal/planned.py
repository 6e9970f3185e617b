"""A plan in text: the series day by day, what it changes, and wishes that clash."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from saywhy.files.titles import plain
from saywhy.plan.outcome import Outcome
from saywhy.plan.series import day_words, month_words

if TYPE_CHECKING:
    from saywhy.plan.clash import Clash

WIDTH = 96


def show(outcome: Outcome, *, why: bool) -> None:
    """Print an outcome."""
    if outcome.clash is not None:
        show_clash(outcome)
    if not outcome.made:
        if outcome.clash is None:
            click.echo(f"{outcome.judged()}.")
        return
    _series(outcome, why=why)
    if outcome.empty:
        click.echo()
    for words in outcome.empty:
        click.echo(click.wrap_text(f"{plain(words)[:1].upper()}{plain(words)[1:]}.", WIDTH))
    missed = outcome.reasons.not_kept()
    if missed:
        click.echo("\nNot kept:")
        for words in missed:
            _line(words)
    _changes(outcome)
    click.echo(f"\n{outcome.judged()}.")


def show_clash(outcome: Outcome) -> None:
    """Print which wishes clash, and what would mend it."""
    clash = outcome.clash
    assert clash is not None, "the caller has looked"
    _one_clash(clash, alone=clash.further)
    for other in clash.besides:
        click.echo("\nBesides:")
        _one_clash(other, alone=True)
    if clash.together:
        click.echo("\nTogether these are enough for all:")
        for words in clash.together:
            _line(words)
    elif clash.further:
        click.echo(
            "\nOther wishes clash as well; the work allowed did not do to name what is enough for all."
        )
    click.echo()


def _one_clash(clash: Clash, *, alone: bool) -> None:
    one = len(clash.told) == 1
    click.echo("This wish cannot be kept:" if one else "These wishes cannot all be kept:")
    for words in clash.told:
        _line(words)
    if not clash.smallest:
        click.echo("Some of them may have no part in it: that was not decided in the work allowed.")
    if clash.mends:
        several, what = len(clash.mends) > 1, "this clash" if alone else "all"
        click.echo(f"{'Any one of these' if several else 'This'} is enough for {what}:")
        for words in clash.mends:
            _line(words)


def _series(outcome: Outcome, *, why: bool) -> None:
    series, pins = outcome.series, outcome.pins()
    rows, reasons = list[list[str]](), list[list[str]]()
    months = list[str]()
    for slot, (held, number) in enumerate(zip(series.slots, outcome.plan.line, strict=True)):
        if slot in series.fixed and held.day < series.opens:
            continue
        months.append(month_words(held.day))
        day = day_words(held.day)[:-5] + ("" if held.at is None else f" {held.at:%H:%M}")
        if number is None:
            rows.append([day, "(empty)", "", "", ""])
        else:
            puzzle = series.candidates[number]
            state = "stands" if slot in series.fixed else "pinned" if number in pins else ""
            named = f"{puzzle.title} ({puzzle.name})" if puzzle.title else puzzle.name
            rows.append([day, named, puzzle.setter, puzzle.band or "", state])
        reasons.append(outcome.reasons.why(slot) if why else [])
    widths = [max(len(plain(row[column])) for row in rows) for column in range(5)]
    for place, (row, month) in enumerate(zip(rows, months, strict=True)):
        if place == 0 or months[place - 1] != month:
            click.echo(("\n" if place else "") + month)
        cells = [plain(text).ljust(width) for text, width in zip(row, widths, strict=True)]
        click.echo(("  " + "  ".join(cells)).rstrip())
        for words in reasons[place]:
            click.echo(click.wrap_text(plain(words), WIDTH, "      because ", "              "))


def _changes(outcome: Outcome) -> None:
    if not outcome.series.planned:
        return
    changed = [held for held in outcome.changes() if held.kind != "kept"]
    if not changed:
        click.echo("\nNothing changes.")
        return
    click.echo("\nWhat changes:")
    for held in changed:
        _line(held.words(outcome.series))


def _line(words: str) -> None:
    click.echo(click.wrap_text(plain(words), WIDTH, "  - ", "    "))
