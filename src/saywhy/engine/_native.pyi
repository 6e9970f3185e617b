"""
The native core: cells, digits and five primitives; see saywhy.engine for the calls to use.
"""

from collections.abc import Sequence
from typing import Any

class Cancel:
    """A flag that stops a running query, from any thread."""

    def __init__(self) -> None: ...
    def set(self) -> None:
        """Stop every query that was given this flag."""

    def clear(self) -> None:
        """Make the flag usable again."""

    @property
    def is_set(self) -> bool:
        """Whether it was set."""

class Model:
    """
    Cells, digits 1 to n, and primitives; ids count from 0 in order of adding.
    """

    def __init__(self, n: int, cells: int) -> None: ...
    def add_different(self, cells: Sequence[int]) -> int:
        """Add: no digit twice among these cells."""

    def add_linear(self, coefficients: Sequence[int], cells: Sequence[int], total: int) -> int:
        """Add: the weighted sum equals the total."""

    def add_pair(self, a: int, b: int, table: Sequence[int]) -> int:
        """
        Add: a relation; ``table[d - 1]`` is the mask that digit d of ``a`` allows in ``b``.
        """

    def add_regular(self, cells: Sequence[int], moves: Sequence[int], accepting: Sequence[int]) -> int:
        """
        Add: a word of an automaton; ``moves[state * n + d - 1]`` is the next state or -1.
        """

    def add_count(self, cells: Sequence[int]) -> int:
        """Add: each digit d that occurs here occurs d times."""

    def close(self) -> None:
        """
        Leave primitives added from now on out of queries on the whole problem.
        """

    def satisfied(self, filling: Sequence[int]) -> list[bool]:
        """Say for each primitive whether it holds on a filling."""

    @property
    def digits(self) -> int:
        """The largest digit."""

    @property
    def cells(self) -> int:
        """The number of cells."""

    def __len__(self) -> int: ...
    def search(
        self,
        primitives: Sequence[int] | None,
        domains: Sequence[int],
        limit: int,
        keep: int,
        nodes: int | None = None,
        seconds: float | None = None,
        cancel: Cancel | None = None,
        seed: int = 0,
    ) -> tuple[int, list[list[int]], bool, int, bool]:
        """
        Search for up to ``limit`` fillings: (found, first ``keep`` of them, exhausted, nodes, out of budget).
        """

    def supports(
        self,
        primitives: Sequence[int] | None,
        domains: Sequence[int],
        nodes: int | None = None,
        seconds: float | None = None,
        cancel: Cancel | None = None,
        seed: int = 0,
    ) -> tuple[list[int], bool, int]:
        """Give (digits that occur in some joint filling, finished, nodes)."""

    def fillings(
        self,
        primitives: Sequence[int] | None,
        cells: Sequence[int],
        domains: Sequence[int],
        limit: int,
        nodes: int | None = None,
        seconds: float | None = None,
        cancel: Cancel | None = None,
    ) -> tuple[list[list[int]], bool]:
        """
        List up to ``limit`` distinct choices of digits for ``cells`` that can be filled up: (list, complete).
        """

def shrink(
    model: Model,
    primitives: Sequence[int],
    domains: Sequence[int],
    target: int,
    denied: int,
    kept: int,
    marked: Sequence[int],
    placed: Sequence[bool],
    nodes: int,
    total: int,
) -> tuple[list[int], list[int]]:
    """
    Drop premises of a look while it still denies the target these digits: (primitives, domains) left.
    """

class Cover:
    """Chooses few things that show together that digits are gone from cells."""

    def __init__(self, digits: int, cells: int) -> None: ...
    def add_different(self, along: int, cells: Sequence[int]) -> None:
        """
        Add: these cells all differ, which is seen along something (a number from 0).
        """

    def add_pair(self, along: int, a: int, b: int, table: Sequence[int]) -> None:
        """Add: a relation as of ``Model.add_pair``, seen along something."""

    def choose(
        self,
        needs: Sequence[tuple[int, int, int]],
        placed: Sequence[int],
        called: Sequence[int],
        costs: tuple[float, float, float, float],
    ) -> list[tuple[int, int, int]]:
        """
        Choose for (cell, digits asked for, those of them that a mark shows gone).

        ``placed`` is one digit a cell, 0 where none; ``called`` are the numbers along which digits are seen
        that are in mind. ``costs`` are those of a reminder of a digit in the cell itself, of one seen, of one
        seen along something in mind, and of a mark.

        Gives (along, cell, digits): where digits are named, a mark on these; else the digit that stands in
        the cell, seen along something where that is not -1.
        """

class Lookout:
    """Keeps looks with what they last showed."""

    def __init__(self, model: Model, nodes: int) -> None: ...
    def add(self, primitives: Sequence[int], apart: Sequence[int]) -> int:
        """
        Add a look and give its number; what a look of ``apart`` shows alone is not counted as shown by it.
        """

    def shown(self, domains: Sequence[int], looks: Sequence[int]) -> list[tuple[int, list[tuple[int, int]]]]:
        """
        Give (place, [(cell, digits gone)]) for those of these looks that show anything, in order.
        """

class Follower:
    """Follows suppositions through single primitives to a contradiction."""

    def __init__(self, model: Model, stated: int, houses: Sequence[int]) -> None: ...
    def gain(self, domains: Sequence[int], cell: int, digits: int) -> int:
        """
        Count the digits that go in all when these do and single primitives are followed.
        """

    def follow(
        self, domains: Sequence[int], cell: int, digit: int, depth: int, waves: int = -1
    ) -> list[Any] | None:
        """
        Suppose a digit (a mask of one) and give the turns to its contradiction, or None where none is met
        in so many waves (-1 for as many as there are).

        Suppositions may stand ``depth`` deep inside it. A turn is
        (kind, primitive, cell, digits, removed, inner turns), kinds as in native/looks.h.
        """

    def cheapest(
        self, domains: Sequence[int], depth: int, weighed: int, longest: int, widest: int
    ) -> tuple[int, int, list[Any]] | None:
        """
        Suppose each digit of the cells that have at most ``widest``, cells of few digits first, until
        ``weighed`` have failed, and give the one that strikes out most for its length: (cell, digit,
        turns), or None.

        Suppositions may stand ``depth`` deep inside it; its turns, as ``follow`` gives them, make at most
        ``longest`` steps.
        """
