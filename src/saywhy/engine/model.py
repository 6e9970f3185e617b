"""A puzzle compiled for the native core, and the small queries that looks are made of."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import chain

from saywhy.engine import _native
from saywhy.engine.constraints import Constraint, constraints, starting_domains
from saywhy.primitives import AllDifferent, Count, Linear, Pair, Primitive, Regular
from saywhy.puzzle import Puzzle


class Model:
    """
    Primitives on the cells of a grid, compiled once and asked often.

    Domains are lists with one mask a cell of the grid, bit d - 1 standing for digit d. Primitives are named
    by their ids: places in ``constraints``, then those that ``add`` gave.

    Attributes:
        size: The largest digit.
        cells: The number of cells.
        constraints: What the ids below ``len(constraints)`` stand for; empty where made by hand.
        domains: The domains that the givens leave.
        native: The compiled form.
    """

    def __init__(
        self,
        size: int,
        cells: int,
        primitives: Iterable[Primitive] = (),
        domains: Sequence[int] | None = None,
        held: tuple[Constraint, ...] = (),
    ) -> None:
        self.size = size
        self.cells = cells
        self.constraints = held
        self.domains = [(1 << size) - 1] * cells if domains is None else list(domains)
        self.native = _native.Model(size, cells)
        for primitive in primitives:
            self.add(primitive)
        self.native.close()

    def add(self, primitive: Primitive) -> int:
        """
        Add a primitive and give its id.

        Those added after construction take part only where a query names them; ``prove``, ``count`` and
        ``candidates`` leave them out.

        Raises:
            ValueError: A cell is not of this model or stands twice, or the numbers do not fit.
        """
        match primitive:
            case AllDifferent(cells):
                return self.native.add_different(cells)
            case Linear(coefficients, cells, total):
                return self.native.add_linear(coefficients, cells, total)
            case Pair(a, b, table):
                return self.native.add_pair(a, b, table)
            case Regular(cells, automaton):
                moves = tuple(chain.from_iterable(automaton.moves))
                return self.native.add_regular(cells, moves, tuple(automaton.accepting))
            case Count(cells):
                return self.native.add_count(cells)

    def shows(
        self, primitives: Sequence[int], domains: Sequence[int], nodes: int = 100_000
    ) -> tuple[list[int], bool]:
        """
        Show which digits occur in some joint filling of these primitives alone.

        Args:
            primitives: Ids; nothing else is considered.
            domains: One mask a cell.
            nodes: The most digits that may be tried.

        Returns:
            The domains, narrowed to exactly those digits on every cell in a scope (all such cells empty if
            there is no joint filling), and True; or, where the nodes ran out, domains in which every removal
            is sound but some may be missing, and False.
        """
        shown, finished, _ = self.native.supports(primitives, domains, nodes)
        return shown, finished

    def refutes(self, primitives: Sequence[int], domains: Sequence[int], nodes: int = 100_000) -> bool | None:
        """
        Say whether these primitives alone have no joint filling: True is a proof, None undecided.

        Args:
            primitives: Ids; nothing else is considered.
            domains: One mask a cell.
            nodes: The most digits that may be tried.
        """
        found, _, finished, _, _ = self.native.search(primitives, domains, 1, 0, nodes)
        return True if finished and not found else False if found else None

    def shrink(  # noqa: PLR0913, PLR0917 - one question, said in full
        self,
        primitives: Sequence[int],
        domains: Sequence[int],
        target: int,
        denied: int,
        kept: int,
        marked: Sequence[int],
        placed: Sequence[int],
        nodes: int,
        total: int = 200_000,
    ) -> tuple[list[int], list[int]]:
        """
        Drop premises of a look for as long as what it shows still follows.

        Args:
            primitives: Ids, in the order in which to try to do without them.
            domains: One mask a cell.
            target: The cell that holds none of ``denied``; -1 where there is no joint filling at all.
            denied: Mask of digits.
            kept: Mask of the one digit left in the target, where all others are to be denied; else 0.
            marked: For each cell the digits that written marks alone have struck out of it.
            placed: For each cell the digit that stands there, or 0.
            nodes: The most digits that may be tried for each single question.
            total: And for all of them: when it is spent, the premises that are left stay.

        Returns:
            The ids that are left, and the domains relied on (all digits where nothing is).
        """
        return _native.shrink(
            self.native,
            primitives,
            domains,
            target,
            denied,
            kept,
            marked,
            [bool(d) for d in placed],
            nodes,
            total,
        )

    def fillings(
        self,
        primitives: Sequence[int],
        cells: Sequence[int],
        domains: Sequence[int],
        limit: int = 100,
        nodes: int = 100_000,
    ) -> tuple[list[list[int]], bool]:
        """
        List the ways to fill some cells that these primitives alone allow.

        Args:
            primitives: Ids; nothing else is considered.
            cells: Cells in the scopes of the primitives; the others need only be fillable.
            domains: One mask a cell.
            limit: The most ways to list.
            nodes: The most digits that may be tried.

        Returns:
            Different ways, a digit for each of ``cells``; and whether these are all.

        Raises:
            ValueError: A cell is in no scope.
        """
        return self.native.fillings(primitives, cells, domains, limit, nodes)


@lru_cache(maxsize=32)
def compile_model(puzzle: Puzzle) -> Model:
    """
    Compile a puzzle; ids follow ``constraints(puzzle)``, givens are in ``domains``.

    The model is shared by all callers: add to it only what follows from the puzzle.

    Raises:
        RuleError: A rule is not allowed on this grid.
    """
    held = constraints(puzzle)
    return Model(
        puzzle.grid.size,
        len(puzzle.givens),
        (constraint.primitive for constraint in held),
        starting_domains(puzzle),
        held,
    )
