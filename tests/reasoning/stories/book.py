"""
The book of stories: what is known, what follows, and the exact words for it.

A story is a heading, a ``toml`` block and three quoted lines: spoken, written, brief. The block holds a
puzzle's clues as in a puzzle file and a ``[step]``: its idea, the houses and rules it uses, its facts (a
cell and the digits left to it; one digit is a digit on the board), what it places and what it rules out.
A what-if has ``[[step.story]]`` with its inner steps.

``python -m tests.reasoning.stories.book`` writes the words of today into every story; read the difference.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from saywhy.engine.constraints import Source
from saywhy.files import read_text
from saywhy.primitives import mask
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Reason, Step, Told
from saywhy.reasoning.words import Teller

HERE = Path(__file__).parent

_STORY = re.compile(
    r"## (?P<title>[^\n]+)\n\n```toml\n(?P<block>.*?)```\n\n(?P<words>(?:>[^\n]*\n)+)", re.DOTALL
)


@dataclass(frozen=True)
class Story:
    """
    One story.

    Attributes:
        file: Its file's name without ending.
        title: Its heading.
        block: The text of its ``toml`` block.
        spoken: The words expected.
        written: The same with coordinates.
        brief: The same in short.
    """

    file: str
    title: str
    block: str
    spoken: str
    written: str
    brief: str

    @property
    def name(self) -> str:
        """What a test is called by."""
        return f"{self.file}: {self.title}"


def stories() -> list[Story]:
    """Give all stories, file by file."""
    return [story for path in sorted(HERE.glob("*.md")) for story in _read(path)]


def _read(path: Path) -> Iterator[Story]:
    for found in _STORY.finditer(path.read_text(encoding="utf-8")):
        lines = [line.removeprefix("> ") for line in found["words"].splitlines() if line.strip(" >")]
        spoken, written, brief = lines
        yield Story(path.stem, found["title"], found["block"], spoken, written, brief)


def frame_and_step(story: Story) -> tuple[Frame, Position, Step]:
    """Give a story's puzzle, the position of its facts, and its step."""
    text, _, after = story.block.partition("[step]")
    (puzzle,) = read_text("format = 1\n" + text)
    frame = Frame(puzzle)
    step = _step(frame, tomllib.loads("[step]" + after)["step"])
    position = Position(frame)
    for cell, digits in step.reason.facts.items():
        if digits & (digits - 1):
            position.remove({cell: frame.full & ~digits})
        else:
            position.place(cell, digits.bit_length())
    return frame, position, step


def told(story: Story) -> Told:
    """Give the words of today for a story."""
    frame, position, step = frame_and_step(story)
    return Teller(frame).tell(position, step)


def _step(frame: Frame, table: Mapping[str, Any]) -> Step:
    names = {source.name: source for _, source in frame.houses}
    sources = {names[name] for name in table.get("houses", [])}
    sources |= {Source("rule", list(frame.wide).index(name), name) for name in table.get("rules", [])}
    sources |= {frame.clue_source(index) for index in table.get("clues", range(len(frame.clues)))}
    places = {cell: digits.bit_length() for cell, digits in _cells(frame, table.get("places", []))}
    house = table.get("house")
    suppose = dict(_cells(frame, [table["suppose"]])) if "suppose" in table else {}
    return Step(
        table["idea"],
        Reason(frozenset(sources), dict(_cells(frame, table.get("facts", [])))),
        places=places,
        removes=dict(_cells(frame, table.get("removes", []))),
        house=next((i for i, (h, _) in enumerate(frame.houses) if h.name == house), None) if house else None,
        digits=mask(table.get("digits", [])),
        focus=frame.grid.cell(table["focus"]) if "focus" in table else None,
        suppose=next(iter(suppose.items()), None),
        story=tuple(_step(frame, inner) for inner in table.get("story", [])),
        breaks=table.get("breaks", False),
    )


def _cells(frame: Frame, lines: list[str]) -> Iterator[tuple[int, int]]:
    """Read ``r1c2 3 4``: a cell and digits."""
    for line in lines:
        cell, *digits = line.split()
        yield frame.grid.cell(cell), mask(int(digit) for digit in digits)


def refresh() -> int:
    """Write the words of today into every story; give the number of stories that changed."""
    changed = 0
    for path in sorted(HERE.glob("*.md")):
        text = path.read_text(encoding="utf-8")
        for story in list(_read(path)):
            now = told(story)
            if (now.text, now.written, now.brief) != (story.spoken, story.written, story.brief):
                changed += 1
                before = f"> {story.spoken}\n>\n> {story.written}\n>\n> {story.brief}\n"
                after = f"> {now.text}\n>\n> {now.written}\n>\n> {now.brief}\n"
                text = text.replace(story.block + "```\n\n" + before, story.block + "```\n\n" + after)
        path.write_text(text, encoding="utf-8")
    return changed


if __name__ == "__main__":
    print(f"{refresh()} of {len(stories())} stories have other words now")
