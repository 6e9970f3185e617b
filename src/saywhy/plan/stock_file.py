"""Puzzles and episodes from a plain file, TOML or JSON, for a host who keeps no shelf."""

from __future__ import annotations

import datetime
import json
import tomllib
from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta

from saywhy.errors import NotAllowedError, Problem, UnreadableError
from saywhy.files import limits
from saywhy.files.fields import convert
from saywhy.files.texts import read_short
from saywhy.files.titles import plain, wrong_with
from saywhy.plan.families import families
from saywhy.plan.fields import PINNED, TITLE, says
from saywhy.plan.series import Candidate
from saywhy.plan.stock import Standing, Stock
from saywhy.plan.wishes.effort import NAMES

MOST_BYTES = 4 * 1024 * 1024
MOST_PUZZLES = 5_000
_ANSWERS = '"granted", "asked", "not-asked" or "refused"'


class PuzzleFields(msgspec.Struct, forbid_unknown_fields=True, kw_only=True):
    """``[[puzzle]]``: a puzzle."""

    name: Annotated[str, says("a name", "tide", "What wishes call it.", min_length=1, max_length=TITLE)]
    title: Annotated[str, says("a title", "Low tide", "As it is shown.", max_length=TITLE)] = ""
    setter: Annotated[str, says("a setter", "gulls", "Its setter.", max_length=TITLE)] = ""
    rules: Annotated[
        list[Annotated[str, Meta(max_length=limits.LONGEST_NAME)]],
        says("a list of rule names", ["arrow"], "Its rules.", max_length=limits.MOST_NAMES),
    ] = msgspec.field(default_factory=list)
    band: Annotated[str, says("a band of effort", "a stroll", "Its effort.", max_length=TITLE)] | None = None
    minutes: Annotated[float, says("a number", 24.0, "Likely length.", ge=0, le=10_000)] | None = None
    received: Annotated[datetime.date, says("a day", "2026-03-01", "When it came.")] | None = None
    permission: Annotated[
        Literal["granted", "asked", "not-asked", "refused"],
        says(_ANSWERS, "granted", "The setter's answer."),
    ] = "granted"


class EpisodeFields(msgspec.Struct, forbid_unknown_fields=True, kw_only=True):
    """``[[episode]]``: an episode that stands already."""

    puzzle: Annotated[str, says("a puzzle's name", "tide", "Its puzzle.", max_length=TITLE)]
    airs: Annotated[datetime.date, says("a day", "2026-11-20", "Its day.")]
    state: Annotated[
        Literal["planned", "recorded", "published"],
        says('"planned", "recorded" or "published"', "published", "How far it has come."),
    ] = "planned"
    pinned: PINNED = False


def read_stock(path: str) -> Stock:
    """
    Read puzzles and episodes from a file.

    Raises:
        UnreadableError: The file cannot be opened or is neither TOML nor JSON.
        NotAllowedError: It says something that is not allowed; all problems at once.
    """
    table = _table(path)
    if "givens" in table:
        mend = "Name a file with [[puzzle]] and [[episode]] tables; docs/plan.md shows one"
        raise NotAllowedError(Problem("this is a puzzle, not a list of puzzles and episodes", mend), path)
    problems: list[Problem] = []
    puzzles = _read(table.pop("puzzle", []), "puzzle", PuzzleFields, problems)
    episodes = _read(table.pop("episode", []), "episode", EpisodeFields, problems)
    table.pop("format", None)
    for name in list(table)[:20]:
        mend = "Write [[puzzle]] and [[episode]] tables, or in JSON lists of these names"
        problems.append(Problem(f"there is no field {plain(name)[:40]!r}", mend, plain(name)[:40]))
    if not puzzles and not problems:
        problems.append(Problem("it holds no puzzle", "Write a [[puzzle]] table for each"))
    _check(puzzles, episodes, problems)
    if problems:
        raise NotAllowedError(problems[: limits.MOST_PROBLEMS], path)
    withheld = {
        name: f"its setter's answer is: {held.permission.replace('-', ' ')}"
        for held in puzzles
        if held.permission != "granted"
        for name in filter(None, (held.name, held.title))
    }
    standing = {held.puzzle for held in episodes if held.state != "planned"}
    return Stock(
        tuple(_candidate(held) for held in puzzles if held.permission == "granted" or held.name in standing),
        withheld,
        tuple(Standing(held.puzzle, held.airs, held.state, held.pinned, held.puzzle) for held in episodes),
    )


def _table(path: str) -> dict[str, Any]:
    text = read_short(path, MOST_BYTES, "the file", "Name a TOML or JSON file of puzzles and episodes")
    try:
        held = json.loads(text) if text.lstrip().startswith("{") else tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        what = f"this is neither TOML nor JSON: {plain(str(error))[:200]}"
        raise UnreadableError(Problem(what, "Write [[puzzle]] and [[episode]] tables"), path) from None
    return dict(held)


def _read(held: object, name: str, kind: type[Any], problems: list[Problem]) -> list[Any]:
    if not isinstance(held, list) or not all(isinstance(one, dict) for one in held):
        problems.append(Problem(f"{name} was expected as a list of tables", f"Write [[{name}]]", name))
        return []
    if len(held) > MOST_PUZZLES:
        problems.append(Problem(f"there are {len(held)}", f"Keep to {MOST_PUZZLES}", name))
        return []
    found = []
    for number, one in enumerate(held, 1):
        fields, wrong = convert(one, kind, f"{name} {number}", lambda _: None)
        problems += wrong
        if fields is not None:
            found.append(fields)
    return found


def _check(puzzles: list[PuzzleFields], episodes: list[EpisodeFields], problems: list[Problem]) -> None:
    names: set[str] = set()
    for held in puzzles:
        where = f"puzzle {plain(held.name)[:40]}"
        if held.name in names:
            problems.append(Problem("two puzzles have this name", "Give each a name of its own", where))
        names.add(held.name)
        if held.band is not None and held.band not in NAMES:
            what = f"{plain(held.band)[:40]!r} is not a band of effort"
            problems.append(Problem(what, f"Write any of {', '.join(NAMES)}", f"{where}, band"))
        for field, text in (("name", held.name), ("title", held.title), ("setter", held.setter)):
            if wrong := wrong_with(text):
                problems.append(Problem(*wrong, f"{where}, {field}"))
    planned: set[str] = set()
    for episode in episodes:
        where = f"episode of {plain(episode.puzzle)[:40]}"
        if episode.puzzle not in names:
            problems.append(Problem("there is no puzzle of this name", "Add it as [[puzzle]]", where))
        if episode.state == "planned" and episode.puzzle in planned:
            problems.append(Problem("it is planned twice", "Keep one of the episodes", where))
        planned |= {episode.puzzle} if episode.state == "planned" else set()


def _candidate(held: PuzzleFields) -> Candidate:
    return Candidate(
        held.name, held.title, held.setter, families(held.rules), held.band, held.minutes, held.received
    )
