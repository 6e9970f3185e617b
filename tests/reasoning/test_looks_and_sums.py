"""Looks at clues: which primitives belong together, and what small reasons they have."""

from __future__ import annotations

from itertools import product

import pytest

from saywhy.primitives import AllDifferent, Linear
from saywhy.reasoning.derived import derived_sums
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.looks import Look, Looks
from saywhy.reasoning.position import Position
from saywhy.reasoning.small import small_reason
from tests.reasoning.positions import clue, keep, named, opening, toml


def indexes(looks: list[Look]) -> set[tuple[int, ...]]:
    """Give the clues that each look takes in."""
    return {
        tuple(sorted({s.number for held in look.helds for s in held.sources if s.kind == "clue"}))
        for look in looks
    }


def test_a_look_at_one_clue_knows_which_of_its_cells_differ() -> None:
    looks = Looks(Frame(toml(9, extra=clue("arrow", "r1c1 r1c2 r2c3"))))
    [look] = looks.family("clue")
    groups = [held.primitive.cells for held in look.helds if isinstance(held.primitive, AllDifferent)]
    assert groups == [(0, 1, 11)]  # the box says it of all three; the row's pair is inside


def test_two_clues_are_looked_at_together_only_where_they_share_cells_or_see_each_other() -> None:
    extra = clue("arrow", "r1c1 r1c2") + clue("arrow", "r1c8 r2c8") + clue("arrow", "r9c5 r8c5")
    looks = Looks(Frame(toml(9, extra=extra)))
    assert indexes(looks.family("two clues")) == {(0, 1)}


def test_a_clue_goes_with_the_houses_that_hold_two_of_its_cells() -> None:
    looks = Looks(Frame(toml(9, extra=clue("arrow", "r1c1 r1c2 r2c3"))))
    names = {
        s.name
        for look in looks.family("clue and house")
        for held in look.helds
        if len(held.cells) == 9
        for s in held.sources
    }
    assert names == {"row 1", "region 1"}


def follows(position: Position, look: Look, domains: list[int], target: int, denied: int) -> bool:
    """Say by trying everything whether no joint filling has one of these digits in the target."""
    digits = range(1, position.frame.n + 1)
    cells = [*look.cells]
    choices = [
        [d for d in digits if (denied if cell == target else domains[cell]) >> (d - 1) & 1] for cell in cells
    ]
    for filling in product(*choices):
        by = dict(zip(cells, filling, strict=True))
        if all(_holds(held.primitive, by) for held in look.helds):
            return False
    return True


def _holds(primitive: object, by: dict[int, int]) -> bool:
    if isinstance(primitive, AllDifferent):
        return len({by[cell] for cell in primitive.cells}) == len(primitive.cells)
    assert isinstance(primitive, Linear)
    weighed = zip(primitive.coefficients, primitive.cells, strict=True)
    return sum(weight * by[cell] for weight, cell in weighed) == primitive.total


@pytest.mark.parametrize("name", ["killer-cage", "arrow", "double-arrow"])
def test_a_small_reason_loses_its_force_when_any_one_premise_goes(name: str) -> None:
    extra = clue(name, "r1c1 r1c2 r2c2 r2c3", 14 if name == "killer-cage" else None)
    position = keep(opening(toml(6, extra=extra)), {"r1c2": "12", "r2c2": "123", "r2c3": "1235"})
    looks = Looks(position.frame)
    [look] = looks.family("clue")
    after, finished = position.frame.model.shows(look.ids, position.domains())
    assert finished
    gone = {
        cell: position.domain(cell) & ~after[cell]
        for cell in look.cells
        if position.domain(cell) & ~after[cell]
    }
    assert gone, "the position was made so that the clue shows something"
    for cell, mask in gone.items():
        small = small_reason(position, look, cell, mask)
        kept = looks.make("kept", small.helds)
        assert follows(position, kept, small.domains, cell, mask)
        for held in small.helds:
            fewer = [other for other in small.helds if other is not held]
            if any(cell in other.cells for other in fewer):
                assert not follows(position, looks.make("fewer", fewer), small.domains, cell, mask)
        for other in kept.cells:
            if other == cell:
                continue
            for place in range(6):
                if small.domains[other] >> place & 1:
                    continue
                wider = [*small.domains]
                wider[other] |= 1 << place
                assert not follows(position, kept, wider, cell, mask), (name, cell, other, place + 1)


def test_what_a_box_makes_less_its_cages_is_an_innie() -> None:
    extra = clue("killer-cage", "r1c1 r1c2 r1c3 r2c1", 20) + clue("killer-cage", "r2c2 r2c3 r3c1 r3c2", 18)
    frame = Frame(toml(9, extra=extra))
    found = [held for held in derived_sums(frame) if held.cells == (frame.grid.cell("r3c3"),)]
    assert [(held.primitive.total, {s.name for s in held.sources}) for held in found] == [  # type: ignore[union-attr]
        (7, {"region 1", "clue 0", "clue 1"})
    ]


def test_a_cage_that_reaches_out_gives_an_outie() -> None:
    extra = clue("killer-cage", "r1c1 r1c2 r1c3 r2c1", 20) + clue(
        "killer-cage", "r2c2 r2c3 r3c1 r3c2 r3c3 r3c4", 30
    )
    frame = Frame(toml(9, extra=extra))
    found = {held.cells: held.primitive for held in derived_sums(frame)}
    outie = found[(frame.grid.cell("r3c4"),)]
    assert isinstance(outie, Linear)
    assert (outie.coefficients, outie.total) == ((-1,), -5)


def test_a_mark_is_named_in_a_small_reason_only_for_the_digits_it_needs() -> None:
    position = keep(opening(toml(9, extra=clue("killer-cage", "r1c1 r2c1", 10))), {"r1c1": "12"})
    looks = Looks(position.frame)
    [look] = looks.family("clue")
    cell = position.frame.grid.cell("r2c1")
    small = small_reason(position, look, cell, 1 << 6)  # no 7, since no 3 is left above
    assert named(position, small.reason.facts) == {"r1c1": "12456789"}
