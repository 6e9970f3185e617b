"""The key beside the grid: a sample of each mark, the rule's title, and what it says."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from saywhy.drawing.collect import Drawn, of_kind
from saywhy.drawing.geometry import Frame
from saywhy.drawing.key import KeyEntry
from saywhy.drawing.layers import outside
from saywhy.drawing.laying import draw_over, draw_under
from saywhy.drawing.pen import Pen, number
from saywhy.drawing.samples import Sample
from saywhy.drawing.text import BOLD, ITALIC, PLAIN, STRONG, typeset, wrapped
from saywhy.language import ENGLISH, Language
from saywhy.shapes import Outside

HEAD = 18.0
TITLE = 15.5
TEXT = 14.0
LEADING = 18.0
GAP = 15.0
#: Width of a sample and of the gap between it and the words.
SAMPLE = 84.0
CLEAR = 16.0
LEAST_HEIGHT = 44.0
#: Tallest sample, and widest cell in one.
TALLEST = 58.0
CELL = 38.0
GUTTER = 30.0
MOST_LINES = 8
#: How many columns of what width, tried in turn until the key is no taller than it may be.
SHAPES = ((1, 292.0), (1, 336.0), (2, 276.0), (2, 310.0))

Entry = tuple[KeyEntry, tuple[str, ...]]


@dataclass(frozen=True)
class Setting:
    """
    A key set in columns.

    Attributes:
        columns: Entries of each column with their lines of text.
        width: Width of one column.
        head: Lines of the ground rule.
        height: Height of the whole.
    """

    columns: tuple[tuple[Entry, ...], ...]
    width: float
    head: tuple[str, ...]
    height: float

    @property
    def whole(self) -> float:
        """Width of all columns with the gutters between them."""
        return len(self.columns) * (self.width + GUTTER) - GUTTER


def setting(entries: Sequence[KeyEntry], ground: str, room: float) -> Setting:
    """Set a key in the first shape that is no taller than ``room``, or in the lowest if all are taller."""
    tried = []
    for count, width in SHAPES:
        tried.append(_set(entries, ground, count, width))
        if tried[-1].height <= room:
            return tried[-1]
    return min(tried, key=lambda made: made.height)


def _set(entries: Sequence[KeyEntry], ground: str, count: int, width: float) -> Setting:
    head = tuple(wrapped(ground, ITALIC, TEXT + 1, width, 3))
    set_entries = [
        (entry, tuple(wrapped(typeset(entry.text), PLAIN, TEXT, width - SAMPLE - CLEAR, MOST_LINES)))
        for entry in entries
    ]
    heights = [_height(held) + GAP for held in set_entries]
    # Where the second column begins: the cut that leaves the whole lowest.
    cuts = range(len(entries) + 1) if count == 2 else [len(entries)]
    cut = min(cuts, key=lambda place: (_tall(heights, head, place), -place))
    columns = (tuple(set_entries[:cut]), tuple(set_entries[cut:])) if count == 2 else (tuple(set_entries),)
    return Setting(columns, width, head, _tall(heights, head, cut))


def _tall(heights: Sequence[float], head: Sequence[str], cut: int) -> float:
    return max(_top(head) + sum(heights[:cut]), sum(heights[cut:])) - GAP


def _top(head: Sequence[str]) -> float:
    """Give where the first entry begins."""
    return 32 + len(head) * (LEADING + 1) + GAP


def _height(held: Entry) -> float:
    entry, lines = held
    return max(TITLE + LEADING * len(lines), LEAST_HEIGHT, _fitted(entry.sample).size[1])


def draw(pen: Pen, made: Setting, left: float, top: float, language: Language = ENGLISH) -> None:
    """Draw a key that is set; its upper edge is the top of the first line's capitals."""
    pen.text(
        (left, top + 14),
        language.say("The rules"),
        BOLD,
        HEAD,
        anchor="start",
        centred=False,
        name="key-head",
    )
    rule = f"M{number(left)} {number(top + 24)}h{number(made.width)}"
    pen.path(rule, stroke="ink", width=0.9, name="key-rule")
    for place, line in enumerate(made.head, 1):
        at = (left, top + 28 + place * (LEADING + 1))
        pen.text(at, line, ITALIC, TEXT + 1, anchor="start", centred=False, name="ground")
    for place, column in enumerate(made.columns):
        x = left + place * (made.width + GUTTER)
        y = top + (_top(made.head) if place == 0 else 0)
        for entry, lines in column:
            with pen.group("key-entry", rule=entry.rule):
                _draw_entry(pen, entry, lines, x, y)
            y += _height((entry, lines)) + GAP


def _draw_entry(pen: Pen, entry: KeyEntry, lines: Sequence[str], x: float, y: float) -> None:
    draw_sample(pen, entry.sample, x, y)
    left = x + SAMPLE + CLEAR
    pen.text((left, y + 12), entry.title, STRONG, TITLE, anchor="start", centred=False, name="key-title")
    for place, line in enumerate(lines, 1):
        at = (left, y + 12 + LEADING * place)
        pen.text(at, line, PLAIN, TEXT, fill="soft", anchor="start", centred=False, name="key-text")


@dataclass(frozen=True)
class Fitted:
    """
    A sample laid into its field.

    Attributes:
        drawn: Its shapes.
        slots: Its texts outside the grid.
        unit: Width of a cell.
        size: Width and height of the whole.
        before: Left and upper edge of the grid within it.
    """

    drawn: tuple[Drawn, ...]
    slots: tuple[outside.Slot, ...]
    unit: float
    size: tuple[float, float]
    before: tuple[float, float]


@lru_cache(maxsize=256)
def _fitted(held: Sample) -> Fitted:
    drawn = tuple(Drawn(shape, "sample") for shape in held.shapes)
    slots = tuple(outside.slots(of_kind(drawn, Outside), held.columns))
    above, right, below, left = outside.margins(slots, held.columns) if slots else (0.0, 0.0, 0.0, 0.0)
    across, tall = held.columns + left + right, held.rows + above + below
    unit = min(SAMPLE / across, CELL, TALLEST / tall)
    return Fitted(drawn, slots, unit, (across * unit, tall * unit), (left * unit, above * unit))


def draw_sample(pen: Pen, held: Sample, left: float, top: float) -> None:
    """Draw a sample in the middle of its field, whose upper left corner is given."""
    made = _fitted(held)
    x = left + (SAMPLE - made.size[0]) / 2 + made.before[0]
    y = top + max(LEAST_HEIGHT - made.size[1], 0) / 2 + made.before[1]
    frame = Frame(held.columns, held.rows, made.unit, x, y)
    with pen.group("sample"):
        for place, cell in enumerate(held.cells):
            corner = frame.corner(cell)
            side = f"M{number(corner[0])} {number(corner[1])}h{number(made.unit)}v{number(made.unit)}"
            pen.path(f"{side}h-{number(made.unit)}Z", fill="rule" if place else "ink", name="example")
        draw_under(pen, frame, made.drawn)
        rules = "".join(
            f"M{number(x)} {number(frame.at(row, 0)[1])}h{number(frame.width)}"
            for row in range(held.rows + 1)
        ) + "".join(
            f"M{number(frame.at(0, column)[0])} {number(y)}v{number(frame.height)}"
            for column in range(held.columns + 1)
        )
        pen.path(rules, stroke="rule", width=0.9, name="fine", stroke_linecap="square")
        draw_over(pen, frame, made.drawn)
        outside.draw(pen, frame, made.slots)
