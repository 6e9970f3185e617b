"""
A puzzle as the page that draws it holds it: loose while being drawn, checked by the reader of files.

A draft becomes the text of a puzzle file and goes through the same reader as any stranger's file, so what
can be drawn is what can be read.
"""

from __future__ import annotations

import json
import re
from dataclasses import replace
from typing import Annotated

import msgspec
from msgspec import Meta

from saywhy.errors import AmbiguousError, Problem, SaywhyError, UnreadableError
from saywhy.files import limits, read_text
from saywhy.files.writing import path_text
from saywhy.grid import BOXES, Grid
from saywhy.puzzle import Clue, Puzzle

Cell = Annotated[str, Meta(pattern=r"^r[1-9][0-9]?c[1-9][0-9]?$", max_length=6)]
Cells = Annotated[list[Cell], Meta(max_length=256)]
Number = Annotated[int, Meta(ge=-999_999, le=999_999)] | None
Name = Annotated[str, Meta(max_length=limits.LONGEST_NAME)]
Line = Annotated[str, Meta(max_length=limits.LONGEST_TITLE)]

_SYMBOLS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_CLUE = re.compile(r"clue (\d+)")


class DraftClue(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A clue, finished or not."""

    rule: Name
    cells: Cells = []
    groups: Annotated[list[Cells], Meta(max_length=limits.MOST_GROUPS)] = []
    value: Number = None
    digits: Annotated[list[Annotated[int, Meta(ge=0, le=99)]], Meta(max_length=16)] = []
    pill: Number = None
    count: Number = None


class Draft(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """
    A puzzle being drawn.

    Attributes:
        givens: One digit a cell, 0 where empty.
        regions: For each cell the number of its region; None for the usual boxes, or none at all.
        latin: Whether there are no regions.
    """

    title: Line = ""
    setter: Line = ""
    size: Annotated[int, Meta(ge=4, le=16)] = 9
    givens: Annotated[list[Annotated[int, Meta(ge=0, le=99)]], Meta(max_length=256)] = []
    regions: Annotated[list[Annotated[int, Meta(ge=0, le=25)]], Meta(max_length=256)] | None = None
    latin: bool = False
    rules: Annotated[list[Name], Meta(max_length=limits.MOST_NAMES)] = []
    all_given: Annotated[list[Name], Meta(max_length=limits.MOST_NAMES)] = []
    clues: Annotated[list[DraftClue], Meta(max_length=limits.MOST_CLUES)] = []


class DraftProblem(msgspec.Struct, frozen=True, kw_only=True):
    """
    One thing wrong with a draft or with what was sent.

    Attributes:
        clue: Place of the clue that is to blame, from 0, if one is.
        line: Line of the text that was sent, from 1; null where no text was, or it is not known.
    """

    what: str
    mend: str
    field: str | None = None
    clue: int | None = None
    line: int | None = None


class Looked(msgspec.Struct, frozen=True, kw_only=True):
    """
    What a draft comes to.

    Attributes:
        puzzle: The puzzle; without the clues that are not finished or not allowed, if there are such; None
            where even then there is none.
        problems: Everything wrong.
        kept: For each clue of the puzzle its place in the draft.
    """

    puzzle: Puzzle | None
    problems: list[DraftProblem]
    kept: list[int]


def look(draft: Draft) -> Looked:
    """Read a draft, leaving out clues that cannot be read."""
    places = list(range(len(draft.clues)))
    try:
        return Looked(puzzle=read_draft(draft), problems=[], kept=places)
    except SaywhyError as error:
        problems = [told(problem) for problem in error.problems]
    wrong = {problem.clue for problem in problems}
    kept = [place for place in places if place not in wrong]
    rest = msgspec.structs.replace(draft, clues=[draft.clues[place] for place in kept])
    try:
        return Looked(puzzle=read_draft(rest) if wrong - {None} else None, problems=problems, kept=kept)
    except SaywhyError:
        return Looked(puzzle=None, problems=problems, kept=[])


def read_draft(draft: Draft) -> Puzzle:
    """
    Read a draft; nobody has seen the lines of its text, so no problem names one.

    Raises:
        SaywhyError: It is no puzzle yet.
    """
    try:
        return read_text(text_of(draft))[0]
    except SaywhyError as error:
        problems = [replace(problem, line=None, column=None) for problem in error.problems]
        raise type(error)(problems, error.source) from None


def read_one(text: str) -> Puzzle:
    """
    Read the text of a puzzle file that somebody pasted or dropped.

    Raises:
        SaywhyError: It is too long, is no puzzle, or holds several.
    """
    if len(text.encode("utf-8", "replace")) > limits.MOST_BYTES:
        what = f"the text is longer than {limits.MOST_BYTES // 1024} KiB, which no puzzle needs"
        mend = "Give one puzzle; saywhy desk FILE takes long files of puzzle lines"
        raise UnreadableError(Problem(what, mend))
    puzzles = read_text(text)
    if len(puzzles) > 1:
        what = f"the text holds {len(puzzles)} puzzles"
        raise AmbiguousError(Problem(what, "Give one of its lines; saywhy desk FILE lays all on the desk"))
    return puzzles[0]


def told(problem: Problem) -> DraftProblem:
    """Give a file's problem as one of a draft."""
    found = _CLUE.match(problem.field or "")
    clue = int(found[1]) - 1 if found else None
    return DraftProblem(
        what=problem.what, mend=problem.mend, field=problem.field, clue=clue, line=problem.line
    )


def text_of(draft: Draft) -> str:
    """Give the text of a puzzle file that says what a draft says, right or wrong."""
    size = draft.size
    lines = [
        "format = 1",
        f"title = {_quoted(draft.title)}",
        f"setter = {_quoted(draft.setter)}",
        f"size = {size}",
    ]
    if any(draft.givens):
        lines.append(f'givens = """\n{_rows([str(digit or ".") for digit in draft.givens], size)}\n"""')
    if draft.latin:
        lines.append('regions = "none"')
    elif draft.regions is not None:
        lines.append(f'regions = """\n{_rows([_SYMBOLS[number] for number in draft.regions], size)}\n"""')
    if draft.rules:
        lines.append(f"rules = [{', '.join(map(_quoted, draft.rules))}]")
    if draft.all_given:
        lines.append(f"all-given = [{', '.join(map(_quoted, draft.all_given))}]")
    lines += [_clue_text(clue) for clue in draft.clues]
    return "\n".join(lines) + "\n"


def draft_of(puzzle: Puzzle) -> Draft:
    """Give a puzzle as a draft."""
    grid = puzzle.grid
    usual = grid.size in BOXES and grid == Grid.standard(grid.size)
    return Draft(
        title=puzzle.title,
        setter=puzzle.setter,
        size=grid.size,
        givens=list(puzzle.givens),
        regions=None if usual or grid.regions is None else list(grid.regions),
        latin=grid.regions is None,
        rules=list(puzzle.rules),
        all_given=list(puzzle.all_given),
        clues=[_draft_clue(clue, grid) for clue in puzzle.clues],
    )


def same(one: Puzzle, other: Puzzle) -> bool:
    """Say whether two puzzles say the same; where a clue stood in a file is no part of it."""
    return replace(one, title="", setter="") == replace(other, title="", setter="")


def _draft_clue(clue: Clue, grid: Grid) -> DraftClue:
    return DraftClue(
        rule=clue.rule,
        cells=grid.names(clue.cells),
        groups=[grid.names(group) for group in clue.groups],
        value=clue.value,
        digits=list(clue.digits),
        pill=clue.pill,
        count=clue.count,
    )


def _clue_text(clue: DraftClue) -> str:
    lines = ["[[clue]]", f"rule = {_quoted(clue.rule)}"]
    if clue.cells:
        lines.append(f"cells = {_quoted(' '.join(clue.cells))}")
    if clue.groups:
        lines.append(f"groups = [{', '.join(_quoted(' '.join(group)) for group in clue.groups)}]")
    if clue.digits:
        lines.append(f"digits = {clue.digits}")
    for name in ("value", "pill", "count"):
        if (number := getattr(clue, name)) is not None:
            lines.append(f"{name} = {number}")
    return "\n".join(lines)


def _rows(symbols: list[str], size: int) -> str:
    return "\n".join(" ".join(symbols[row : row + size]) for row in range(0, len(symbols), size))


def _quoted(words: str) -> str:
    return json.dumps(words, ensure_ascii=False).replace("\x7f", "\\u007f")


def cells_in_words(cells: tuple[int, ...], grid: Grid) -> str:
    """Give cells as people read them in a list of clues."""
    return path_text(cells, grid)
