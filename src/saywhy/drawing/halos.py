"""
How much paper a digit keeps around itself: more where full ink runs beneath it than where a pale tint does.

Over a line in full ink the halo is as wide as the hollows of an 8 or a 5 need, so that no scrap of the line
stays inside the figure; over tints a narrow one parts the figure from what lies around it and no more.
"""

from __future__ import annotations

from collections.abc import Sequence

from saywhy.drawing.collect import Drawn, of_kind
from saywhy.drawing.textures import body
from saywhy.grid import Grid
from saywhy.shapes import Area, Cap, Diagonal, Line, Ring, Sign

#: Reach of a halo beyond the figure, in cell widths: over pale tints and in rings, and over full ink.
NARROW, WIDE = 0.045, 0.095
#: Ends with a narrow halo: those that hold the digit, and those of which a wide one would leave too little.
_NARROW_AT = frozenset({Cap.BULB, Cap.CIRCLE, Cap.DIAMOND, Cap.TIP, Cap.FORK, Cap.BAR})


def halos(drawn: Sequence[Drawn], grid: Grid) -> dict[int, float]:
    """
    Give the halo of each cell with something under its digit.

    Returns:
        Reach beyond the figure by cell, in cell widths; cells with nothing under the digit are not in it.
    """
    rings = {(item.clue, item.rule, cell) for item, held in of_kind(drawn, Ring) for cell in held.cells}
    found: dict[int, float] = {}

    def keep(cell: int, reach: float) -> None:
        found[cell] = max(reach, found.get(cell, 0.0))

    for item in drawn:
        match item.shape:
            case Line(cells=cells, start=start, end=end) as line:
                ends = {cells[0]: start, cells[-1]: end}
                for cell in cells:
                    near = cell in ends and (
                        ends[cell] in _NARROW_AT or (item.clue, item.rule, cell) in rings
                    )
                    keep(cell, NARROW if near or _pale(line) else WIDE)
            case Ring(cells=cells):
                for cell in cells:
                    keep(cell, NARROW)
            case Area(cells=cells, fill=fill) if fill is not None:
                for cell in cells:
                    keep(cell, NARROW)
            case Sign(cell=cell):
                keep(cell, NARROW)
            case Diagonal(falling=falling):
                for k in range(grid.size):
                    keep(k * grid.size + (k if falling else grid.size - 1 - k), WIDE)
            case _:
                pass
    return found


def _pale(line: Line) -> bool:
    """Say whether a line is a band of tint."""
    return (body(line.texture, line.weight, line.ink, 1).filling or "").startswith("tint")
