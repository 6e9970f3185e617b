"""A sample of each rule's mark for the key: the clue's own shapes, moved onto a strip of a few cells."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from saywhy.shapes import Area, Corner, Diagonal, Edge, Line, Outside, Ring, Shape, Sign


@dataclass(frozen=True)
class Sample:
    """
    A small board with one mark.

    Attributes:
        columns: Cells across.
        rows: Cells down.
        shapes: What is drawn, on these cells.
        cells: Cells that a rule without a mark speaks of, the first being the one it is told from.
    """

    columns: int
    rows: int
    shapes: tuple[Shape, ...]
    cells: tuple[int, ...] = ()


def example(cells: Sequence[int], size: int) -> Sample:
    """Give the sample of a rule without a mark: its example, close up if it is small enough."""
    places = [divmod(cell, size) for cell in cells]
    moves = [(row - places[0][0], column - places[0][1]) for row, column in places]
    if all(max(abs(down), abs(right)) <= 2 for down, right in moves):
        return Sample(5, 5, (), tuple((2 + down) * 5 + 2 + right for down, right in moves))
    return Sample(size, size, (), tuple(cells))


def sample(shapes: Sequence[Shape]) -> Sample:
    """Give the sample of a clue's shapes; an empty grid where it draws nothing."""
    for kind, make in _MAKERS:
        if any(isinstance(shape, kind) for shape in shapes):
            return make(shapes)
    return Sample(3, 3, ())


def _of_line(shapes: Sequence[Shape]) -> Sample:
    line = max((s for s in shapes if isinstance(s, Line)), key=lambda s: len(s.cells))
    pills = [s for s in shapes if isinstance(s, Ring) and len(s.cells) > 1]
    columns = 4 if pills else 3
    spots = {cell: min(place, 1) for place, cell in enumerate(line.cells)}
    spots[line.cells[-1]] = columns - 1
    begin = 0
    for pill in pills:
        # A pill stands at the line's beginning, whether the line runs through it or starts at its end.
        spots |= {cell: min(place, 1) for place, cell in enumerate(pill.cells)}
        begin = 0 if line.cells[0] == pill.cells[0] else 1
    moved: list[Shape] = [replace(line, cells=tuple(range(begin, columns)))]
    for shape in shapes:
        if isinstance(shape, Ring):
            cells = tuple(sorted({spots[cell] for cell in shape.cells if cell in spots}))
            if cells:
                moved.append(replace(shape, cells=cells))
        elif isinstance(shape, Sign) and shape.cell in spots:
            moved.append(replace(shape, cell=spots[shape.cell]))
        elif isinstance(shape, Area) and shape.cells[0] in spots:
            moved.append(replace(shape, cells=(spots[shape.cells[0]],)))
    return Sample(columns, 1, tuple(dict.fromkeys(moved)))


def _of_area(shapes: Sequence[Shape]) -> Sample:
    areas = [s for s in shapes if isinstance(s, Area)]
    if len(areas) == 1:
        return Sample(3, 1, (replace(areas[0], cells=(0, 1, 2)),))
    return Sample(
        3, 1, tuple(replace(area, cells=(cell,)) for area, cell in zip(areas, (0, 2), strict=False))
    )


def _of_corner(shapes: Sequence[Shape]) -> Sample:
    corner = next(s for s in shapes if isinstance(s, Corner))
    return Sample(2, 2, (replace(corner, cells=(0, 1, 2, 3)),))


def _of_edge(shapes: Sequence[Shape]) -> Sample:
    edge = next(s for s in shapes if isinstance(s, Edge))
    return Sample(2, 1, (replace(edge, a=0, b=1),))


def _of_outside(shapes: Sequence[Shape]) -> Sample:
    text = next(s for s in shapes if isinstance(s, Outside))
    slanting = bool(text.down and text.right)
    return Sample(1, 1, (replace(text, cell=0, down=int(slanting), right=1),))


def _of_diagonal(shapes: Sequence[Shape]) -> Sample:
    return Sample(4, 4, tuple(s for s in shapes if isinstance(s, Diagonal)))


def _of_cell(shapes: Sequence[Shape]) -> Sample:
    held: list[Shape] = []
    for shape in shapes:
        if isinstance(shape, Sign):
            held.append(replace(shape, cell=0))
        elif isinstance(shape, Ring):
            held.append(replace(shape, cells=(0,)))
    return Sample(1, 1, tuple(dict.fromkeys(held)))


_MAKERS: tuple[tuple[type[Shape], Callable[[Sequence[Shape]], Sample]], ...] = (
    (Line, _of_line),
    (Area, _of_area),
    (Corner, _of_corner),
    (Edge, _of_edge),
    (Outside, _of_outside),
    (Diagonal, _of_diagonal),
    (Sign, _of_cell),
    (Ring, _of_cell),
)
