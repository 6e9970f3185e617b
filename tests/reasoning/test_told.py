"""Beats, profiles, and what is answered to somebody at a position."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest

from saywhy.engine import Proof, prove
from saywhy.engine.constraints import Source
from saywhy.grid import Grid
from saywhy.puzzle import Puzzle
from saywhy.reasoning.answer import from_position, nudge, rests_on
from saywhy.reasoning.beats import LONGEST, SMALL, beats
from saywhy.reasoning.claims import Claims, judge
from saywhy.reasoning.explain import Path, explain
from saywhy.reasoning.explain import told as in_words
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.lean import lean
from saywhy.reasoning.path import Walker
from saywhy.reasoning.position import Position
from saywhy.reasoning.profile import BANDS, RATE_WPM, profile
from saywhy.reasoning.step import PathStep, Reason, Step, Told
from saywhy.reasoning.sweep import Sweeper
from saywhy.reasoning.thought import CLUE_IDEAS, same_lock, same_story
from saywhy.reasoning.words.beats import RECENT
from saywhy.reasoning.words.teller import Teller
from tests.reasoning.boards import classic, variant
from tests.second_opinion.samples import clue, puzzle

CELL = re.compile(r"r\d+c\d+")


@cache
def path(seed: int) -> Path:
    return explain(variant(seed))


@cache
def solved(seed: int) -> tuple[int, ...]:
    proof: Proof = prove(variant(seed))
    assert proof.solution is not None
    return proof.solution


def _step(effort: float, facts: dict[int, int], places: dict[int, int]) -> Step:
    return Step("only place", Reason(frozenset(), facts), places, effort=effort)


def test_a_small_consequence_joins_the_beat_it_rests_on_and_nothing_else_does() -> None:
    full = 0b1111
    first = _step(3.0, {}, {0: 1})
    follows = _step(SMALL, {0: 0b1}, {1: 2})
    assert beats([first, follows], full) == [1, 1]
    assert beats([first, _step(SMALL, {5: 0b1}, {1: 2})], full) == [1, 2]
    assert beats([first, replace(follows, idea="clue", effort=SMALL + 0.1)], full) == [1, 2]
    assert beats([], full) == []


def test_a_digit_that_a_cell_or_a_house_shows_joins_the_beat_unless_other_marks_are_recalled() -> None:
    full = 0b1111
    first = Step("clue", Reason(frozenset(), {}), removes={0: 0b1000}, effort=3.0)
    settled = _step(SMALL + 1.0, {0: 0b0111, 4: 0b1}, {1: 4})
    assert beats([first, settled], full) == [1, 1]
    recalls = _step(SMALL + 1.0, {0: 0b0111, 4: 0b0011}, {1: 4})
    assert beats([first, recalls], full) == [1, 2]


def test_the_cell_that_a_beat_narrows_is_told_what_that_leaves() -> None:
    found = 0
    for seed in range(12):
        told = path(seed)
        for number, text in enumerate(told.beats, 1):
            steps = [step.step for step in told.steps if step.beat == number]
            for cell, digit in steps[1].places.items() if len(steps) > 1 else ():
                narrowed = not steps[0].places and steps[0].removes.keys() == {cell}
                if steps[1].idea == "only digit" and narrowed:
                    assert f"That leaves only {digit} there" in text
                    found += 1
    assert found


def test_no_step_narrows_a_cell_to_the_digit_that_it_shows_and_leaves_the_placing_to_the_next() -> None:
    narrowed = 0
    for seed in range(12):
        told = path(seed)
        frame = Frame(told.puzzle)
        for before, step in pairwise(placed.step for placed in told.steps):
            if (
                step.idea == "only digit"
                and before.idea in CLUE_IDEAS
                and before.removes.keys() == step.places.keys()
                and not before.places
            ):
                more = replace(before, places=step.places, removes={})
                assert lean(frame, more) is more
                narrowed += 1
    assert narrowed


def _what_if(cell: int, facts: dict[int, int]) -> Step:
    inner = Step("only place", Reason(frozenset(), {cell: 0b1, **facts}), house=0, breaks=True)
    return Step(
        "what-if", Reason(frozenset(), facts), removes={cell: 0b1}, suppose=(cell, 0b1), story=(inner,)
    )


def test_a_what_if_that_goes_the_same_way_joins_the_beat_and_another_does_not() -> None:
    first, again = _what_if(0, {5: 0b10}), _what_if(1, {5: 0b10})
    other = _what_if(2, {6: 0b10})
    assert same_story(first, again)
    assert not same_story(first, other)
    assert not same_story(first, _step(1.0, {}, {0: 1}))
    assert beats([first, again, other], 0b1111) == [1, 1, 2]


def test_the_first_beat_says_where_to_start_and_the_last_that_it_was_the_last() -> None:
    for seed in range(3):
        found = path(seed)
        assert re.match(r"Start (in|with|here)|To start, ", found.beats[0])
        assert found.beats[-1].endswith("And that was the last one.")
        assert not any("last one" in text or text.startswith("Start") for text in found.beats[1:-1])
        assert not found.steps[0].told.text.startswith("Start"), "a step stands alone"


def test_a_beat_is_never_longer_than_a_breath() -> None:
    steps = [_step(1.0, {n - 1: 0b1} if n else {}, {n: 1}) for n in range(LONGEST + 2)]
    assert beats(steps, 0b1111) == [1] * LONGEST + [2, 2]


def test_a_profile_adds_up_what_its_steps_say() -> None:
    found = path(1)
    assert found.effort is not None
    efforts = [told.step.effort for told in found.steps]
    assert found.effort.total == pytest.approx(sum(efforts))
    assert found.effort.hardest == max(efforts)
    assert found.effort.steps == len(found.steps)
    assert found.effort.beats == found.steps[-1].beat == len(found.beats)
    assert found.effort.words == sum(len(text.split()) for text in found.beats)
    least, likely, most = found.effort.minutes
    assert least < likely < most
    assert likely > found.effort.words / RATE_WPM
    index = [name for _, name in BANDS].index(found.effort.band)
    assert found.effort.hardest <= BANDS[index][0]
    assert index == 0 or found.effort.hardest > BANDS[index - 1][0]


def test_a_faster_speaker_takes_less_time() -> None:
    found = path(1)
    openings = [1] * len(found.steps)
    assert (
        profile(found.steps, openings, found.beats, 180).minutes[1]
        < profile(found.steps, openings, found.beats, 110).minutes[1]
    )


def test_nothing_in_a_profile_names_a_cell() -> None:
    found = path(1)
    assert found.effort is not None
    assert "r1c" not in str(found.effort.as_json())


def test_what_a_cell_rests_on_ends_with_it_and_is_enough_for_it() -> None:
    for seed in range(3):
        found = path(seed)
        full = (1 << 6) - 1
        frame = Frame(variant(seed))
        for told in found.steps:
            for cell in told.step.places:
                chain = rests_on(found, cell)
                assert chain[-1] is told
                assert [step.n for step in chain] == sorted(step.n for step in chain)
                known = [1 << (g - 1) if g else full for g in frame.puzzle.givens]
                for step in chain:
                    facts = step.step.reason.facts
                    assert not any(known[c] & ~mask for c, mask in facts.items()), (
                        f"seed {seed}, step {step.n}"
                    )
                    for where, mask in step.step.struck(full).items():
                        known[where] &= ~mask


def test_a_given_rests_on_nothing() -> None:
    given = next(cell for cell, digit in enumerate(classic(1).givens) if digit)
    assert rests_on(explain(classic(1)), given) == []


def test_a_false_digit_is_pointed_out_first_and_the_right_one_is_not_told() -> None:
    board, solution = variant(1), solved(1)
    empty = [cell for cell, given in enumerate(board.givens) if not given]
    wrong = solution[empty[1]] % 6 + 1
    answer = from_position(board, Claims({empty[0]: solution[empty[0]], empty[1]: wrong}), solution)
    assert (answer.kind, answer.cells) == ("false", (empty[1],))
    assert str(wrong) in answer.text
    assert not answer.steps


def test_notes_that_leave_out_the_digit_are_false_and_the_digit_is_not_told() -> None:
    board, solution = variant(1), solved(1)
    empty = board.givens.index(0)
    answer = from_position(board, Claims(options={empty: 0b111111 & ~(1 << (solution[empty] - 1))}), solution)
    assert (answer.kind, answer.cells) == ("false", (empty,))
    name = board.grid.name(empty)
    assert answer.text == f"The options in {name} leave out its digit."


def test_a_true_digit_that_no_look_leads_to_is_right_but_unshown() -> None:
    solution = prove(puzzle(4)).solution
    assert solution is not None
    # Two grids are left until one more digit is known, so nothing shows either.
    frame = Frame(puzzle(4, givens="12.. 34.. .... ...."))
    judged = judge(Sweeper(frame), Claims({15: 1}), (1, 2, 3, 4, 3, 4, 1, 2, 2, 1, 4, 3, 4, 3, 2, 1))
    assert judged.unshown_digits == (15,)
    assert judged.false_digits == ()


def test_what_the_path_leads_to_without_a_trial_is_shown_wherever_it_stands() -> None:
    # On the first, digits that are not on the board strike others out a king's move away.
    kings = puzzle(6, rules=["anti-king"], givens="..3... .....2 1..... .6.... ...5.6 ......")
    for board, what_ifs in ((kings, False), (variant(28), True)):
        ideas = {told.step.idea for told in explain(board).steps}
        assert ("what-if" in ideas, "trial" in ideas) == (what_ifs, False)
        solution = prove(board).solution
        assert solution is not None
        sweeper = Sweeper(Frame(board))
        for cell, digit in enumerate(solution):
            assert not judge(sweeper, Claims({cell: digit}), solution).unshown_digits, board.grid.name(cell)
            assert not judge(sweeper, Claims({}, {cell: 1 << (digit - 1)}), solution).unshown_options


def test_what_takes_a_trial_is_unshown_unless_the_digit_that_it_settles_stands() -> None:
    board, solution = variant(23), solved(23)
    steps = path(23).steps
    trial = next(told for told in steps if told.step.idea == "trial")
    [(tried, digit)] = trial.step.places.items()
    later = next(cell for told in steps[trial.n :] for cell in told.step.places)
    answer = from_position(board, Claims({later: solution[later]}), solution)
    assert (answer.kind, answer.cells) == ("unshown", (later,))
    said = f"The {solution[later]} in {board.grid.name(later)} is right, but nothing shows it yet: neither"
    assert answer.text.startswith(said)
    answer = from_position(board, Claims(options={later: 1 << (solution[later] - 1)}), solution)
    assert (answer.kind, answer.cells) == ("unshown", (later,))
    assert from_position(board, Claims({tried: digit, later: solution[later]}), solution).kind == "next"


def test_who_follows_the_path_is_not_doubted() -> None:
    for seed in (8, 23, 28, 52):
        solution = solved(seed)
        sweeper = Sweeper(Frame(variant(seed)), solution)
        stands: dict[int, int] = {}
        for told in path(seed).steps:
            stands |= told.step.places
            assert not judge(sweeper, Claims(stands), solution).unshown_digits, f"seed {seed}, step {told.n}"


def test_true_claims_that_are_shown_are_taken_and_the_next_beat_is_told() -> None:
    board, solution = variant(1), solved(1)
    first = next(told for told in path(1).steps if told.step.places)
    cell, digit = next(iter(first.step.places.items()))
    answer = from_position(board, Claims({cell: digit}), solution)
    assert answer.kind == "next"
    assert answer.steps
    assert all(step.beat == 1 for step in answer.steps)
    assert all(cell not in step.step.places for step in answer.steps)


def test_a_full_board_is_done() -> None:
    board, solution = variant(1), solved(1)
    claims = Claims({cell: solution[cell] for cell, given in enumerate(board.givens) if not given})
    assert from_position(board, claims, solution).kind == "done"


def test_nudges_say_no_more_than_their_strength() -> None:
    for seed in range(3):
        for told in path(seed).steps:
            board = variant(seed)
            where, which, whole = (nudge(board, told, strength) for strength in (1, 2, 3))
            assert whole == told.told.text
            assert where.startswith("Look around ")
            assert not CELL.search(where)
            assert which.startswith("Think of ")
            clues = [Frame(board).clues[source.number] for source in told.step.reason.of_kind("clue")]
            starts = {board.grid.name(clue.scope[0]) for clue in clues}
            assert set(CELL.findall(which)) <= starts, f"seed {seed}"


def test_a_nudge_towards_a_cell_whose_notes_leave_one_digit_tells_the_cell_and_no_digit() -> None:
    board, solution = (
        puzzle(4, givens="1... .... .... ...2"),
        (1, 2, 3, 4, 3, 4, 2, 1, 2, 1, 4, 3, 4, 3, 1, 2),
    )
    frame = Frame(board)
    cell = board.grid.cell("r2c3")
    start = Position.opening(frame)
    start.remove({cell: frame.full & ~(1 << (solution[cell] - 1))})
    found = next(
        step for step in in_words(Walker(frame, solution).walk(start=start)).steps if cell in step.step.places
    )
    assert not found.step.reason.sources
    assert nudge(board, found, 1) == "Look around box 2."
    assert nudge(board, found, 2) == "Think of what can still be in r2c3."


def test_both_nudges_call_a_house_by_the_same_name() -> None:
    for board, word in (
        (classic(3), "box"),
        (puzzle(4, regions=[0, 0, 1, 1, 0, 2, 2, 1, 0, 2, 3, 1, 2, 3, 3, 3]), "region"),
    ):
        frame = Frame(board)
        place, house = next((n, h) for n, (h, _) in enumerate(frame.houses) if h.kind == "region")
        reason = Reason(frozenset({Source("house", place, house.name)}), {})
        step = Step("only place", reason, {house.cells[0]: 1}, house=place)
        told_step = PathStep(1, 1, step, Told("", "", "", ()))
        assert nudge(board, told_step, 1) == f"Look around {word} 1."
        assert nudge(board, told_step, 2) == f"Think of {word} 1."


@pytest.mark.parametrize(
    ("board", "verdict"),
    [
        (puzzle(4), "many"),
        (puzzle(4, clue("killer-cage", 4, "r1c1 r1c2", 3), givens="3... .... .... ...."), "none"),
    ],
)
def test_a_puzzle_without_exactly_one_solution_gets_no_steps(board: Puzzle, verdict: str) -> None:
    found = explain(board)
    assert (found.verdict, found.steps, found.beats, found.complete, found.effort) == (
        verdict,
        (),
        (),
        False,
        None,
    )


@pytest.mark.parametrize("size", [4, 6, 16])
def test_other_sizes_are_explained_with_the_same_words(size: int) -> None:
    board = classic(1, size) if size < 16 else _sixteen()
    found = explain(board)
    assert found.complete
    assert all(told.told.text for told in found.steps)


def _sixteen() -> Puzzle:
    """Give a 16x16 with one box in four emptied, as many as keep one solution."""
    base = Puzzle(Grid.standard(16), (0,) * 256)
    solution = prove(base, seed=2).solution
    assert solution is not None
    givens = list(solution)
    for cell in range(0, 256, 2):
        kept, givens[cell] = givens[cell], 0
        if prove(replace(base, givens=tuple(givens))).verdict != "unique":
            givens[cell] = kept
    return replace(base, givens=tuple(givens))


def test_a_thought_that_returns_in_the_very_words_is_told_as_the_same() -> None:
    teller = Teller(Frame(classic(1)))
    thought = "with a 5 in this cell, that cell would be 5 too, and they differ, so no 5 there."
    brief = "This cell has no 5: they differ."
    first = Told(thought.capitalize(), "", brief, ())
    again = Told(f"Likewise, {thought}", "", brief, ())
    step = Step("clue", Reason(frozenset(), {}), removes={0: 0b10000})
    assert teller.beat([(step, again)], [first]) == "The same thought again: this cell has no 5."
    assert teller.beat([(step, again)]) == again.text
    longer_ago = [first, *[Told("Another.", "", "Another.", ())] * RECENT]
    assert teller.beat([(step, again)], longer_ago) == again.text
    assert teller.beat([(replace(step, idea="pair"), again)], [first]) == again.text
    short = Told("So this cell has no 5.", "", brief, ())
    assert teller.beat([(step, short)], [short]) == short.text


def test_other_digits_that_fail_the_same_way_in_the_same_cell_join_the_beat() -> None:
    full, bad = 0b1111, Step("only place", Reason(frozenset(), {3: 0b10}), house=0, breaks=True)
    nine, one = (
        Step("what-if", Reason(frozenset(), {}), removes={0: mask}, suppose=(0, mask), story=(bad,))
        for mask in (0b1000, 0b0001)
    )
    assert same_story(nine, one)
    assert not same_story(nine, nine)
    assert beats([nine, one], full) == [1, 1]
    teller = Teller(Frame(classic(1)))
    told = Told("Try a 4 here. So not 4.", "", "", ())
    assert teller.beat([(nine, told), (one, told)]) == "Try a 4 here. So not 4. A 1 fails the same way."


def test_digits_of_a_house_locked_in_the_same_cells_are_told_together() -> None:
    frame = Frame(classic(1))

    def lock(digit: int, *gone: int, house: int = 2) -> Step:
        bit = 1 << (digit - 1)
        removes = dict.fromkeys(gone, bit)
        return Step("locked digit", Reason(frozenset(), {}), removes=removes, house=house, digits=bit)

    nine, one, elsewhere = lock(9, 3, 4), lock(1, 3, 4), lock(1, 3, 5)
    assert same_lock(nine, one)
    assert same_lock(nine, elsewhere), "the rest of one house"
    assert not same_lock(nine, lock(1, 5, 6))
    assert not same_lock(nine, lock(1, 3))
    assert not same_lock(nine, lock(1, 3, 4, house=1))
    assert beats([nine, one, lock(1, 5, 6)], frame.full) == [1, 1, 2]
    follows = Step("only digit", Reason(frozenset(), {3: 0b1}), {3: 1}, effort=1.0)
    assert beats([nine, follows, one], frame.full) == [1, 1, 2]
    told = Told("In row 3 the 9 has to be in this box, so the rest of that box has none.", "", "", ())
    text = Teller(frame).beat([(nine, told), (one, told), (lock(4, 3, 4), told)])
    assert text == f"{told.text} The same goes for the 1 and the 4."
