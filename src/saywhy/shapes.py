"""
What a rule asks to have drawn: shapes with a named texture and a numbered ink, never a colour.

Lines are told apart by texture, weight and end-caps first and by ink second. Lengths are in cell
widths; the drawing turns inks into the colours of its theme. A cell's centre is the anchor of
everything that names a cell.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Texture(StrEnum):
    """How a line or an area is filled."""

    SOLID = "solid"
    DOUBLE = "double"
    DASHED = "dashed"
    DOTTED = "dotted"
    BEADED = "beaded"
    HATCHED = "hatched"
    LADDER = "ladder"
    ZIGZAG = "zigzag"
    CHECKED = "checked"
    BARRED = "barred"


class Cap(StrEnum):
    """How a line ends."""

    NONE = "none"
    ROUND = "round"
    SQUARE = "square"
    OPEN_ROUND = "open-round"
    OPEN_SQUARE = "open-square"
    BULB = "bulb"
    TIP = "tip"
    FORK = "fork"
    BAR = "bar"
    DIAMOND = "diamond"
    CIRCLE = "circle"


class Weight(StrEnum):
    """How broad a line is."""

    FINE = "fine"
    MEDIUM = "medium"
    BROAD = "broad"


@dataclass(frozen=True)
class Line:
    """A line through cell centres; ``start`` and ``end`` are drawn at its first and last cell."""

    cells: tuple[int, ...]
    texture: Texture = Texture.SOLID
    weight: Weight = Weight.MEDIUM
    ink: int = 1
    start: Cap = Cap.NONE
    end: Cap = Cap.NONE


@dataclass(frozen=True)
class Ring:
    """A circle around one cell's digit, or one long pill around several cells in a row."""

    cells: tuple[int, ...]
    ink: int = 1
    dashed: bool = False


@dataclass(frozen=True)
class Sign:
    """
    A small sign in one cell's corner region or centre, behind the digit.

    Attributes:
        kind: ``disc``, ``square``, ``down`` (a hollow pointing inwards) or ``up``.
    """

    cell: int
    kind: str
    ink: int = 1


@dataclass(frozen=True)
class Edge:
    """
    A mark on the border of two orthogonal neighbours.

    Attributes:
        kind: ``open`` or ``filled`` (a dot, with text in it if any), ``text`` (letters or a number
            on a small plate), or ``less`` (a wedge whose point is at ``a``).
        text: What stands in it; may be empty.
    """

    a: int
    b: int
    kind: str
    text: str = ""


@dataclass(frozen=True)
class Corner:
    """A plate with text on the corner where four cells meet."""

    cells: tuple[int, int, int, int]
    text: str


@dataclass(frozen=True)
class Area:
    """
    An area of cells.

    Attributes:
        outline: Texture of its border, drawn just inside the cells' edges; None for no border.
        fill: Texture of its surface; None for no fill.
        label: A small text in the corner of its first cell in reading order.
    """

    cells: tuple[int, ...]
    outline: Texture | None = Texture.DASHED
    fill: Texture | None = None
    ink: int = 1
    label: str = ""


@dataclass(frozen=True)
class Outside:
    """
    A text outside the grid, beside ``cell``.

    Attributes:
        cell: The first cell that it looks at.
        down: -1, 0 or 1: the direction in which it looks, rows.
        right: -1, 0 or 1: the direction in which it looks, columns.
        text: The printed text.
        pointer: Whether a small pointer shows the direction (always so for diagonals).
        kind: Name of its plate, so that two outside rules on one board are told apart:
            ``plain``, ``boxed``, ``round``, ``bracket``, ``underlined`` or ``double``.
    """

    cell: int
    down: int
    right: int
    text: str
    pointer: bool = False
    kind: str = "plain"


@dataclass(frozen=True)
class Diagonal:
    """A line from corner to corner of the grid."""

    falling: bool


Shape = Line | Ring | Sign | Edge | Corner | Area | Outside | Diagonal
