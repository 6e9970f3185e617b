"""
The catalogue of published texts: one TOML file a language.

A file of another language has ``language``, ``[texts]`` with the names of ``en.toml``, ``[board]`` with those
of the board's own table, and ``[sentences]``: what rules and descriptions of boards say, by their English.
``python -m saywhy.publishing.messages PUZZLE...`` prints the English of all of it as such a file.
"""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from pathlib import Path

from saywhy import board
from saywhy.drawing.alt_text import PATTERNS
from saywhy.drawing.key import ground_rule
from saywhy.errors import NotAllowedError, Problem, UnreadableError
from saywhy.files.texts import read_short
from saywhy.language import ENGLISH, Language, pattern
from saywhy.puzzle import Puzzle
from saywhy.rules import placed
from saywhy.rules_text import ground_spoken, ground_written

MOST_BYTES = 1024 * 1024
#: Where the board's module of words begins and ends its table.
_TABLE = re.compile(r"(?<=^const WORDS = )\{.*?^\}(?=;$)", re.MULTILINE | re.DOTALL)
_FIELD = re.compile(r"\{\w*\}")
_WORDS = "#app/board/words.js"


@dataclass(frozen=True, eq=False)
class Catalogue:
    """
    All published texts of one language.

    Attributes:
        texts: The pack's own, by name.
        board: The board's, by name.
        language: How rules and descriptions are said.
    """

    texts: Mapping[str, str]
    board: Mapping[str, str]
    language: Language

    @property
    def code(self) -> str:
        """The language's tag."""
        return self.language.code

    def board_module(self) -> tuple[str, str]:
        """Give the name and the source of the board's module of words in this language."""
        table = json.dumps(dict(self.board), ensure_ascii=False, indent=2).replace("</", "<\\/")
        return _WORDS, _TABLE.sub(lambda _: table, _board_source())


def _board_source() -> str:
    return board.files()["board/words.js"].decode()


@cache
def english() -> Catalogue:
    """Give the catalogue that ships."""
    source = resources.files(__name__).joinpath("en.toml").read_text(encoding="utf-8")
    table = _TABLE.search(_board_source())
    assert table is not None, "the board's table of words is JSON"
    return Catalogue(tomllib.loads(source)["texts"], json.loads(table[0]), ENGLISH)


def read(path: Path) -> Catalogue:
    """
    Read the catalogue of another language.

    Raises:
        UnreadableError: The file cannot be read, or is not TOML.
        NotAllowedError: A text is missing, unknown, or has other fields than the English one; all at once.
    """
    text = read_short(path, MOST_BYTES, "the catalogue", "Name a TOML file of texts")
    try:
        held = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        what = f"the catalogue is not TOML: {error}"
        raise UnreadableError(Problem(what, "Name a TOML file of texts"), str(path)) from None
    code = held.get("language")
    problems = []
    if not isinstance(code, str) or not re.fullmatch(r"[A-Za-z]{2,8}(-[A-Za-z0-9]{1,8}){0,4}", code):
        problems.append(Problem("the language has no tag", 'Write language = "de", say', "language"))
    original = english()
    for table, wanted in (("texts", original.texts), ("board", original.board)):
        problems += _wrong(table, held.get(table), wanted)
    problems += _wrong("sentences", held.get("sentences"), {name: name for name in PATTERNS}, more=True)
    if problems:
        raise NotAllowedError(problems, str(path))
    return Catalogue(held["texts"], held["board"], Language(str(code), held["sentences"]))


def _wrong(table: str, held: object, wanted: Mapping[str, str], *, more: bool = False) -> list[Problem]:
    if not isinstance(held, dict) or not all(isinstance(text, str) for text in held.values()):
        return [Problem(f"[{table}] is not a table of texts", "Write name = text, one a line", table)]
    found = [
        Problem(f"{name!r} is missing", f"Its English is {text!r}", table)
        for name, text in wanted.items()
        if name not in held
    ]
    if not more:
        unknown = sorted(set(held) - set(wanted))
        found += [Problem(f"there is no text {name[:60]!r}", "Leave it out", table) for name in unknown]
    for name, text in held.items():
        fields = set(_FIELD.findall(wanted.get(name, name if more else "")))
        if name in wanted or more:
            strange = sorted(set(_FIELD.findall(text)) - fields)
            found += [Problem(f"{name[:60]!r} has no field {one}", "Take it out", table) for one in strange]
    return found


def sentences(puzzles: Iterable[Puzzle]) -> dict[str, None]:
    """Give, in order, every English sentence that these puzzles' rules and descriptions are made of."""
    found: dict[str, None] = dict.fromkeys(PATTERNS)
    for puzzle in puzzles:
        rules = placed(puzzle)
        grounds = (ground_written(puzzle.grid), ground_spoken(puzzle.grid), ground_rule(puzzle))
        found |= dict.fromkeys(map(pattern, grounds))
        for rule in (*rules.grid_wide.values(), *rules.clues):
            said = rule.phrases
            found |= dict.fromkeys(map(pattern, (rule.title, said.spoken, said.written)))
    return found


def blank(puzzles: Iterable[Puzzle]) -> str:
    """Give the English of everything, as a file of texts to be translated."""

    def lines(table: Mapping[str, str]) -> str:
        quoted = {name: json.dumps(text, ensure_ascii=False) for name, text in table.items()}
        return "".join(f"{json.dumps(name, ensure_ascii=False)} = {text}\n" for name, text in quoted.items())

    held = english()
    said = {name: name for name in sentences(puzzles)}
    tables = {"texts": held.texts, "board": held.board, "sentences": said}
    return 'language = "en"\n' + "".join(f"\n[{name}]\n{lines(table)}" for name, table in tables.items())
