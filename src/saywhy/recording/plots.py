"""Small pictures of a solve over time, as SVG in the board's colours."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from saywhy.recording import whole
from saywhy.recording.chapters import clock
from saywhy.recording.review import Review

#: The strip of moves: width and height in its own units.
WIDE, TALL = 720, 56


def strip(found: Review) -> str:
    """Give the strip of moves: one mark each by its verdict, stalls and waits beside them."""
    end = found.length or 1.0

    def x(t: float) -> float:
        return round(WIDE * t / end, 1)

    parts = [
        f'<path class="strip-stall" d="M{x(s.start)} 4H{x(s.start + s.seconds)}V40H{x(s.start)}Z"/>'
        for s in found.stalls
    ]
    parts.append(f'<path class="s-rule" d="M0 22H{WIDE}" fill="none"/>')
    for item in found.late:
        parts.append(f'<path class="strip-wait" d="M{x(item.since)} 48H{x(item.move.t)}"/>')
    shapes = {
        "forced": "M{x} 14V30",
        "guessed": "M{a} 16H{b}V28H{a}Z",
        "wrong": "M{a} 12L{b} 32M{b} 12L{a} 32",
        "undone": "M{a} 22A6 6 0 0 1 {b} 22A6 6 0 0 1 {a} 22",
    }
    for move in sorted(found.moves, key=lambda move: move.verdict != "forced"):
        at = x(move.t)
        shape = shapes[move.verdict].format(x=at, a=round(at - 6, 1), b=round(at + 6, 1))
        parts.append(f'<path class="strip-{move.verdict}" d="{shape}"/>')
    said = ", ".join(f"{number} {name}" for name, number in found.counts.items() if number) or "no digits"
    return (
        f'<svg viewBox="-8 0 {WIDE + 16} {TALL}" role="img" aria-label="The moves over time: {said}">'
        f'{"".join(parts)}<g class="strip-hand" data-width="{WIDE}"><path d="M0 0V{TALL}"/></g></svg>'
    )


def speed(found: Review) -> str:
    """Give how many digits stood on the board over time."""
    points = whole.speed(found.judged, [act.t for act in found.recording.acts])
    end, most = max(found.length, 1.0), max(1, *(n for _, n in points))
    path = "".join(
        f"{f'H{50 + 640 * t / end:.1f}V' if place else 'M50 '}{190 - 170 * n / most:.1f}"
        for place, (t, n) in enumerate(points)
    )
    ticks = "".join(
        f'<text class="f-soft" x="{50 + 640 * k / 4:.0f}" y="212" text-anchor="middle" '
        f'font-size="14">{clock(end * k / 4)}</text>'
        for k in range(5)
    )
    return (
        '<svg class="saywhy-board" viewBox="0 0 730 224" role="img" '
        f'aria-label="Digits on the board over time, at most {most}, in {clock(end)}">'
        '<path class="s-rule" fill="none" d="M50 20V190H690"/>'
        f'<text class="f-soft" x="42" y="26" text-anchor="end" font-size="14">{most}</text>{ticks}'
        f'<path class="s-because" fill="none" stroke-width="2.5" d="{path}H690"/></svg>'
    )


def ranks(own: Sequence[int], rank: Mapping[int, int]) -> str:
    """Give the solver's order against the path's: on the line from corner to corner they are the same."""
    side, many = 220, max(len(own), *rank.values(), 1)
    dots = "".join(
        f'<circle class="f-because" r="3.4" cx="{side * place / many:.1f}" '
        f'cy="{side - side * rank[cell] / many:.1f}"/>'
        for place, cell in enumerate(own, 1)
        if cell in rank
    )
    return (
        f'<svg class="saywhy-board ranks" viewBox="-26 -6 {side + 34} {side + 34}" role="img" '
        'aria-label="Your order against that of the path of least effort">'
        f'<path class="s-rule" fill="none" d="M0 0V{side}H{side}"/>'
        f'<path class="s-rule" fill="none" stroke-dasharray="4 4" d="M0 {side}L{side} 0"/>{dots}'
        f'<text class="f-soft" x="{side}" y="{side + 20}" text-anchor="end" font-size="14">yours</text>'
        '<text class="f-soft" transform="translate(-10 0) rotate(-90)" text-anchor="end" '
        'font-size="14">the path</text></svg>'
    )


def bar(share: float) -> str:
    """Give a bar for a cell of a table; what it says stands beside it."""
    width = max(2.0, 90 * min(share, 1.0))
    return f'<svg class="bar" viewBox="0 0 92 12" aria-hidden="true"><path d="M0 2H{width:.1f}V10H0Z"/></svg>'
