"""The compiled model against plain enumeration, on random problems of all five primitives."""

from __future__ import annotations

import random

import pytest

from saywhy.engine.model import Model
from saywhy.primitives import AllDifferent, Linear
from tests.engine.naive import fillings, holds, occurring, random_problem, scope

SEEDS = range(300)


@pytest.mark.parametrize("block", range(0, 300, 50))
def test_everything_a_model_answers_is_what_enumeration_gives(block: int) -> None:
    for seed in range(block, block + 50):
        rng = random.Random(seed)
        problem = random_problem(rng)
        cells = len(problem.domains)
        model = Model(problem.size, cells, problem.primitives)
        told = f"seed {seed}"

        all_of_them = fillings(problem)
        found, kept, finished, _, _ = model.native.search(None, problem.domains, 2**63, 10**6)
        assert finished, told
        assert found == len(all_of_them), told
        assert sorted(map(tuple, kept)) == all_of_them, told
        shown, finished, _ = model.native.supports(None, problem.domains)
        assert finished, told
        assert shown == occurring(all_of_them, cells), told

        ids = rng.sample(range(len(problem.primitives)), rng.randint(1, len(problem.primitives)))
        partly = fillings(problem, ids)
        touched = sorted({cell for number in ids for cell in scope(problem.primitives[number])})
        shown, finished = model.shows(ids, problem.domains)
        assert finished, told
        expected = occurring(partly, cells)
        assert [shown[cell] for cell in touched] == [expected[cell] for cell in touched], told
        others = [cell for cell in range(cells) if cell not in touched]
        assert [shown[cell] for cell in others] == [problem.domains[cell] for cell in others], told
        assert model.refutes(ids, problem.domains) == (not partly), told

        some = rng.sample(touched, rng.randint(1, len(touched)))
        ways, complete = model.fillings(ids, some, problem.domains, limit=10**6)
        assert complete, told
        assert len(ways) == len({tuple(way) for way in ways}), told
        assert {tuple(way) for way in ways} == {tuple(one[cell] for cell in some) for one in partly}, told

        digits = [rng.randint(1, problem.size) for _ in range(cells)]
        assert model.native.satisfied(digits) == [holds(one, digits) for one in problem.primitives], told


def test_too_few_nodes_never_remove_too_much() -> None:
    for seed in SEEDS:
        rng = random.Random(seed)
        problem = random_problem(rng)
        model = Model(problem.size, len(problem.domains), problem.primitives)
        ids = list(range(len(problem.primitives)))
        for nodes in (0, 1, 3):
            shown, finished = model.shows(ids, problem.domains, nodes)
            exact = occurring(fillings(problem), len(problem.domains))
            touched = {cell for one in problem.primitives for cell in scope(one)}
            for cell in touched:
                assert exact[cell] & ~shown[cell] == 0, f"seed {seed}"
                assert not finished or shown[cell] == exact[cell], f"seed {seed}"


def test_primitives_added_later_take_part_only_where_named() -> None:
    model = Model(4, 4, [AllDifferent((0, 1, 2, 3))])
    later = model.add(Linear((1, 1), (0, 1), 3))
    assert later == 1
    assert model.native.search(None, model.domains, 100, 0)[0] == 24
    assert model.native.search([0, later], model.domains, 100, 0)[0] == 4


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda model: model.add(AllDifferent((0, 0))), "twice"),
        (lambda model: model.add(AllDifferent((99,))), "99"),
        (lambda model: model.shows([0], [15]), "one mask for each"),
        (lambda model: model.fillings([0], [99], model.domains), "touched by none"),
    ],
)
def test_mistakes_are_value_errors_that_say_what_was_expected(call: object, says: str) -> None:
    model = Model(4, 16, [AllDifferent((0, 1, 2, 3))])
    with pytest.raises(ValueError, match=says):
        call(model)  # type: ignore[operator]


def test_an_id_that_is_not_there_is_an_index_error() -> None:
    with pytest.raises(IndexError, match="primitive 7"):
        Model(4, 16, [AllDifferent((0, 1))]).shows([7], [15] * 16)
