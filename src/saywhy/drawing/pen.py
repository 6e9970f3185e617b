"""A pen that writes SVG elements: numbers, escaping, and colours named by token."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from xml.sax.saxutils import quoteattr

from saywhy.drawing.geometry import Point, rounded
from saywhy.drawing.text import Face, clean, escaped
from saywhy.drawing.theme import Theme


def number(value: float) -> str:
    """Give a coordinate with at most two decimals, always written the same way."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def polyline(points: Iterable[Point], *, closed: bool = False) -> str:
    """Give the path data of straight strokes through points."""
    data = "".join(f"{'L' if place else 'M'}{number(x)} {number(y)}" for place, (x, y) in enumerate(points))
    return data + "Z" if closed else data


def ring(centre: Point, radius: float) -> str:
    """Give the path data of a circle."""
    x, y, r = number(centre[0] - radius), number(centre[1]), number(radius)
    across = number(2 * radius)
    return f"M{x} {y}a{r} {r} 0 1 0 {across} 0a{r} {r} 0 1 0 -{across} 0Z"


def smooth(loop: Sequence[Point], radius: float) -> str:
    """Give the path data of a closed loop with rounded corners."""
    data = ""
    for (x, y), (over, down), (to_x, to_y) in rounded(loop, radius):
        data += f"{'L' if data else 'M'}{number(x)} {number(y)}"
        data += f"Q{number(over)} {number(down)} {number(to_x)} {number(to_y)}"
    return data + "Z"


class Pen:
    """Collects the elements of one picture in drawing order."""

    def __init__(self, theme: Theme) -> None:
        self.theme = theme
        self._parts: list[str] = []

    def svg(self) -> str:
        """Give everything drawn so far."""
        return "".join(self._parts)

    def raw(self, text: str) -> None:
        """Add finished markup."""
        self._parts.append(text)

    @contextmanager
    def group(self, name: str, **data: str | int) -> Iterator[None]:
        """Open a group with a class, and ``data-*`` attributes; one that stays empty leaves no trace."""
        extra = "".join(f" data-{key}={quoteattr(clean(str(value)))}" for key, value in data.items())
        opening = f'<g class="{name}"{extra}>'
        place = len(self._parts)
        self._parts.append(opening)
        yield
        if len(self._parts) == place + 1:
            self._parts.pop()
        else:
            self._parts.append("</g>\n")

    def path(
        self,
        data: str,
        *,
        fill: str | None = None,
        stroke: str | None = None,
        width: float = 0,
        name: str = "",
        **style: str | float,
    ) -> None:
        """
        Draw a path.

        Args:
            data: SVG path data; nothing is drawn where it is empty.
            fill: Token of its surface, None for none.
            stroke: Token of its line, None for none.
            width: Width of its line.
            name: Further classes.
            style: Further SVG attributes, underscores standing for hyphens; never text of a stranger.
        """
        if data:
            self._parts.append(f'<path{self._paint(fill, stroke, width, name, style)} d="{data}"/>')

    def text(  # noqa: PLR0913
        self,
        at: Point,
        words: str,
        face: Face,
        size: float,
        *,
        fill: str = "ink",
        anchor: str = "middle",
        halo: str | None = None,
        halo_width: float = 0,
        centred: bool = True,
        name: str = "",
        **style: str | float,
    ) -> None:
        """
        Write one line of text from any stranger.

        Args:
            at: The point; the middle of the figures' height stands on it, or the baseline if not ``centred``.
            words: The text; cleaned and escaped here.
            face: Typeface.
            size: Type size.
            fill: Token.
            anchor: ``start``, ``middle`` or ``end``.
            halo: Token of a line around the letters, None for none.
            halo_width: How far it reaches beyond them.
            centred: Whether to centre figures on the point.
            name: Further classes.
            style: Further SVG attributes; never text of a stranger.
        """
        down = face.figure * size / 2 if centred else 0
        attributes = {
            "x": at[0],
            "y": at[1],
            **({"dy": down} if down else {}),
            "font-family": face.css,
            "font-size": size,
            **({} if face.weight == 400 else {"font-weight": face.weight}),
            **({} if face.style == "normal" else {"font-style": face.style}),
            **({} if anchor == "start" else {"text-anchor": anchor}),
            **({"paint-order": "stroke", "stroke-linejoin": "round"} if halo else {}),
            **style,
        }
        paint = self._paint(fill, halo, 2 * halo_width, name, attributes)
        self._parts.append(f"<text{paint}>{escaped(words)}</text>")

    def _paint(
        self,
        fill: str | None,
        stroke: str | None,
        width: float,
        name: str,
        style: dict[str, str | float],
    ) -> str:
        classes = [name] if name else []
        parts = []
        if fill is not None:
            classes.append(f"f-{fill}")
            parts.append(f'fill="{self.theme[fill]}"')
        else:
            parts.append('fill="none"')
        if stroke is not None:
            classes.append(f"s-{stroke}")
            parts.append(f'stroke="{self.theme[stroke]}" stroke-width="{number(width)}"')
        for key, value in style.items():
            shown = number(value) if isinstance(value, int | float) else value
            parts.append(f'{key.replace("_", "-")}="{shown}"')
        shown_classes = f'class="{" ".join(classes)}" ' if classes else ""
        return f" {shown_classes}{' '.join(parts)}"
