"""What stands on the board after each act of a recording: the meaning that ``acts`` states, in Python."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from saywhy.grid import Grid
from saywhy.primitives import mask_of
from saywhy.recording.acts import (
    AnyAct,
    Erase,
    Options,
    Place,
    Redo,
    Sum,
    Tie,
    Tint,
    Trait,
    Undo,
)

#: The trait that each replaces.
OPPOSITE = {"low": "high", "high": "low", "odd": "even", "even": "odd"}


@dataclass(frozen=True)
class Claims:
    """
    What a solver has written; never changed in place.

    Attributes:
        digits: Digit by cell.
        options: By cell, the mask of the digits that it may still be.
        traits: By cell, of ``low``, ``high``, ``odd`` and ``even``.
        tints: Tint by cell, 1 to 6.
        ties: Cells (ascending) and digit, in the order in which they were made.
        sums: Cells (ascending) and total, in the order in which they were made.
    """

    digits: dict[int, int] = field(default_factory=dict)
    options: dict[int, int] = field(default_factory=dict)
    traits: dict[int, frozenset[str]] = field(default_factory=dict)
    tints: dict[int, int] = field(default_factory=dict)
    ties: tuple[tuple[tuple[int, ...], int], ...] = ()
    sums: tuple[tuple[tuple[int, ...], int], ...] = ()


def played(acts: Iterable[AnyAct], grid: Grid) -> Iterator[tuple[AnyAct, Claims]]:
    """
    Give each act with what stands on the board after it.

    Args:
        acts: Acts whose cells are on the grid (``belongs`` has seen to that).
        grid: The grid.
    """
    now, past, future = Claims(), list[Claims](), list[Claims]()
    for act in acts:
        if isinstance(act, Undo):
            if past:
                future.append(now)
                now = past.pop()
        elif isinstance(act, Redo):
            if future:
                past.append(now)
                now = future.pop()
        elif act.writes:
            past.append(now)
            future.clear()
            now = _written(now, act, grid)
        yield act, now


def _written(claims: Claims, act: AnyAct, grid: Grid) -> Claims:  # noqa: PLR0911
    match act:
        case Place(cell=cell, digit=digit):
            return replace(claims, digits={**claims.digits, grid.cell(cell): digit})
        case Options(cell=cell, digits=digits):
            return replace(claims, options=_set(claims.options, [grid.cell(cell)], mask_of(digits)))
        case Tie(cells=cells, digit=digit):
            tie = _cells(cells, grid), digit
            return replace(claims, ties=(*(held for held in claims.ties if held != tie), tie))
        case Sum(cells=cells, total=total):
            place = _cells(cells, grid)
            others = tuple(held for held in claims.sums if held[0] != place)
            return replace(claims, sums=others if total is None else (*others, (place, total)))
        case Trait(cells=cells, trait=trait):
            traits = dict(claims.traits)
            for cell in _cells(cells, grid):
                kept = traits.pop(cell, frozenset())
                if trait is not None:
                    traits[cell] = kept - {OPPOSITE[trait]} | {trait}
            return replace(claims, traits=traits)
        case Tint(cells=cells, tint=tint):
            return replace(claims, tints=_set(claims.tints, _cells(cells, grid), tint or 0))
        case Erase():
            return _erased(claims, act, grid)
        case _:
            return claims


def _erased(claims: Claims, act: Erase, grid: Grid) -> Claims:
    if isinstance(act.cells, list) and isinstance(act.digit, int):
        tie = _cells(act.cells, grid), act.digit
        return replace(claims, ties=tuple(held for held in claims.ties if held != tie))
    cell = grid.cell(str(act.cell))
    if cell in claims.digits:
        return replace(claims, digits=_set(claims.digits, [cell], 0))
    traits = {other: held for other, held in claims.traits.items() if other != cell}
    return replace(claims, options=_set(claims.options, [cell], 0), traits=traits)


def _set(held: dict[int, int], cells: Iterable[int], value: int) -> dict[int, int]:
    """Give the same with some cells set; 0 takes them out."""
    rest = {cell: kept for cell, kept in held.items() if cell not in set(cells)}
    return {**rest, **dict.fromkeys(cells, value)} if value else rest


def _cells(names: Iterable[str], grid: Grid) -> tuple[int, ...]:
    return tuple(sorted({grid.cell(name) for name in names}))
