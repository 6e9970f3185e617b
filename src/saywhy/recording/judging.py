"""
Each move of a recording judged by what could be known at its moment.

Only what has been shown counts as known: the givens, and digits that were right and had a reason when they
were placed (or got one later). A digit that was guessed, or is wrong, is kept apart; what follows from it
alone is not called forced, and says on what it rests.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from saywhy.puzzle import Puzzle
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.path import Walker
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Step, Told
from saywhy.reasoning.sweep import Sweeper
from saywhy.reasoning.words import Teller
from saywhy.recording.acts import AnyAct, Erase, Options, Place, Sum, Tie, Trait, Undo
from saywhy.recording.board import Board, Played, play
from saywhy.recording.chains import SEARCH, Chains, Goal
from saywhy.recording.chapters import clock
from saywhy.recording.doubts import Claim, Doubts
from saywhy.recording.faults import Faults
from saywhy.recording.notes import Notes, noted
from saywhy.recording.shown import START, Opening, Shown
from saywhy.recording.typed import typed_on

#: Wall time for the path of least effort, seconds.
WALK_S = 60.0


@dataclass(frozen=True)
class Move:
    """
    One act that claims something, judged.

    Attributes:
        act: Its index among the acts of the recording.
        t: Seconds since the start.
        do: ``place``, ``options``, ``tie``, ``sum`` or ``trait``.
        cells: The cells it speaks of.
        digit: The digit placed, or of a tie; None for other notes.
        said: What it claims, in words.
        verdict: ``forced``, ``guessed``, ``wrong`` or ``undone`` (right, but taken back).
        shown: Whether it was forced at its moment; of an undone move too.
        reason: In words: why it is forced, why not, or what it contradicts.
        steps: The chain that forces it, each step with its words; empty where there is none.
        opening: Since when its digit was open by one look, or when the last thing its chain rests on came to
            stand.
        one_look: Whether ``opening`` is that of one look.
        rests_on: Cells of unproved or wrong digits and notes from which it follows, and from nothing less.
        taken_s: When it was taken back or, for a digit, gave way; None where it stayed.
        shown_s: For a guess that got a reason later: when.
        pace_s: Seconds since the act before it, pauses left out.
    """

    act: int
    t: float
    do: str
    cells: tuple[int, ...]
    digit: int | None
    said: str
    verdict: str
    shown: bool
    reason: str
    steps: tuple[tuple[Step, Told], ...] = ()
    opening: Opening | None = None
    one_look: bool = False
    rests_on: tuple[int, ...] = ()
    taken_s: float | None = None
    shown_s: float | None = None
    pace_s: float = 0.0

    @property
    def effort(self) -> float:
        """The effort of its chain, in glances."""
        return sum(step.effort for step, _ in self.steps)

    @property
    def idea(self) -> str:
        """The sort of thought: that of the chain's hardest step."""
        return max(self.steps, key=lambda pair: pair[0].effort)[0].idea if self.steps else ""


@dataclass(frozen=True)
class Back:
    """
    Something taken back by an undo, an erasure or a digit written over it.

    Attributes:
        act: The act that took it back.
        t: When, seconds.
        do: ``undo``, ``erase`` or ``place``.
        move: The move taken back.
    """

    act: int
    t: float
    do: str
    move: Move

    @property
    def right(self) -> bool:
        """Whether what was taken back was so."""
        return self.move.verdict != "wrong"

    @property
    def said(self) -> str:
        """In words."""
        return f"takes back {self.move.said}, which is {'right' if self.right else 'wrong'}"


@dataclass
class Judged:
    """
    A recording judged.

    Attributes:
        frame: The puzzle made ready.
        moves: In order.
        played: The boards.
        openings: By cell, the first opening by one look of its digit.
        snapshots: After each act, the digits shown and the marks of notes: what anybody sees.
        shown: The state at the end.
        back: What was taken back, in order.
    """

    frame: Frame
    moves: list[Move]
    played: Played
    openings: dict[int, Opening]
    snapshots: list[Position]
    shown: Shown
    back: list[Back]


@dataclass
class _Claim:
    """A right digit on the board that has no reason yet."""

    digit: int
    move: int


@dataclass
class _Found:
    """What is found of one move before it is written down."""

    verdict: str
    reason: str
    steps: Sequence[Step] = ()
    opening: Opening | None = None
    one_look: bool = False
    rests_on: tuple[int, ...] = ()
    words: list[tuple[Step, Told]] = field(default_factory=list)


class Judge:
    """Judges the recordings of one puzzle, whose solution is known."""

    def __init__(self, puzzle: Puzzle, solution: Sequence[int]) -> None:
        self.puzzle, self.solution = puzzle, tuple(solution)
        self.frame = Frame(puzzle)
        self.sweeper = Sweeper(self.frame)
        self.path = Walker(self.frame).walk(WALK_S)
        self.chains = Chains(self.sweeper, self.path.steps)
        self.teller = Teller(self.frame)
        self.faults = Faults(self.chains, self.solution)
        self.notes = Notes(self.chains, self.solution)
        self.doubts = Doubts(self.chains, self.solution)

    def judge(self, acts: Sequence[AnyAct]) -> Judged:
        """Judge acts, in order."""
        grid = self.puzzle.grid
        played = play(acts, grid)
        self._shown = Shown(self.sweeper)
        self._claims: dict[int, _Claim] = {}
        self._stood: dict[int, tuple[float, int]] = {}
        self._doubted: dict[int, Claim] = {}
        moves: list[Move] = []
        snapshots: list[Position] = []
        paces = _paces(acts)
        unfinished = typed_on(acts)
        for index, act in enumerate(acts):
            board = played.boards[index - 1] if index else Board()
            cells = self._cells(act)
            found = None if index in unfinished else self._judge_act(act, cells, board)
            if found is not None:
                moves.append(self._move((index, act, paces[index]), cells, found, played))
            if isinstance(act, Place) and found is not None:
                self._take(cells[0], act, index, found, len(moves) - 1)
            elif found is not None and found.verdict == "forced":
                self._shown.note(noted(act, cells, self.frame.n), found.steps)
                self._shown.look(act.t, index)
            elif found is not None:
                said = f"the note that {moves[-1].said}"
                self._doubted[index] = Claim(said, cells, found.verdict == "wrong", act=act)
            self._drop_claims(played.boards[index], act, moves)
            snapshots.append(self._shown.plain)
        back = _backs(acts, moves, played)
        return Judged(self.frame, moves, played, self._shown.openings, snapshots, self._shown, back)

    def _cells(self, act: AnyAct) -> tuple[int, ...]:
        grid = self.puzzle.grid
        if isinstance(act, Place | Options):
            return (grid.cell(act.cell),)
        return tuple(grid.cell(name) for name in act.cells) if isinstance(act, Tie | Sum | Trait) else ()

    def _judge_act(self, act: AnyAct, cells: tuple[int, ...], board: Board) -> _Found | None:
        """Judge one act; None where it claims nothing."""
        position, notes = self._shown.position, self.notes
        match act:
            case Place(digit=digit):
                return self._place(cells[0], digit, board)
            case Options(digits=digits) if digits:
                return self._note(notes.options(position, cells[0], digits))
            case Tie(digit=digit):
                return self._note(notes.tie(position, cells, digit))
            case Sum(total=total) if total is not None:
                return self._note(notes.sum(position, cells, total))
            case Trait(trait=trait) if trait is not None:
                return self._note(notes.trait(position, cells, trait))
        return None

    def _place(self, cell: int, digit: int, board: Board) -> _Found:
        given = self.puzzle.givens[cell]
        if given:
            name = self.puzzle.grid.name(cell)
            if given == digit:
                return _Found("forced", f"The {given} in {name} is given.", opening=Opening(0.0, START))
            return _Found("wrong", f"{name} is given as {given}.")
        if digit != self.solution[cell]:
            rests = self._rests_on(cell, digit, board)
            reason = self.faults.of(self._shown.position, cell, digit)
            reason += f" It rests on {_claimed(rests)}." if rests else ""
            return _Found("wrong", reason, rests_on=_cells_of(rests))
        shown = self._shown
        if shown.position.placed[cell]:
            reason = f"It had been shown at {clock(self._stood[cell][0])}."
            return _Found("forced", reason, opening=shown.openings.get(cell), one_look=True)
        one = shown.easiest(cell, digit)
        if one is not None:
            return _Found("forced", "", [one], shown.openings[cell], one_look=True)
        return self._chained(cell, digit, board)

    def _chained(self, cell: int, digit: int, board: Board) -> _Found:
        one = self._shown.remembered(cell, digit)
        steps = [one] if one is not None else self.chains.to(self._shown.position, Goal(cell, digit))
        if steps is not None:
            return _Found("forced", "", steps, self._since(steps))
        return self._guessed(cell, digit, board)

    def _guessed(self, cell: int, digit: int, board: Board) -> _Found:
        rests = self._rests_on(cell, digit, board)
        reason = f"It is right, but nothing had shown it: {SEARCH}."
        if rests:
            reason = f"It is right, but it rests on {_claimed(rests)}."
        return _Found("guessed", reason, rests_on=_cells_of(rests))

    def _rests_on(self, cell: int, digit: int, board: Board) -> list[Claim]:
        standing = self.doubts.standing(board, self._shown, self._doubted)
        return self.doubts.rests_on(standing, self._shown, cell, digit) if standing else []

    def _since(self, steps: Sequence[Step]) -> Opening:
        """Give when the last digit that a chain relies on came to stand."""
        best = (0.0, START)
        made: set[int] = set()
        for step in steps:
            for cell in step.reason.facts:
                if cell not in made:
                    best = max(best, self._stood.get(cell, (0.0, START)))
            made.update(step.places)
        return Opening(*best)

    def _note(self, judged: tuple[str, str, Sequence[Step]]) -> _Found:
        verdict, reason, steps = judged
        return _Found(verdict, reason, steps, self._since(steps) if verdict == "forced" else None)

    def _move(
        self, at: tuple[int, AnyAct, float], cells: tuple[int, ...], found: _Found, played: Played
    ) -> Move:
        index, act, pace = at
        position = self._shown.position.copy()
        told: list[tuple[Step, Told]] = []
        for step in found.steps:
            told.append((step, self.teller.tell(position, step, told)))
            position.apply(step)
        reason = found.reason or _in_words([words for _, words in told])
        taken = played.taken.get(index)
        verdict = found.verdict
        if taken is not None and verdict != "wrong":
            verdict = "undone"
        digit = getattr(act, "digit", None)
        return Move(
            index,
            act.t,
            type(act).__name__.lower(),
            cells,
            digit,
            self._said(act, cells),
            verdict,
            found.verdict == "forced",
            reason,
            tuple(told),
            found.opening,
            found.one_look,
            found.rests_on,
            taken,
            None,
            pace,
        )

    def _said(self, act: AnyAct, cells: tuple[int, ...]) -> str:
        names = _listed(self.puzzle.grid.names(cells))
        match act:
            case Place(digit=digit):
                return f"{digit} in {names}"
            case Options(digits=digits):
                return f"{names} is {_listed([str(d) for d in sorted(set(digits))], 'or')}"
            case Tie(digit=digit):
                return f"a {digit} in {_listed(self.puzzle.grid.names(cells), 'or')}"
            case Sum(total=total):
                return f"{names} make {total}"
            case Trait(trait=trait):
                return f"{names} {'is' if len(cells) == 1 else 'are'} {trait}"
        return ""

    def _take(self, cell: int, act: Place, index: int, found: _Found, move: int) -> None:
        """Take over what a placed digit has shown, and look at what it opens."""
        if found.verdict == "forced" and not self._shown.position.placed[cell]:
            self._shown.place(cell, act.digit, found.steps)
            self._stood[cell] = (act.t, index)
            self._shown.look(act.t, index)
            self._claims.pop(cell, None)
        elif found.verdict == "guessed":
            self._claims[cell] = _Claim(act.digit, move)

    def _drop_claims(self, board: Board, act: AnyAct, moves: list[Move]) -> None:
        """Forget claims that were taken back; believe those that have come to be shown."""
        for cell in [c for c, claim in self._claims.items() if board.digits.get(c, (0,))[0] != claim.digit]:
            del self._claims[cell]
        moved = True
        while moved:
            moved = False
            for cell, claim in list(self._claims.items()):
                step = self._shown.remembered(cell, claim.digit)
                if step is None:
                    continue
                self._shown.place(cell, claim.digit, [step])
                self._stood[cell] = (act.t, moves[claim.move].act)
                moves[claim.move] = replace(moves[claim.move], shown_s=act.t)
                self._shown.look(act.t, moves[-1].act)
                del self._claims[cell]
                moved = True


def _backs(acts: Sequence[AnyAct], moves: Sequence[Move], played: Played) -> list[Back]:
    """Give what each undo took back, and each digit that an erasure or another digit took away."""
    by_act = {move.act: move for move in moves}
    found = []
    before = Board()
    for index, (act, after) in enumerate(zip(acts, played.boards, strict=True)):
        if isinstance(act, Undo | Erase | Place):
            stood, stands = before.writers(), after.writers()
            lost = [stood[what] for what in stood if stands.get(what) != stood[what]]
            kept = [by_act[number] for number in dict.fromkeys(lost) if number in by_act]
            do = type(act).__name__.lower()
            found += [Back(index, act.t, do, move) for move in kept if do == "undo" or move.do == "place"]
        before = after
    return found


def _paces(acts: Sequence[AnyAct]) -> list[float]:
    """
    Give for each act the seconds since the one before, pauses left out.

    What comes before the first act that writes is for the rules, unless a marker says where the solve begins.
    """
    paces: list[float] = []
    before: float | None = None
    still = False
    for act in acts:
        kind = type(act).__name__
        paces.append(0.0 if still or before is None else act.t - before)
        still = kind == "Pause" or (still and kind != "Resume")
        before = act.t
    return paces


def paused(acts: Sequence[AnyAct], start: float = 0.0, end: float | None = None) -> float:
    """Give how long the clock stood still between two moments, or in the whole recording, in seconds."""
    last = (acts[-1].t if acts else 0.0) if end is None else end
    total, since = 0.0, None
    for act in acts:
        kind = type(act).__name__
        if kind == "Pause" and since is None:
            since = act.t
        elif kind == "Resume" and since is not None:
            total, since = total + max(0.0, min(act.t, last) - max(since, start)), None
    return total + (max(0.0, last - max(since, start)) if since is not None else 0.0)


def _in_words(told: Sequence[Told]) -> str:
    """Give a chain in words: all of a short one, the number and the end of a long one."""
    if len(told) <= 3:
        return " ".join(words.written for words in told)
    return f"{len(told)} looks lead to it; the last: {told[-1].written}"


def _claimed(claims: Sequence[Claim]) -> str:
    """Name claims with what is amiss of each sort."""
    parts = []
    for wrong, what in ((True, "wrong"), (False, "")):
        said = [claim.said for claim in claims if claim.wrong is wrong]
        if said:
            be = "is" if len(said) == 1 else "are"
            parts.append(f"{_listed(said)}, which {f'{be} {what}' if wrong else 'nothing had shown'}")
    return "; and on ".join(parts)


def _cells_of(claims: Sequence[Claim]) -> tuple[int, ...]:
    return tuple(dict.fromkeys(cell for claim in claims for cell in claim.cells))


def _listed(words: Sequence[str], link: str = "and") -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {link} {words[-1]}"
