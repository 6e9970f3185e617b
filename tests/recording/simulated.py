"""
Solvers whose behaviour is known: what they do wrong is planted, and the review must find it and no more.

They follow the path of least effort, which is certified elsewhere, at a pace that grows with its effort.
Where a digit is out of reach is judged by rounds in which everything that any look shows is taken at once:
a digit that needs more rounds than a chain may have looks is shown by no such chain.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import chain, permutations

from msgspec import structs

from saywhy.files import puzzle_id
from saywhy.puzzle import Puzzle
from saywhy.reasoning.frame import Frame, bits
from saywhy.reasoning.path import Walk, Walker
from saywhy.reasoning.position import Position
from saywhy.reasoning.sweep import Sweeper
from saywhy.recording.acts import AnyAct, Erase, Finish, Header, Marker, Options, Place, Undo
from saywhy.recording.chains import FOLLOWED
from saywhy.recording.log import Recording
from saywhy.rule import Rule
from saywhy.rules import placed

#: Seconds for a move, and for each glance of its effort.
MOVE_S, GLANCE_S = 2.0, 0.6
#: The effort of what is seen at sight, in glances.
EASY = 2.0

#: Clues in which no digit repeats.
WITHOUT_REPEATS = {"killer-cage", "renban", "nabner", "extra-region"}

#: A grid-wide rule of two cells reaches so far: neighbours, a knight's move.
REACH = 2

#: A move: cell, digit and its effort.
Did = tuple[int, int, float]


@dataclass
class Simulated:
    """
    A recording with what was planted in it.

    Attributes:
        kind: Of the solver.
        acts: The acts.
        guesses: Times of guesses.
        wrong: Times of wrong digits, with when they were noticed.
        missed: Cells seen late, with since when they were open and when they were placed.
        rests: When nothing was done, with until when.
    """

    kind: str
    acts: list[AnyAct] = field(default_factory=list)
    guesses: list[float] = field(default_factory=list)
    wrong: dict[float, float] = field(default_factory=dict)
    missed: dict[int, tuple[float, float]] = field(default_factory=dict)
    rests: dict[float, float] = field(default_factory=dict)


class Solver:
    """Simulated solvers of one puzzle."""

    def __init__(self, puzzle: Puzzle) -> None:
        self.puzzle = puzzle
        self.walker = Walker(Frame(puzzle))
        self.walk: Walk = self.walker.walk(120.0)
        assert self.walk.complete
        self.of_path: list[Did] = []
        effort = 0.0
        for step in self.walk.steps:
            effort += step.effort
            for cell, digit in step.places.items():
                self.of_path.append((cell, digit, effort))
                effort = 0.0
        self.houses = [house.cells for house in puzzle.grid.houses]
        n = puzzle.grid.size
        if "diagonals" in puzzle.rules:
            self.houses += [tuple(k * n + k for k in range(n)), tuple((n - 1 - k) * n + k for k in range(n))]
        #: For each cell, the cells that share a house or a grid-wide rule with it, with these rules.
        self.near: list[dict[int, list[Rule]]] = [{} for _ in puzzle.grid.cells]
        apart = [*self.houses, *(clue.cells for clue in puzzle.clues if clue.rule in WITHOUT_REPEATS)]
        for group in apart:
            for a, b in permutations(group, 2):
                self.near[a].setdefault(b, [])
        for rule in placed(puzzle).grid_wide.values():
            for a, b in permutations(rule.scope, 2):
                down, right = (
                    abs(one - other) for one, other in zip(divmod(a, n), divmod(b, n), strict=True)
                )
                if max(down, right) <= REACH:
                    self.near[a].setdefault(b, []).append(rule)
        self.differ = [{c for group in apart if a in group for c in group} for a in puzzle.grid.cells]
        self._apart: dict[tuple[int, int, int, int], bool] = {}
        self.moves = self._perfect()

    def _perfect(self, without: int | None = None) -> list[Did]:
        """Give the moves: what a house or a cell shows at sight first, else the next of the path."""
        board = list(self.puzzle.givens)
        left = [move for move in self.of_path if move[0] != without]
        resting = set() if without is None else self._resting_on(without)
        moves: list[Did] = []
        while left:
            open_now = self._open_at_sight(board)
            ready = [(cell, digit, EASY) for cell, digit, _ in left if open_now.get(cell) == digit]
            ready = ready or [move for move in left if move[0] not in resting]
            if not ready:
                break
            moves.append(ready[0])
            board[ready[0][0]] = ready[0][1]
            left = [move for move in left if move[0] != ready[0][0]]
        return moves

    def _open_at_sight(self, board: Sequence[int]) -> dict[int, int]:
        """Give what has one place left in a house or a cell, digit by cell; plain arithmetic."""
        grid = self.puzzle.grid
        left = {
            cell: {
                digit
                for digit in grid.digits
                if not any(board[b] and self._clash(cell, digit, b, board[b]) for b in self.near[cell])
            }
            for cell in grid.cells
            if not board[cell]
        }
        found = {cell: min(digits) for cell, digits in left.items() if len(digits) == 1}
        for house in self.houses:
            for digit in grid.digits:
                places = [cell for cell in house if cell in left and digit in left[cell]]
                if len(places) == 1:
                    found[places[0]] = digit
        return found

    def _clash(self, a: int, digit: int, b: int, other: int) -> bool:
        """Whether two digits cannot stand in two cells, by the houses or by what a grid-wide rule says."""
        key = a, digit, b, other
        if key not in self._apart:
            board = [0] * len(self.puzzle.grid.cells)
            board[a], board[b] = digit, other
            same = digit == other and b in self.differ[a]
            self._apart[key] = same or any(rule.holds(board) is False for rule in self.near[a][b])
        return self._apart[key]

    def recording(self, simulated: Simulated) -> Recording:
        """Give a solve as a recording."""
        header = Header(
            format=1, puzzle=puzzle_id(self.puzzle), blind=True, started="2026-11-25T20:00:00+00:00"
        )
        return Recording(header, tuple(simulated.acts))

    def follower(self) -> Simulated:
        """Follow the path."""
        return self._play("follower", self.moves)

    def note_taker(self) -> Simulated:
        """Follow the path and write down as options every mark that it relies on."""
        solve = Simulated("note taker")
        position = self.walk.start.copy()
        t, full = 0.0, self.walk.frame.full
        for step in self.walk.steps:
            t = round(t + MOVE_S + GLANCE_S * step.effort, 2)
            position.apply(step)
            for cell, digit in step.places.items():
                solve.acts.append(Place(t=t, cell=self._name(cell), digit=digit))
            for cell in step.removes:
                left = position.domain(cell)
                if not position.placed[cell] and left != full and left.bit_count() <= 5:
                    digits = [d for d in self.puzzle.grid.digits if left >> (d - 1) & 1]
                    solve.acts.append(Options(t=t, cell=self._name(cell), digits=digits))
        return self._end(solve, t)

    def guesser(self, chance: random.Random, many: int = 2) -> Simulated:
        """Follow the path, but now and then write a digit that is out of reach."""
        moves = list(self.moves)
        planted: list[int] = []
        for at in chance.sample(range(1, len(moves) - 2), len(moves) - 3):
            if len(planted) == many:
                break
            if any(cell in planted for cell, _, _ in moves[:at]):
                continue  # what comes after a guess may rest on it
            far = self._out_of_reach(moves[:at], [cell for cell, _, _ in moves[at:]])
            if far:
                cell = chance.choice(far)
                move = next(move for move in moves if move[0] == cell)
                moves.remove(move)
                moves.insert(at, move)
                planted.append(cell)
        solve = self._play("guesser", moves)
        solve.guesses = [act.t for act in solve.acts if isinstance(act, Place) and self._cell(act) in planted]
        return solve

    def errs(self, chance: random.Random, later: int = 6) -> Simulated:
        """Follow the path, once write a wrong digit and notice it some moves later, by undo or by hand."""
        solve = Simulated("errs")
        at = self._harmless(chance, later)
        by_undo = chance.random() < 0.5
        t = wrong_t = 0.0
        for number, (cell, digit, effort) in enumerate(self.moves):
            t = round(t + MOVE_S + GLANCE_S * effort, 2)
            if number == at:
                n = self.puzzle.grid.size
                false = chance.choice([d for d in range(1, n + 1) if d != digit])
                solve.acts.append(Place(t=t, cell=self._name(cell), digit=false))
                wrong_t = t
                if by_undo:
                    t = round(t + 4, 2)
                    solve.acts.append(Undo(t=t))
                    solve.wrong[wrong_t] = t
                    t = round(t + 3, 2)
                    solve.acts.append(Place(t=t, cell=self._name(cell), digit=digit))
                continue
            solve.acts.append(Place(t=t, cell=self._name(cell), digit=digit))
            if number == at + later and not by_undo:
                wrong = self.moves[at]
                t = round(t + 5, 2)
                solve.acts.append(Erase(t=t, cell=self._name(wrong[0])))
                solve.wrong[wrong_t] = t
                t = round(t + 1, 2)
                solve.acts.append(Place(t=t, cell=self._name(wrong[0]), digit=wrong[1]))
        return self._end(solve, t)

    def _harmless(self, chance: random.Random, later: int) -> int:
        """Give a move on which the path rests none of the moves that come so soon after it."""
        for at in chance.sample(range(3, len(self.moves) - later - 2), len(self.moves) - later - 5):
            resting = self._resting_on(self.moves[at][0])
            if not any(cell in resting for cell, _, _ in self.moves[at + 1 : at + later + 1]):
                return at
        raise AssertionError("every move is needed at once")

    def misses(self, chance: random.Random) -> Simulated | None:
        """Follow the path without one digit that a house shows, stand still, and see it at last."""
        for number in chance.sample(range(len(self.moves)), len(self.moves)):
            cell, digit, _ = self.moves[number]
            if any(cell in clue.scope for clue in self.walk.frame.clues):
                continue  # its clues may show it before its houses do
            without = self._perfect(cell)
            board = list(self.puzzle.givens)
            since = 0
            while since < len(without) and self._open_at_sight(board).get(cell) != digit:
                board[without[since][0]] = without[since][1]
                since += 1
            if not 3 <= since < len(without) or len(without) > len(self.moves) - 3:
                continue
            order = [other for other, _, _ in self.of_path]
            if all(order.index(other) < order.index(cell) for other, _, _ in without[since:]):
                continue  # nothing that comes after it is done meanwhile: a rest on the path
            solve = self._play("misses", without, finish=False)
            opened = [act.t for act in solve.acts if isinstance(act, Place)][since - 1]
            t = round(solve.acts[-1].t + 90 + chance.randrange(60), 2)
            solve.acts.append(Place(t=t, cell=self._name(cell), digit=digit))
            solve.missed[cell] = opened, t
            done = {cell, *(other for other, _, _ in without)}
            for other, right, effort in self.moves:
                if other not in done:
                    t = round(t + MOVE_S + GLANCE_S * effort, 2)
                    solve.acts.append(Place(t=t, cell=self._name(other), digit=right))
            return self._end(solve, t)
        return None

    def rests(self, chance: random.Random, many: int = 2) -> Simulated:
        """Follow the path, and now and then look away for a while before the next move."""
        solve = Simulated("rests")
        followed = self.follower().acts
        places = [number for number, act in enumerate(followed) if isinstance(act, Place)][2:]
        at, more = set(chance.sample(places, many)), 0.0
        for number, act in enumerate(followed):
            if number in at:
                length = 90 + chance.randrange(90)
                more += length
                solve.rests[solve.acts[-1].t] = round(act.t + more, 2)
            solve.acts.append(structs.replace(act, t=round(act.t + more, 2)))
        return solve

    def _resting_on(self, cell: int) -> set[int]:
        """Give the cells whose digits the path rests on this one's, itself among them."""
        full, struck_by = self.walk.frame.full, dict[tuple[int, int], bool]()
        resting: set[int] = set()
        for step in self.walk.steps:
            rests = cell in step.places or any(
                struck_by.get((where, bit))
                for where, mask in step.reason.facts.items()
                for bit in bits(full & ~mask)
            )
            for where, mask in step.struck(full).items():
                for bit in bits(mask):
                    struck_by.setdefault((where, bit), rests)
            if rests:
                resting.update(step.places)
        return resting

    def _out_of_reach(self, before: Sequence[Did], cells: Sequence[int]) -> list[int]:
        """
        Give the cells whose digit no chain of as few looks as the review's shows.

        Only where some digit is in sight, and of those only cells that the path needs further digits for.
        What earlier reasons may have struck out counts as known.
        """
        sweeper = Sweeper(self.walk.frame)
        here = Position.opening(self.walk.frame)
        for cell, digit, _ in before:
            here.place(cell, digit)
        # Whatever the path has struck out up to here may be in mind as well.
        done = {cell for cell, _, _ in before}
        last = max((k for k, step in enumerate(self.walk.steps) if step.places.keys() & done), default=-1)
        for step in self.walk.steps[: last + 1]:
            here.remove(step.struck(self.walk.frame.full))
        standing = sum(map(bool, here.placed))
        resting = {
            other for cell in cells for other in self._resting_on(cell) if other in cells and other != cell
        }
        for number in range(FOLLOWED):
            if not _take_all(sweeper, here):
                return []
            if not number and standing == sum(map(bool, here.placed)):
                return []
        return [cell for cell in cells if not here.placed[cell] and cell in resting]

    def _play(self, kind: str, moves: Sequence[Did], *, finish: bool = True) -> Simulated:
        solve = Simulated(kind)
        t = 0.0
        for number, (cell, digit, effort) in enumerate(moves):
            t = round(t + MOVE_S + GLANCE_S * effort, 2)
            if number == len(moves) // 2:
                solve.acts.append(Marker(t=t, name="Half way"))
            solve.acts.append(Place(t=t, cell=self._name(cell), digit=digit))
        return self._end(solve, t) if finish else solve

    @staticmethod
    def _end(solve: Simulated, t: float) -> Simulated:
        solve.acts.append(Finish(t=round(t + 1, 2)))
        return solve

    def _name(self, cell: int) -> str:
        return self.puzzle.grid.name(cell)

    def _cell(self, act: Place) -> int:
        return self.puzzle.grid.cell(act.cell)


def _take_all(sweeper: Sweeper, here: Position) -> bool:
    """Take at once everything that any look shows; False where there was nothing."""
    finds = list(chain.from_iterable(finder(here) for tier in sweeper.looks for finder in tier))
    for find in finds:
        here.remove(find.removes)
        for cell, digit in find.places.items():
            if not here.placed[cell]:
                here.place(cell, digit)
    return bool(finds)
