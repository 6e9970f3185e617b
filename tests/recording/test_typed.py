"""Options that are typed one after the other are one note."""

from __future__ import annotations

from saywhy.recording.acts import AnyAct, Marker, Options, Place
from saywhy.recording.typed import BETWEEN_S, typed_on
from tests.recording.test_review import reviewed, solver


def options(t: float, cell: str, *digits: int) -> Options:
    return Options(t=t, cell=cell, digits=list(digits))


def test_what_was_written_anew_before_anything_else_claims_nothing() -> None:
    assert typed_on([options(1, "r1c1", 3), options(2, "r1c1", 3, 6)]) == {0}
    # Two cells at once, as with both selected.
    both = [options(t, cell, *digits) for t, digits in ((1, (3,)), (2, (3, 6))) for cell in ("r1c1", "r1c2")]
    assert typed_on(both) == {0, 1}


def test_a_note_that_stood_for_a_while_or_was_gone_on_from_is_a_claim() -> None:
    assert typed_on([options(1, "r1c1", 3), options(1.1 + BETWEEN_S, "r1c1", 3, 6)]) == set()
    for other in (Place(t=1.5, cell="r9c9", digit=1), Marker(t=1.5, name="Chapter")):
        acts: list[AnyAct] = [options(1, "r1c1", 3), other, options(2, "r1c1", 3, 6)]
        assert typed_on(acts) == set()
    assert typed_on([options(1, "r1c1", 3), options(1, "r1c2", 3)]) == set()


def test_a_right_note_is_not_called_wrong_for_the_digit_that_was_typed_first() -> None:
    by = solver()
    cell, digit, _ = by.moves[0]
    name = by.puzzle.grid.name(cell)
    other = digit % 9 + 1
    [move] = reviewed(by, [options(5, name, other), options(6, name, other, digit)]).moves
    assert move.verdict != "wrong" and move.t == 6
    [alone] = reviewed(by, [options(5, name, other)]).moves
    assert alone.verdict == "wrong"
