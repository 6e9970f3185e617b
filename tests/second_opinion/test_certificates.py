"""A certificate holds exactly when the conclusion follows from what the step names."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from saywhy.second_opinion import certify, certify_path
from tests.second_opinion.samples import clue, puzzle

#: A 4x4 with a cage of 3 in its top left corner, an anti-knight rule and one given.
HARBOUR = puzzle(
    4,
    clue("killer-cage", 4, "r1c1 r1c2", 3),
    clue("less-than", 4, "r1c1 r1c2"),
    rules=("anti-knight",),
    givens=".... .3.. .... ....",
)


def step(n: int = 1, **parts: Any) -> dict[str, Any]:
    """Give a step with the parts left out empty."""
    uses = {"clues": [], "houses": [], "rules": [], **parts.pop("uses", {})}
    return {"n": n, "uses": uses, "facts": [], "places": [], "removes": [], **parts}


CAGE_TAKES_1_AND_2 = step(
    uses={"clues": [0], "houses": ["row 1"]},
    removes=[{"cell": "r1c3", "digits": [1, 2]}, {"cell": "r1c4", "digits": [1, 2]}],
)


def test_a_step_that_follows_holds() -> None:
    assert certify(HARBOUR, CAGE_TAKES_1_AND_2).outcome == "holds"


def test_a_step_without_its_house_fails_with_a_counterexample() -> None:
    bare = copy.deepcopy(CAGE_TAKES_1_AND_2)
    bare["uses"]["houses"] = []
    found = certify(HARBOUR, bare)
    assert found.outcome == "fails"
    assert found.counterexample["r1c1"] + found.counterexample["r1c2"] == 3
    assert {found.counterexample["r1c3"], found.counterexample["r1c4"]} & {1, 2}


def test_one_false_part_of_a_conclusion_fails_the_whole() -> None:
    greedy = copy.deepcopy(CAGE_TAKES_1_AND_2)
    greedy["removes"][1]["digits"].append(3)
    found = certify(HARBOUR, greedy)
    assert found.outcome == "fails"
    assert found.counterexample["r1c4"] == 3


def test_places_are_denied_too() -> None:
    both = step(uses={"clues": [0, 1]}, places=[{"cell": "r1c1", "digit": 1}, {"cell": "r1c2", "digit": 2}])
    assert certify(HARBOUR, both).outcome == "holds"
    wrong = step(uses={"clues": [0]}, places=[{"cell": "r1c1", "digit": 1}])
    assert certify(HARBOUR, wrong).outcome == "fails"


def test_givens_count_only_where_a_fact_names_them() -> None:
    knight: dict[str, Any] = {
        "uses": {"rules": ["anti-knight"]},
        "removes": [{"cell": "r4c1", "digits": [3]}],
    }
    assert certify(HARBOUR, step(**copy.deepcopy(knight))).outcome == "fails"
    said = step(**copy.deepcopy(knight), facts=[{"cell": "r2c2", "digits": [3]}])
    assert certify(HARBOUR, said).outcome == "holds"


def test_facts_are_domains() -> None:
    last = step(
        facts=[{"cell": "r4c1", "digits": [2, 3]}, {"cell": "r4c2", "digits": [2, 3]}],
        uses={"houses": ["row 4"]},
        removes=[{"cell": "r4c4", "digits": [2, 3]}],
    )
    assert certify(HARBOUR, last).outcome == "holds"
    last["facts"][1]["digits"] = [2, 3, 4]
    assert certify(HARBOUR, last).outcome == "fails"


def test_a_step_that_concludes_nothing_claims_a_contradiction() -> None:
    clash = step(
        uses={"houses": ["row 4"]},
        facts=[{"cell": "r4c1", "digits": [2]}, {"cell": "r4c2", "digits": [2]}],
    )
    assert certify(HARBOUR, clash).outcome == "holds"
    clash["facts"][1]["digits"] = [3]
    assert certify(HARBOUR, clash).outcome == "fails"


@pytest.mark.parametrize(
    ("uses", "message"),
    [
        ({"houses": ["row 5"]}, "house 'row 5'"),
        ({"houses": ["box 1"]}, "house 'box 1'"),
        ({"clues": [2]}, "clue 2"),
        ({"rules": ["anti-king"]}, "rule 'anti-king'"),
    ],
)
def test_what_the_puzzle_does_not_have_is_refused(uses: dict[str, Any], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        certify(HARBOUR, step(uses=uses, places=[{"cell": "r1c1", "digit": 1}]))


def test_what_needs_the_total_of_a_house_is_proved_at_once() -> None:
    """All of 1 to 12 make 78, so an X-sum of 78 starts with 12."""
    wide = puzzle(12, clue("x-sum", 12, "r1c1-r1c12", 78))
    first = step(uses={"clues": [0], "houses": ["row 1"]}, places=[{"cell": "r1c1", "digit": 12}])
    assert certify(wide, first, seconds=5.0).outcome == "holds"
    first["uses"]["houses"] = []
    assert certify(wide, first, seconds=5.0).outcome == "fails"


#: A Latin square of 4 that is solved by its givens, so that paths are short.
QUAY = puzzle(4, givens="1234 3412 2143 43..")


def path_of_quay() -> dict[str, Any]:
    """Give a right path: a house, then a house that relies on the placed digit."""
    row = [{"cell": "r4c1", "digits": [4]}, {"cell": "r4c2", "digits": [3]}]
    column = [{"cell": f"r{r}c3", "digits": [d]} for r, d in ((1, 3), (2, 1), (3, 4))]
    return {
        "complete": True,
        "steps": [
            step(1, uses={"houses": ["column 3"]}, facts=column, places=[{"cell": "r4c3", "digit": 2}]),
            step(
                2,
                uses={"houses": ["row 4"]},
                facts=[*row, {"cell": "r4c3", "digits": [2]}],
                places=[{"cell": "r4c4", "digit": 1}],
            ),
        ],
    }


def test_a_right_path_is_sound() -> None:
    report = certify_path(QUAY, path_of_quay())
    assert report.sound
    assert [checked.n for checked in report.steps] == ["1", "2"]
    assert all(checked.certificate and checked.certificate.holds for checked in report.steps)


def test_a_fact_that_nothing_established_is_reported() -> None:
    path = path_of_quay()
    path["steps"].reverse()
    report = certify_path(QUAY, path)
    assert not report.sound
    assert report.faults == ("step 2: relies on r4c3 not being 1, 3, 4, which nothing before it shows",)


def test_a_path_that_stops_early_is_not_complete() -> None:
    path = path_of_quay()
    path["steps"].pop()
    assert any("complete" in fault for fault in certify_path(QUAY, path).faults)
    path["complete"] = False
    assert certify_path(QUAY, path).sound


def test_a_wrong_digit_is_reported_as_unproved_and_as_denied_by_the_solution() -> None:
    path = path_of_quay()
    path["steps"][0]["places"] = [{"cell": "r4c3", "digit": 1}]
    faults = certify_path(QUAY, path).faults
    assert any(fault.startswith("step 1: does not follow") for fault in faults)
    assert "step 1: places 1 in r4c3, where a solution has another" in faults
    assert "the final grid is not a solution" in faults


def test_a_false_removal_is_reported() -> None:
    path = path_of_quay()
    path["complete"] = False
    path["steps"] = [step(1, uses={"houses": ["row 4"]}, removes=[{"cell": "r4c4", "digits": [1]}])]
    faults = certify_path(QUAY, path).faults
    assert "step 1: removes 1 from r4c4, where a solution has it" in faults


def test_a_step_that_says_nothing_is_reported() -> None:
    path = {"complete": False, "steps": [step(1, uses={"houses": ["row 4"]})]}
    assert "step 1: concludes nothing" in certify_path(QUAY, path).faults


def test_a_step_that_cannot_be_read_is_reported_and_the_rest_still_checked() -> None:
    path = path_of_quay()
    path["steps"].insert(0, step(0, places=[{"cell": "r9c9", "digit": 1}]))
    report = certify_path(QUAY, path)
    assert len(report.faults) == 1
    assert report.faults[0].startswith("step 0: cannot be read: r9c9 is off the grid")


#: In the cage of 3 a 2 on the left would need a 1 on the right, which column 2 has.
BUOY = puzzle(4, clue("killer-cage", 4, "r1c1 r1c2", 3), givens=".... .... .... .1..")


def what_if() -> dict[str, Any]:
    """Give a path of one what-if about BUOY."""
    given = {"cell": "r4c2", "digits": [1]}
    story = [
        step(
            1,
            uses={"clues": [0]},
            facts=[{"cell": "r1c1", "digits": [2]}],
            places=[{"cell": "r1c2", "digit": 1}],
        ),
        step(2, uses={"houses": ["column 2"]}, facts=[{"cell": "r1c2", "digits": [1]}, given]),
    ]
    whole = step(
        1,
        uses={"clues": [0], "houses": ["column 2"]},
        facts=[given],
        removes=[{"cell": "r1c1", "digits": [2]}],
        suppose={"cell": "r1c1", "digits": [2]},
        story=story,
    )
    return {"complete": False, "steps": [whole]}


def test_a_what_if_is_proved_as_a_whole_and_step_by_step() -> None:
    report = certify_path(BUOY, what_if())
    assert report.sound
    assert [inner.n for inner in report.steps[0].inner] == ["1.1", "1.2"]


def test_a_what_if_supposes_the_opposite_of_what_it_concludes_if_it_says_nothing_else() -> None:
    path = what_if()
    del path["steps"][0]["suppose"]
    assert certify_path(BUOY, path).sound


def test_a_story_without_a_contradiction_is_reported() -> None:
    path = what_if()
    path["steps"][0]["story"].pop()
    assert "step 1: its story does not end in a contradiction" in certify_path(BUOY, path).faults


def test_a_what_if_may_not_conclude_more_than_the_opposite_of_what_it_supposes() -> None:
    path = what_if()
    path["steps"][0]["removes"][0]["digits"].append(3)
    faults = certify_path(BUOY, path).faults
    assert "step 1: it concludes more than the opposite of what its story supposes" in faults


def test_what_a_story_shows_does_not_hold_outside_it() -> None:
    path = what_if()
    path["steps"].append(
        step(
            2,
            uses={"houses": ["row 1"]},
            facts=[{"cell": "r1c2", "digits": [1]}],
            removes=[{"cell": "r1c3", "digits": [1]}],
        )
    )
    faults = certify_path(BUOY, path).faults
    assert any(fault.startswith("step 2: relies on r1c2 not being 2, 3, 4") for fault in faults)


def test_a_wrong_inner_step_is_reported() -> None:
    path = what_if()
    path["steps"][0]["story"][0]["uses"]["clues"] = []
    faults = certify_path(BUOY, path).faults
    assert any(fault.startswith("step 1.1: does not follow") for fault in faults)
