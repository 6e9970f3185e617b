"""Read the wishes of a sketch."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from typing import Any

from msgspec import UnsetType

from saywhy.errors import Problem
from saywhy.files.boards import shown
from saywhy.files.fields import convert, meant
from saywhy.files.layout import Layout
from saywhy.grid import Grid
from saywhy.setting.compose.fields import WishFields, Wrong, problems_of, span, symmetry
from saywhy.setting.compose.patterns import Pattern, read_pattern
from saywhy.setting.compose.sketch import EFFORTS, Wish, symmetry_named


def read_wish(
    held: dict[str, Any], grid: Grid, drawn: Collection[int], layout: Layout, problems: list[Problem]
) -> Wish | None:
    """
    Read the table ``[wish]``; what is wrong is added to ``problems``.

    Args:
        held: As the TOML parser gives it.
        grid: The grid.
        drawn: Cells that are given in any case.
        layout: The lines.
        problems: Added to.
    """
    at = next((number for number, row in enumerate(layout.lines, 1) if row.strip() == "[wish]"), None)
    fields, wrong_fields = convert(held, WishFields, "wish", lambda _: at)
    problems += wrong_fields
    if fields is None:
        return None
    wrong = problems_of("wish", lambda _: at, problems)
    name = symmetry(fields.symmetry, wrong)
    kind = symmetry_named(name)
    all_drawn = {*drawn, *(kind.missing(drawn, grid.size) if kind else ())}
    least, most = _givens(fields.givens, len(all_drawn), len(grid.cells), wrong)
    pattern: Pattern | None = None
    if fields.pattern:
        found = read_pattern(fields.pattern, grid)
        if isinstance(found, Problem):
            problems.append(replace(found, line=at))
        else:
            pattern = found
    return Wish(least, most, name, _efforts(fields.effort, wrong), pattern)


def _givens(held: int | str | UnsetType, drawn: int, cells: int, wrong: Wrong) -> tuple[int, int]:
    if isinstance(held, UnsetType):
        return drawn, drawn
    found = span(held)
    if found is None or not found[0] <= found[1] <= cells:
        wrong("givens", "a number of givens was expected", 'Write givens = "at most 6", for example')
    elif found[1] < drawn:
        what = f"at most {found[1]} givens are wished and {drawn} are drawn, what symmetry adds counted"
        wrong("givens", what, "Wish more givens, or draw fewer")
    else:
        return max(found[0], drawn), found[1]
    return drawn, drawn


def _efforts(held: str | list[str] | UnsetType, wrong: Wrong) -> tuple[str, ...]:
    if isinstance(held, UnsetType):
        return EFFORTS
    named = [held] if isinstance(held, str) else held
    for name in named:
        if name not in EFFORTS:
            mend = meant(name, EFFORTS, f"Name any of: {', '.join(EFFORTS)}")
            wrong("effort", f"there is no band of effort {shown(name)}", mend)
    return tuple(name for name in EFFORTS if name in named) or EFFORTS
