"""Random clues of every rule that are true of a filled grid, made by plain arithmetic on its digits."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from saywhy.grid import Grid
from saywhy.puzzle import Clue

TRIES = 40

Fits = Callable[[Sequence[int]], bool]


@dataclass(frozen=True)
class Setter:
    """Someone who looks at a filled grid and draws clues on it."""

    grid: Grid
    digits: Sequence[int]
    chance: random.Random

    def on(self, cells: Sequence[int]) -> list[int]:
        """Give the digits on cells."""
        return [self.digits[cell] for cell in cells]

    def total(self, cells: Sequence[int]) -> int:
        """Give the sum of the digits on cells."""
        return sum(self.on(cells))

    def around(self, cell: int) -> list[int]:
        """Give the cells that touch one, in random order."""
        steps = [(down, right) for down in (-1, 0, 1) for right in (-1, 0, 1) if down or right]
        found = self.grid.moved(cell, steps)
        return self.chance.sample(found, len(found))

    def walk(self, fits: Fits, done: Fits, longest: int = 6) -> tuple[int, ...] | None:
        """
        Give a line whose digits are done, each of its beginnings fitting.

        Of those met in a few random walks; None where there was none. It may go on past a first one.
        """
        for _ in range(TRIES):
            cells = [self.chance.choice(self.grid.cells)]
            found = None
            while len(cells) < longest:
                near = [c for c in self.around(cells[-1]) if c not in cells and fits(self.on([*cells, c]))]
                if not near:
                    break
                cells.append(near[0])
                if done(self.on(cells)):
                    found = tuple(cells)
                    if self.chance.random() < 0.4:
                        break
            if found is not None:
                return found
        return None

    def area(self, size: int, *, distinct: bool) -> tuple[int, ...]:
        """Give joined cells, up to so many; with no digit twice if that is asked."""
        cells = [self.chance.choice(self.grid.cells)]
        while len(cells) < size:
            near = {other for cell in cells for other in self.grid.orthogonal(cell)} - set(cells)
            if distinct:
                near = {cell for cell in near if self.digits[cell] not in self.on(cells)}
            if not near:
                break
            cells.append(self.chance.choice(sorted(near)))
        return tuple(self.chance.sample(cells, len(cells)))

    def lane(self) -> tuple[int, ...]:
        """Give a row or column, from either end."""
        n, k = self.grid.size, self.chance.randrange(self.grid.size)
        cells = self.chance.choice([range(k * n, k * n + n), range(k, n * n, n)])
        return tuple(cells) if self.chance.random() < 0.5 else tuple(reversed(cells))

    def diagonal(self) -> tuple[int, ...]:
        """Give a diagonal from the edge inwards, from either end."""
        n, right = self.grid.size, self.chance.choice([-1, 1])
        row, column = self.chance.choice(
            [(0, self.chance.randrange(n)), (self.chance.randrange(n), 0 if right == 1 else n - 1)]
        )
        cells = []
        while (cell := self.grid.at(row, column)) is not None:
            cells.append(cell)
            row, column = row + 1, column + right
        return tuple(cells) if self.chance.random() < 0.5 else tuple(reversed(cells))

    def square(self, side: int) -> tuple[int, ...]:
        """Give the cells of a square."""
        n = self.grid.size
        row, column = self.chance.randrange(n - side + 1), self.chance.randrange(n - side + 1)
        return tuple((row + down) * n + column + right for down in range(side) for right in range(side))

    def neighbours(self, wanted: Callable[[int, int], bool]) -> tuple[int, ...] | None:
        """Give two neighbours whose digits, in this order, stand as wanted; None where there are none."""
        pairs = [*self.grid.neighbour_pairs, *((b, a) for a, b in self.grid.neighbour_pairs)]
        found = [(a, b) for a, b in pairs if wanted(self.digits[a], self.digits[b])]
        return self.chance.choice(found) if found else None


Maker = Callable[[Setter, str], Clue | None]


def _cell(wanted: Callable[[Setter, int], bool]) -> Maker:
    def make(setter: Setter, rule: str) -> Clue | None:
        cells = [cell for cell in setter.grid.cells if wanted(setter, cell)]
        return Clue(rule, (setter.chance.choice(cells),)) if cells else None

    return make


def _beside(setter: Setter, cell: int) -> list[int]:
    return setter.on(setter.grid.orthogonal(cell))


def _circles(setter: Setter, rule: str) -> Clue | None:
    n = setter.grid.size
    cells: list[int] = []
    for digit in setter.chance.sample(range(1, n + 1), setter.chance.randint(1, 3)):
        held = [cell for cell in setter.grid.cells if setter.digits[cell] == digit]
        if len(cells) + digit <= n + 3:
            cells += setter.chance.sample(held, digit)
    return Clue(rule, tuple(setter.chance.sample(cells, len(cells)))) if cells else None


def _dot(apart: Callable[[int, int], int | None], usual: int) -> Maker:
    def make(setter: Setter, rule: str) -> Clue | None:
        plain = setter.chance.random() < 0.7
        cells = setter.neighbours(lambda a, b: apart(a, b) == usual if plain else apart(a, b) is not None)
        if cells is None:
            return None
        return Clue(rule, cells, value=None if plain else apart(*setter.on(cells)))

    return make


def _pair(wanted: Callable[[int, int], bool], *, value: bool = False) -> Maker:
    def make(setter: Setter, rule: str) -> Clue | None:
        cells = setter.neighbours(wanted)
        return None if cells is None else Clue(rule, cells, value=setter.total(cells) if value else None)

    return make


def _quadruple(setter: Setter, rule: str) -> Clue | None:
    cells = setter.square(2)
    return Clue(
        rule, cells, digits=tuple(setter.chance.sample(setter.on(cells), setter.chance.randint(1, 4)))
    )


def _line(fits: Fits, done: Fits) -> Maker:
    def make(setter: Setter, rule: str) -> Clue | None:
        cells = setter.walk(fits, done)
        return None if cells is None else Clue(rule, cells)

    return make


def _anything(_: Sequence[int]) -> bool:
    return True


def _at_least(length: int) -> Fits:
    return lambda digits: len(digits) >= length


def _neighbours_fit(wanted: Callable[[int, int], bool]) -> Fits:
    return lambda digits: all(wanted(a, b) for a, b in pairwise(digits))


def _threes(group: Callable[[int], int]) -> Fits:
    return lambda digits: all(
        len(set(map(group, three))) == 3 for three in zip(digits, digits[1:], digits[2:], strict=False)
    )


def _whisper(setter: Setter, rule: str) -> Clue | None:
    value = setter.chance.choice([None, None, *range(1, setter.grid.size)])
    least = 5 if value is None else value
    cells = setter.walk(_neighbours_fit(lambda a, b: abs(a - b) >= least), _at_least(2))
    return None if cells is None else Clue(rule, cells, value=value)


def _lockout(setter: Setter, rule: str) -> Clue | None:
    value = setter.chance.choice([None, None, *range(1, setter.grid.size)])
    least = 4 if value is None else value

    def done(digits: Sequence[int]) -> bool:
        low, high = sorted((digits[0], digits[-1]))
        return len(digits) > 2 and high - low >= least and not any(low <= d <= high for d in digits[1:-1])

    cells = setter.walk(_anything, done)
    return None if cells is None else Clue(rule, cells, value=value)


def _between(digits: Sequence[int]) -> bool:
    low, high = sorted((digits[0], digits[-1]))
    return len(digits) > 2 and all(low < d < high for d in digits[1:-1])


def _sequence(digits: Sequence[int]) -> bool:
    return sorted(digits) == list(range(min(digits), min(digits) + len(digits)))


def _apart(digits: Sequence[int]) -> bool:
    return all(abs(a - b) >= 2 for k, a in enumerate(digits) for b in digits[:k])


def _arrow(setter: Setter, rule: str) -> Clue | None:
    pill = setter.chance.choice([1, 1, 2]) if setter.grid.size < 10 else 1

    def number(digits: Sequence[int]) -> int:
        return int("".join(map(str, digits[:pill]))) if pill > 1 else digits[0]

    cells = setter.walk(
        lambda digits: len(digits) <= pill or sum(digits[pill:]) <= number(digits),
        lambda digits: len(digits) > pill and sum(digits[pill:]) == number(digits),
        longest=7,
    )
    return None if cells is None else Clue(rule, cells, pill=pill if pill > 1 else None)


def _zipped(digits: Sequence[int]) -> bool:
    half, odd = divmod(len(digits), 2)
    totals = {digits[k] + digits[-1 - k] for k in range(half)} | ({digits[half]} if odd else set())
    return len(digits) > 2 and len(totals) == 1


def _region_sums(setter: Setter, rule: str) -> Clue | None:
    regions = setter.grid.regions
    if regions is None:
        return None
    for _ in range(TRIES):
        cells = setter.walk(_anything, _at_least(2))
        if cells is None:
            continue
        totals = [setter.digits[cells[0]]]
        for a, b in pairwise(cells):
            if regions[a] == regions[b]:
                totals[-1] += setter.digits[b]
            else:
                totals.append(setter.digits[b])
        if len(totals) > 1 and len(set(totals)) == 1:
            return Clue(rule, cells, value=setter.chance.choice([None, totals[0]]))
    return None


def _sum_line(setter: Setter, rule: str) -> Clue | None:
    value = setter.chance.choice([5, 10, setter.chance.randint(3, 2 * setter.grid.size)])

    def open_group(digits: Sequence[int]) -> int:
        """Give the sum of the last, unfinished group; more than the value where the split has failed."""
        running = 0
        for digit in digits:
            running = digit if running == value else running + digit
            if running > value:
                return running
        return running

    cells = setter.walk(lambda d: open_group(d) <= value, lambda d: open_group(d) == value)
    return None if cells is None else Clue(rule, cells, value=value)


def _cage(setter: Setter, rule: str) -> Clue | None:
    cells = setter.area(setter.chance.randint(1, 6), distinct=True)
    return Clue(rule, cells, value=setter.chance.choice([setter.total(cells)] * 4 + [None]))


def _extra(setter: Setter, rule: str) -> Clue | None:
    cells = setter.area(setter.grid.size, distinct=True)
    return Clue(rule, cells) if len(cells) > 1 else None


def _equal_cages(setter: Setter, rule: str) -> Clue | None:
    first = setter.area(setter.chance.randint(1, 3), distinct=True)
    for _ in range(TRIES):
        other = setter.area(setter.chance.randint(1, 4), distinct=True)
        if setter.total(other) == setter.total(first) and not set(other) & set(first):
            return Clue(rule, groups=(first, other))
    return None


def _clone(setter: Setter, rule: str) -> Clue | None:
    grid, n = setter.grid, setter.grid.size
    for _ in range(TRIES):
        first = setter.area(setter.chance.randint(1, 3), distinct=False)
        moves = [(down, right) for down in range(-n, n) for right in range(-n, n)]
        for down, right in setter.chance.sample(moves, len(moves)):
            other = tuple(cell for held in first for cell in grid.moved(held, [(down, right)]))
            if (
                len(other) == len(first)
                and not set(other) & set(first)
                and setter.on(other) == setter.on(first)
            ):
                return Clue(rule, groups=(first, tuple(setter.chance.sample(other, len(other)))))
    return None


def _magic(setter: Setter, rule: str) -> Clue | None:
    for _ in range(TRIES):
        cells = setter.square(3)
        a, b, c, d, e, f, g, h, i = setter.on(cells)
        lines = ((a, b, c), (d, e, f), (g, h, i), (a, d, g), (b, e, h), (c, f, i), (a, e, i), (c, e, g))
        if len(set(map(sum, lines))) == 1:
            return Clue(rule, cells)
    return None


def _little_killer(setter: Setter, rule: str) -> Clue | None:
    cells = setter.diagonal()
    return Clue(rule, cells, value=setter.total(cells))


def _outside(value: Callable[[list[int]], int]) -> Maker:
    def make(setter: Setter, rule: str) -> Clue | None:
        cells = setter.lane()
        return Clue(rule, cells, value=value(setter.on(cells)))

    return make


def _sandwiched(digits: list[int]) -> int:
    left, right = sorted((digits.index(1), digits.index(len(digits))))
    return sum(digits[left + 1 : right])


def _seen(digits: list[int]) -> int:
    return sum(all(digit > before for before in digits[:k]) for k, digit in enumerate(digits))


def _edge_sum(setter: Setter, rule: str) -> Clue | None:
    cells = setter.lane()
    box = setter.grid.box
    count = setter.chance.randint(1, len(cells) - 1) if box is None or setter.chance.random() < 0.4 else None
    reach = count or (box[1] if box else 0)
    return Clue(rule, cells, value=setter.total(cells[:reach]), count=count)


def _times(a: int, b: int) -> int | None:
    quotient, rest = divmod(max(a, b), min(a, b))
    return None if rest or quotient == 1 else quotient


MAKERS: dict[str, Maker] = {
    "odd": _cell(lambda s, cell: s.digits[cell] % 2 == 1),
    "even": _cell(lambda s, cell: s.digits[cell] % 2 == 0),
    "low-spot": _cell(lambda s, cell: s.digits[cell] < min(_beside(s, cell))),
    "high-spot": _cell(lambda s, cell: s.digits[cell] > max(_beside(s, cell))),
    "counting-circles": _circles,
    "white-dot": _dot(lambda a, b: abs(a - b), 1),
    "black-dot": _dot(_times, 2),
    "x": _pair(lambda a, b: a + b == 10),
    "v": _pair(lambda a, b: a + b == 5),
    "pair-sum": _pair(lambda *_: True, value=True),
    "less-than": _pair(lambda a, b: a < b),
    "quadruple": _quadruple,
    "thermometer": _line(_neighbours_fit(lambda a, b: a < b), _at_least(2)),
    "slow-thermometer": _line(_neighbours_fit(lambda a, b: a <= b), _at_least(2)),
    "arrow": _arrow,
    "double-arrow": _line(_anything, lambda d: len(d) > 2 and d[0] + d[-1] == sum(d[1:-1])),
    "between-line": _line(_anything, _between),
    "lockout-line": _lockout,
    "palindrome": _line(_anything, lambda d: len(d) > 1 and d == d[::-1]),
    "renban": _line(_anything, lambda d: len(d) > 1 and _sequence(d)),
    "whisper": _whisper,
    "nabner": _line(_apart, _at_least(2)),
    "parity-line": _line(_neighbours_fit(lambda a, b: (a + b) % 2 == 1), _at_least(2)),
    "modular-line": _line(_threes(lambda d: d % 3), _at_least(3)),
    "entropic-line": _line(_threes(lambda d: (d - 1) // 3), _at_least(3)),
    "region-sum-line": _region_sums,
    "sum-line": _sum_line,
    "zipper-line": _line(_anything, _zipped),
    "killer-cage": _cage,
    "equal-sum-cages": _equal_cages,
    "clone": _clone,
    "extra-region": _extra,
    "magic-square": _magic,
    "little-killer": _little_killer,
    "sandwich": _outside(_sandwiched),
    "x-sum": _outside(lambda d: sum(d[: d[0]])),
    "skyscraper": _outside(_seen),
    "numbered-room": _outside(lambda d: d[d[0] - 1]),
    "edge-sum": _edge_sum,
}


def true_clue(rule: str, grid: Grid, digits: Sequence[int], chance: random.Random) -> Clue | None:
    """Give a random clue of a rule that is true of these digits; None where none was met."""
    if rule == "entropic-line" and grid.size != 9:
        return None
    return MAKERS[rule](Setter(grid, digits, chance), rule)
