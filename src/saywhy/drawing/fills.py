"""Surfaces of cells by texture, drawn as plain geometry cut to the cell: no patterns, no clips, no ids."""

from __future__ import annotations

from collections.abc import Iterable

from saywhy.drawing.geometry import Frame
from saywhy.drawing.pen import Pen, number, polyline, ring
from saywhy.shapes import Texture

#: Lines of a texture to a cell; whole numbers, so that textures run on from cell to cell.
LINES = 5
THIN = 0.017


def draw_fill(pen: Pen, frame: Frame, cells: Iterable[int], texture: Texture, ink: int) -> None:
    """Fill cells with a texture in an ink."""
    held = sorted(set(cells))
    unit = frame.unit
    colour = f"ink-{ink}"
    corners = [frame.corner(cell) for cell in held]
    wash = "".join(_block(x, y, unit, unit) for x, y in corners)
    step = unit / LINES
    thin = max(THIN * unit, 0.7)
    match texture:
        case Texture.SOLID:
            pen.path(wash, fill=f"tint-{ink}", name="fill-solid")
        case Texture.HATCHED:
            data = "".join(slanted(x, y, unit, LINES) for x, y in corners)
            pen.path(data, stroke=colour, width=thin, name="fill-hatched")
        case Texture.DOUBLE:
            data = "".join(slanted(x, y, unit, 3) + slanted(x, y, unit, 3, 0.22) for x, y in corners)
            pen.path(data, stroke=colour, width=thin, name="fill-double")
        case Texture.DASHED:
            data = "".join(slanted(x, y, unit, LINES) for x, y in corners)
            dash = f"{0.1 * unit:.2f} {0.0725 * unit:.2f}"
            pen.path(data, stroke=colour, width=thin, name="fill-dashed", stroke_dasharray=dash)
        case Texture.DOTTED | Texture.BEADED:
            hollow = texture is Texture.BEADED
            radius = (0.042 if hollow else 0.026) * unit
            dots = "".join(
                ring((x + (i + 0.5) * step, y + (j + 0.5) * step), radius)
                for x, y in corners
                for i in range(LINES)
                for j in range(LINES)
                if not hollow or (i + j) % 2 == 0
            )
            if hollow:
                pen.path(dots, stroke=colour, width=thin, name="fill-beaded")
            else:
                pen.path(dots, fill=colour, name="fill-dotted")
        case Texture.CHECKED:
            small = unit / 6
            blocks = "".join(
                _block(x + i * small, y + j * small, small, small)
                for x, y in corners
                for i in range(6)
                for j in range(6)
                if (i + j) % 2
            )
            pen.path(blocks, fill=f"tint-{ink}", name="fill-checked")
        case Texture.BARRED:
            data = "".join(
                f"M{number(x)} {number(y + (k + 0.5) * step)}h{number(unit)}"
                for x, y in corners
                for k in range(LINES)
            )
            pen.path(data, stroke=colour, width=thin, name="fill-barred")
        case Texture.LADDER:
            data = "".join(
                f"M{number(x + (k + 0.5) * step)} {number(y)}v{number(unit)}"
                for x, y in corners
                for k in range(LINES)
            )
            pen.path(data, stroke=colour, width=thin, name="fill-ladder")
        case Texture.ZIGZAG:
            data = "".join(_waves(x, y, unit, step) for x, y in corners)
            pen.path(data, stroke=colour, width=thin, name="fill-zigzag")


def slanted(x: float, y: float, unit: float, lines: int, shift: float = 0) -> str:
    """Give rising slanted lines across a cell, cut to it; they run on into the neighbours."""
    data = ""
    for k in range(2 * lines):
        way = (k + shift) / lines
        if way <= 0:
            continue
        a = (x + min(way, 1) * unit, y + max(way - 1, 0) * unit)
        b = (x + max(way - 1, 0) * unit, y + min(way, 1) * unit)
        data += polyline([b, a])
    return data


def _block(x: float, y: float, width: float, height: float) -> str:
    return f"M{number(x)} {number(y)}h{number(width)}v{number(height)}h-{number(width)}Z"


def _waves(x: float, y: float, unit: float, step: float) -> str:
    data = ""
    for k in range(LINES):
        middle = y + (k + 0.5) * step
        points = [(x, middle)]
        for wave in range(4):
            left = x + wave * unit / 4
            points += [(left + unit / 16, middle - step / 5), (left + 3 * unit / 16, middle + step / 5)]
        data += polyline([*points, (x + unit, middle)])
    return data


def fallen(x: float, y: float, unit: float, lines: int) -> str:
    """Give falling slanted lines across a cell, the other way from :func:`slanted`."""
    data = ""
    for k in range(1, 2 * lines):
        way = k / lines
        a = (x + unit - min(way, 1) * unit, y + max(way - 1, 0) * unit)
        b = (x + unit - max(way - 1, 0) * unit, y + min(way, 1) * unit)
        data += polyline([a, b])
    return data
