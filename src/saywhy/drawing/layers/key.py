"""The key beside the grid: a sample of each mark, the rule's title, and what it says."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from saywhy.drawing.collect import Drawn, of_kind
from saywhy.drawing.geometry import Frame
from saywhy.drawing.key import KeyEntry
from saywhy.drawing.layers import outside
from saywhy.drawing.laying import draw_over, draw_under
from saywhy.drawing.pen import Pen, number
from saywhy.drawing.samples import Sample
from saywhy.drawing.text import BOLD, ITALIC, PLAIN, STRONG, wrapped
from saywhy.shapes import Outside

HEAD = 17.0
TITLE = 15.0
TEXT = 13.5
LEADING = 17.5
GAP = 15.0
SAMPLE = 96.0
GUTTER = 28.0
MOST_LINES = 6
#: Widths of a column and how many stand side by side, tried in turn.
SHAPES = ((1, 288.0), (1, 330.0), (2, 272.0), (2, 320.0), (3, 300.0))


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

    columns: tuple[tuple[tuple[KeyEntry, tuple[str, ...]], ...], ...]
    width: float
    head: tuple[str, ...]
    height: float

    @property
    def whole(self) -> float:
        """Width of all columns with the gutters between them."""
        return len(self.columns) * (self.width + GUTTER) - GUTTER


def setting(entries: Sequence[KeyEntry], ground: str, room: float) -> Setting:
    """Set a key, in the first shape that is no taller than ``room``, or the lowest if all are."""
    tried = []
    for count, width in SHAPES:
        made = _set(entries, ground, count, width)
        if made.height <= room:
            return made
        tried.append(made)
    return min(tried, key=lambda made: made.height)


def _set(entries: Sequence[KeyEntry], ground: str, count: int, width: float) -> Setting:
    head = tuple(wrapped(ground, ITALIC, TEXT + 1, width, 3))
    top = 30 + len(head) * (LEADING + 1) + GAP
    set_entries = [
        (entry, tuple(wrapped(entry.text, PLAIN, TEXT, width - SAMPLE, MOST_LINES))) for entry in entries
    ]
    heights = [_height(lines) for _, lines in set_entries]
    best: tuple[float, list[int]] | None = None
    # The fewest whole heights at which the entries fit into the columns in order.
    for limit in sorted(
        {sum(heights[a:b]) for a in range(len(heights)) for b in range(a + 1, len(heights) + 1)}
    ):
        cuts, column, used = [0], 1, top if count > 1 else 0.0
        used = 0.0
        for place, height in enumerate(heights):
            bound = limit - (top if column == 1 and count > 1 else 0)
            if used + height > bound + 1e-6 and used:
                column, used = column + 1, 0.0
                cuts.append(place)
            used += height
        if (
            column <= count
            and (not cuts[1:] or True)
            and _fits(heights, cuts, limit, top if count > 1 else 0)
        ):
            best = (limit, cuts)
            break
    cuts = best[1] if best else [0]
    parts = [tuple(set_entries[a:b]) for a, b in zip(cuts, [*cuts[1:], len(set_entries)], strict=True)]
    tall = max(
        (
            sum(_height(lines) for _, lines in part) + (top if place == 0 else 0)
            for place, part in enumerate(parts)
        ),
        default=top,
    )
    return Setting(tuple(parts), width, head, tall)


def _fits(heights: Sequence[float], cuts: Sequence[int], limit: float, top: float) -> bool:
    bounds = [*cuts[1:], len(heights)]
    return all(
        sum(heights[a:b]) <= limit - (top if place == 0 else 0) + 1e-6
        for place, (a, b) in enumerate(zip(cuts, bounds, strict=True))
    )


def _height(lines: Sequence[str]) -> float:
    return max(20 + LEADING * len(lines), 46) + GAP


def draw(pen: Pen, made: Setting, left: float, top: float) -> None:
    """Draw a key that is set."""
    with pen.group("layer key"):
        pen.text((left, top + 14), "The rules", BOLD, HEAD, anchor="start", centred=False, name="key-head")
        pen.path(
            f"M{number(left)} {number(top + 23)}h{number(made.width)}",
            stroke="ink",
            width=0.9,
            name="key-rule",
        )
        y = top + 30
        for line in made.head:
            y += LEADING + 1
            pen.text(
                (left, y - 4),
                line,
                ITALIC,
                TEXT + 1,
                fill="ink",
                anchor="start",
                centred=False,
                name="ground",
            )
        y += GAP
        for place, column in enumerate(made.columns):
            x = left + place * (made.width + GUTTER)
            at = y if place == 0 else top
            for entry, lines in column:
                with pen.group("key-entry", rule=entry.rule):
                    _entry(pen, entry, lines, x, at)
                at += _height(lines)


def _entry(pen: Pen, entry: KeyEntry, lines: Sequence[str], x: float, y: float) -> None:
    tall = _height(lines) - GAP
    draw_sample(pen, entry.sample, x, y + min(tall, 58) / 2, SAMPLE - 14)
    left = x + SAMPLE
    pen.text((left, y + 13), entry.title, STRONG, TITLE, anchor="start", centred=False, name="key-title")
    for place, line in enumerate(lines):
        at = (left, y + 13 + LEADING * (place + 1))
        pen.text(at, line, PLAIN, TEXT, fill="soft", anchor="start", centred=False, name="key-text")


def draw_sample(pen: Pen, held: Sample, left: float, middle: float, width: float) -> None:
    """Draw a sample, its own middle at half the width and on the given height."""
    drawn = [Drawn(shape, "sample") for shape in held.shapes]
    texts = of_kind(drawn, Outside)
    spread = held.columns + (0.9 if texts else 0)
    unit = min(width / spread, 36.0 if held.rows == 1 else 50 / held.rows)
    if texts:
        unit = 34.0
    x = left + (width - held.columns * unit) / 2
    y = middle - held.rows * unit / 2
    if texts:
        diagonal = any(text.down and text.right for _, text in texts)
        x += 0.42 * unit
        y += 0.38 * unit if diagonal else 0
    frame = Frame(held.columns, held.rows, unit, x, y)
    with pen.group("sample"):
        draw_under(pen, frame, drawn)
        rules = "".join(
            f"M{number(frame.at(row, 0)[0])} {number(frame.at(row, 0)[1])}h{number(frame.width)}"
            for row in range(held.rows + 1)
        ) + "".join(
            f"M{number(frame.at(0, column)[0])} {number(frame.top)}v{number(frame.height)}"
            for column in range(held.columns + 1)
        )
        pen.path(rules, stroke="rule", width=0.9, name="fine", stroke_linecap="square")
        draw_over(pen, frame, drawn)
        outside.draw(pen, frame, outside.slots(texts, held.columns))
