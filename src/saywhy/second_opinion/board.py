"""The board as a general-purpose constraint solver sees it: one integer a cell, made when first spoken of."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from saywhy.errors import NotAllowedError, Problem
from saywhy.puzzle import Puzzle

if TYPE_CHECKING:
    from types import ModuleType

    from ortools.sat.python import cp_model


def solver_library() -> ModuleType:
    """
    Import OR-Tools, which is not needed for anything but a second opinion.

    Raises:
        NotAllowedError: It is not installed.
    """
    try:
        from ortools.sat.python import cp_model
    except ImportError as error:
        raise NotAllowedError(
            Problem(
                "a second opinion needs OR-Tools, which is not installed",
                "Install it with: pip install 'saywhy[certify]'",
            )
        ) from error
    return cp_model


class Board:
    """
    A constraint model over the cells of one puzzle.

    Cells and the helper variables over them are made when first asked for, so that a model of one clue holds
    only that clue's cells.

    Attributes:
        puzzle: What is modelled; only its fields are read, never its rules' own code.
        size: Rows, columns and digits.
        model: The CP-SAT model under construction.
    """

    def __init__(self, puzzle: Puzzle, domains: Mapping[int, Iterable[int]] | None = None) -> None:
        self.cp = solver_library()
        self.puzzle = puzzle
        self.size = puzzle.grid.size
        self.model: cp_model.CpModel = self.cp.CpModel()
        self._domains = {} if domains is None else domains
        self._cells: dict[int, cp_model.IntVar] = {}
        self._literals: dict[tuple[int, int], cp_model.IntVar] = {}

    @property
    def spoken_of(self) -> dict[int, cp_model.IntVar]:
        """The cells that have a variable so far."""
        return dict(self._cells)

    def cell(self, cell: int) -> cp_model.IntVar:
        """Give the variable of a cell; its domain is its fact if it has one, else every digit."""
        if cell not in self._cells:
            digits = sorted(set(self._domains.get(cell, range(1, self.size + 1))))
            domain = self.cp.Domain.from_values(digits)
            self._cells[cell] = self.model.new_int_var_from_domain(domain, f"cell {cell}")
        return self._cells[cell]

    def all(self, cells: Iterable[int]) -> list[cp_model.IntVar]:
        """Give the variables of cells, in the order given."""
        return [self.cell(cell) for cell in cells]

    def has(self, cell: int, digit: int) -> cp_model.IntVar:
        """Give the truth value of "this cell holds this digit"."""
        if (cell, digit) not in self._literals:
            literal = self.truth()
            self.model.add(self.cell(cell) == digit).only_enforce_if(literal)
            self.model.add(self.cell(cell) != digit).only_enforce_if(literal.negated())
            self._literals[cell, digit] = literal
        return self._literals[cell, digit]

    def truth(self) -> cp_model.IntVar:
        """Give a fresh truth value."""
        return self.model.new_bool_var("")

    def number(self, lowest: int, highest: int) -> cp_model.IntVar:
        """Give a fresh whole number in a range."""
        return self.model.new_int_var(lowest, highest, "")

    def total(self, cells: Sequence[int]) -> cp_model.LinearExprT:
        """Give the sum of cells as an expression; 0 for none."""
        whole: cp_model.LinearExprT = sum(self.all(cells))
        return whole

    def sums_to(self, cells: Sequence[int], total: int) -> None:
        """Demand a sum; a sum of no cells is 0."""
        self.model.add_linear_constraint(self.total(cells), total, total)

    def among(self, expression: cp_model.LinearExprT, allowed: Iterable[int]) -> None:
        """Demand that an expression takes one of these values; none at all refuses every filling."""
        values = sorted(set(allowed))
        if not values:
            self.never()
            return
        self.model.add_linear_expression_in_domain(expression, self.cp.Domain.from_values(values))

    def never(self) -> None:
        """Refuse every filling."""
        self.model.add_bool_or([])

    def different(self, cells: Sequence[int]) -> None:
        """Demand that no digit stands twice among these cells."""
        self.model.add_all_different(self.all(cells))

    def smallest(self, cells: Sequence[int]) -> cp_model.IntVar:
        """Give the smallest digit among these cells."""
        number = self.number(1, self.size)
        self.model.add_min_equality(number, self.all(cells))
        return number

    def greatest(self, cells: Sequence[int]) -> cp_model.IntVar:
        """Give the greatest digit among these cells."""
        number = self.number(1, self.size)
        self.model.add_max_equality(number, self.all(cells))
        return number

    def prefixes(self, cells: Sequence[int]) -> list[cp_model.IntVar]:
        """Give the sums of the first 0, 1, 2 ... cells."""
        sums = [self.number(0, 0)]
        for cell in cells:
            after = self.number(0, len(cells) * self.size)
            self.model.add(after == sums[-1] + self.cell(cell))
            sums.append(after)
        return sums

    def remainder(self, cell: int, divisor: int) -> cp_model.IntVar:
        """Give what a cell's digit leaves when divided."""
        rest = self.number(0, divisor - 1)
        self.model.add_modulo_equality(rest, self.cell(cell), divisor)
        return rest
