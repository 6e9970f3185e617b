"""Shrinking keeps what follows and drops what is not needed, as a naive twin in Python says."""

from __future__ import annotations

import random

import pytest

from saywhy.engine import Model
from saywhy.primitives import AllDifferent, Linear, Primitive, relation
from tests.reasoning.naive import cells_of, possible, supported

CELLS, SIZE = 6, 5
FULL = (1 << SIZE) - 1


def _less(a: int, b: int) -> bool:
    return a < b


def random_model(chance: random.Random) -> list[Primitive]:
    """Give a few primitives on six cells."""
    found: list[Primitive] = []
    for _ in range(chance.randint(2, 4)):
        cells = tuple(chance.sample(range(CELLS), chance.randint(2, 4)))
        kind = chance.choice(["different", "sum", "less"])
        if kind == "different":
            found.append(AllDifferent(cells))
        elif kind == "sum":
            weights = tuple(chance.choice([1, 1, 1, -1, 2]) for _ in cells)
            found.append(Linear(weights, cells, chance.randint(2, 14)))
        else:
            found.append(relation(cells[0], cells[1], SIZE, _less))
    return found


def test_every_premise_that_is_left_is_needed_and_they_suffice() -> None:
    checked = 0
    for seed in range(400):
        chance = random.Random(seed)
        primitives = random_model(chance)
        domains = [chance.choice([FULL, chance.randint(1, FULL)]) for _ in range(CELLS)]
        after = supported(primitives, domains)
        touched = {c for p in primitives for c in cells_of(p)}
        open_cells = [c for c in sorted(touched) if after[c] and domains[c] & ~after[c]]
        if not open_cells:
            continue
        target = chance.choice(open_cells)
        denied = domains[target] & ~after[target]
        model = Model(SIZE, CELLS, primitives)
        ids, left = model.shrink(
            range(len(primitives)), domains, target, denied, 0, [0] * CELLS, [0] * CELLS, 10_000
        )
        asked = [*left]
        asked[target] = denied
        kept = [primitives[number] for number in ids]
        assert not possible(kept, asked), f"seed {seed}"
        for place in range(len(kept)):
            fewer = kept[:place] + kept[place + 1 :]
            if any(target in cells_of(p) for p in fewer):
                assert possible(fewer, asked), f"seed {seed}: primitive {ids[place]} is spare"
        for cell in {c for p in kept for c in cells_of(p)} - {target}:
            for place in range(SIZE):
                if not left[cell] >> place & 1:
                    more = [*asked]
                    more[cell] |= 1 << place
                    assert possible(kept, more), f"seed {seed}: cell {cell} without {place + 1} is spare"
        outside = set(range(CELLS)) - {c for p in kept for c in cells_of(p)} - {target}
        assert all(left[cell] == FULL for cell in outside), f"seed {seed}"
        checked += 1
    assert checked > 100


def test_with_no_target_a_clash_is_made_small() -> None:
    model = Model(5, 3, [AllDifferent((0, 1, 2)), AllDifferent((0, 1)), AllDifferent((1, 2))])
    ids, left = model.shrink([0, 1, 2], [1, 1, 4], -1, 0, 0, [0] * 3, [0] * 3, 1000)
    assert ids == [1]
    assert left == [1, 1, FULL]


def test_a_budget_that_answers_nothing_keeps_every_premise_it_cannot_judge() -> None:
    primitives: list[Primitive] = [
        Linear((1, 1, 1, 1), (0, 1, 2, 3), 10),
        Linear((1, -1, 2), (2, 3, 4), 7),
        AllDifferent((0, 1, 2, 3, 4)),
    ]
    domains = [FULL] * 5
    after = supported(primitives, domains)
    target = next((c for c in range(5) if domains[c] & ~after[c]), None)
    if target is None:
        domains[0] = 0b1
        after = supported(primitives, domains)
        target = next(c for c in range(5) if domains[c] & ~after[c])
    denied = domains[target] & ~after[target]
    model = Model(5, 5, primitives)
    ids, left = model.shrink([0, 1, 2], domains, target, denied, 0, [0] * 5, [0] * 5, 0)
    asked = [*left]
    asked[target] = denied
    assert not possible([primitives[number] for number in ids], asked)


@pytest.mark.parametrize(
    "change",
    [
        {"target": 6},
        {"target": -2},
        {"domains": [FULL] * 5},
        {"marked": [0] * 5},
        {"placed": [0] * 5},
        {"primitives": [7]},
        {"primitives": [-1]},
    ],
)
def test_a_bad_argument_is_an_error_that_python_sees(change: dict[str, object]) -> None:
    model = Model(SIZE, CELLS, [AllDifferent((0, 1, 2))])
    asked: dict[str, object] = {
        "primitives": [0],
        "domains": [FULL] * CELLS,
        "target": 0,
        "denied": 1,
        "kept": 0,
        "marked": [0] * CELLS,
        "placed": [0] * CELLS,
        "nodes": 100,
    }
    with pytest.raises((ValueError, IndexError)):
        model.shrink(**{**asked, **change})  # type: ignore[arg-type]
