"""The ways to make a total: sets of digits for some cells, and which of them the known digits allow."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import combinations, combinations_with_replacement

from saywhy.primitives import digits_of
from saywhy.reasoning.words.scene import Scene


@lru_cache(maxsize=4096)
def makings(count: int, total: int, size: int, different: bool) -> tuple[tuple[int, ...], ...]:
    """List the sets (or, repeats allowed, multisets) of this many digits that make a total, ascending."""
    choose = combinations if different else combinations_with_replacement
    return tuple(way for way in choose(range(1, size + 1), count) if sum(way) == total)


class Cells:
    """
    Some cells of a sum with what the certificate knows of them.

    Attributes:
        cells: In order.
        domains: One mask a cell.
        apart: For each cell, the places of earlier cells that it differs from.
    """

    def __init__(self, scene: Scene, cells: Sequence[int], domains: Sequence[int] | None = None) -> None:
        self.scene = scene
        self.cells = tuple(cells)
        self.domains = tuple(scene.domain(cell) for cell in cells) if domains is None else tuple(domains)
        self.apart = tuple(
            tuple(i for i in range(place) if scene.differ(self.cells[i], cell) is not None)
            for place, cell in enumerate(self.cells)
        )

    @property
    def all_different(self) -> bool:
        """Whether no two of the cells may be equal."""
        return all(len(earlier) == place for place, earlier in enumerate(self.apart))

    def raw(self) -> Cells:
        """Give the same cells with nothing known of their digits."""
        return Cells(self.scene, self.cells, [self.scene.full] * len(self.cells))

    def fillings(self, way: Sequence[int]) -> Iterator[tuple[int, ...]]:
        """Yield the orders in which these digits fit the cells."""
        left = list(way)
        chosen: list[int] = []

        def go(place: int) -> Iterator[tuple[int, ...]]:
            if place == len(self.cells):
                yield tuple(chosen)
                return
            for digit in sorted(set(left)):
                if self.domains[place] >> (digit - 1) & 1 and all(
                    chosen[i] != digit for i in self.apart[place]
                ):
                    left.remove(digit)
                    chosen.append(digit)
                    yield from go(place + 1)
                    chosen.pop()
                    left.append(digit)

        yield from go(0)

    def fits(self, way: Sequence[int]) -> bool:
        """Say whether these digits fit the cells in some order."""
        return next(self.fillings(way), None) is not None

    def making(self, total: int) -> list[tuple[int, ...]]:
        """List the sets or multisets of digits that make a total here, whatever their order."""
        size = self.scene.n
        return [way for way in makings(len(self.cells), total, size, self.all_different) if self.fits(way)]

    def left(self, total: int) -> dict[int, int]:
        """For each cell, the digits that it takes in some way to make the total."""
        found = dict.fromkeys(self.cells, 0)
        for way in makings(len(self.cells), total, self.scene.n, self.all_different):
            for filling in self.fillings(way):
                for cell, digit in zip(self.cells, filling, strict=True):
                    found[cell] |= 1 << (digit - 1)
        return found

    def extreme(self, *, most: bool) -> tuple[int, ...] | None:
        """
        Give digits for the cells, in their order, with the least or the greatest sum; None if there are none.
        """
        return _extreme(self.domains, self.apart, most)


@lru_cache(maxsize=4096)
def _extreme(
    domains: tuple[int, ...], apart: tuple[tuple[int, ...], ...], most: bool
) -> tuple[int, ...] | None:
    """Give the digits of ``Cells.extreme``: branch and bound, each cell's best digit first."""
    size = len(domains)
    choices = [digits_of(mask)[:: -1 if most else 1] for mask in domains]
    if not all(choices):
        return None
    # The best that the cells from a place on can add, each taken alone.
    ahead = [0] * (size + 1)
    for place in range(size - 1, -1, -1):
        ahead[place] = ahead[place + 1] + choices[place][0]
    best: tuple[int, ...] | None = None
    record = 0
    chosen = [0] * size

    def go(place: int, total: int) -> None:
        nonlocal best, record
        if place == size:
            best, record = tuple(chosen), total
            return
        for digit in choices[place]:
            reach = total + digit + ahead[place + 1]
            if best is not None and (reach <= record if most else reach >= record):
                return
            for i in apart[place]:
                if chosen[i] == digit:
                    break
            else:
                chosen[place] = digit
                go(place + 1, total + digit)

    go(0, 0)
    return best
