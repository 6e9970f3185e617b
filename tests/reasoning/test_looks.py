"""The families of looks: which clues are considered together, and what is known to differ among cells."""

from __future__ import annotations

from saywhy.primitives import AllDifferent
from saywhy.reasoning.clues import ClueFinder
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.looks import Look, Looks
from tests.reasoning.boards import at, cell
from tests.reasoning.naive import possible
from tests.second_opinion.samples import clue, puzzle

FAMILIES = (
    "clue",
    "rule",
    "clue and house",
    "derived sum",
    "two clues",
    "clue and two houses",
    "three clues",
)


def _clues(look: Look) -> set[int]:
    return {s.number for held in look.helds for s in held.sources if s.kind == "clue"}


BOARD = puzzle(
    9,
    clue("killer-cage", 9, "r1c1 r2c1", 9),
    clue("killer-cage", 9, "r1c9 r2c9", 9),
    clue("killer-cage", 9, "r9c9 r9c8", 9),
    clue("white-dot", 9, "r5c5 r5c6"),
)


def test_two_clues_are_looked_at_together_where_their_cells_see_each_other_and_only_there() -> None:
    pairs = {frozenset(_clues(look)) for look in Looks(Frame(BOARD)).family("two clues")}
    assert pairs == {frozenset({0, 1}), frozenset({1, 2})}


def test_each_clue_has_a_look_of_its_own() -> None:
    looks = Looks(Frame(BOARD)).family("clue")
    assert {frozenset(_clues(look)) for look in looks} == {frozenset({n}) for n in range(4)}


def test_a_clue_is_looked_at_with_each_house_that_holds_two_of_its_cells() -> None:
    frame = Frame(BOARD)
    looks = [look for look in Looks(frame).family("clue and house") if _clues(look) == {3}]
    houses = [{s.name for h in look.helds for s in h.sources if s.kind == "house"} for look in looks]
    assert {name for held in houses for name in held} == {"region 5", "row 5"}
    assert all(len(look.cells) == 9 for look in looks)


def test_no_family_holds_the_same_look_twice_and_every_look_knows_its_cells() -> None:
    looks = Looks(Frame(BOARD))
    for family in FAMILIES:
        made = looks.family(family)
        assert len({tuple(sorted(look.ids)) for look in made}) == len(made)
        for look in made:
            assert set(look.cells) == {c for held in look.helds for c in held.cells}
        assert looks.family(family) is made


def test_what_is_said_to_differ_is_what_houses_and_rules_say_and_no_more() -> None:
    frame = Frame(puzzle(9, rules=("anti-knight",)))
    cells = [cell(name) for name in ("r3c3", "r3c9", "r5c4", "r9c9")]
    helds = Looks(frame).distinctness(cells)
    differ = {frozenset(held.cells) for held in helds if isinstance(held.primitive, AllDifferent)}
    expected = {
        frozenset((cells[0], cells[1])),
        frozenset((cells[0], cells[2])),
        frozenset((cells[1], cells[3])),
    }
    assert differ == expected
    assert {s.name for held in helds for s in held.sources} == {"row 3", "column 9", "anti-knight"}


def test_a_group_inside_another_is_left_out_and_a_region_is_named_before_a_row() -> None:
    frame = Frame(puzzle(9))
    (held,) = Looks(frame).distinctness([0, 1, 2])
    assert [s.name for s in held.sources] == ["region 1"]
    (held,) = Looks(frame).distinctness([0, 1, 10])
    assert set(held.cells) == {0, 1, 10}


def test_distinctness_allows_exactly_the_fillings_that_the_whole_houses_allow() -> None:
    frame = Frame(puzzle(4, rules=("diagonals",)))
    cells = [0, 5, 7, 10, 13]
    helds = [held.primitive for held in Looks(frame).distinctness(cells)]
    for number in range(4**5):
        domains = [0b1111] * 16
        for place, where in enumerate(cells):
            domains[where] = 1 << (number >> 2 * place & 3)
        whole = all(
            not (b in frame.sees[a] and domains[a] == domains[b]) for a in cells for b in cells if a < b
        )
        assert possible(helds, domains) == whole


def test_where_false_digits_leave_a_clue_no_way_its_look_places_nothing() -> None:
    frame = Frame(BOARD)
    here = at(frame, r1c1="1", r2c1="2347")
    finds = list(ClueFinder(Looks(frame)).finds(here, "clue"))
    assert finds
    for find in finds:
        step = find.build({})
        assert not step.places
        assert step.removes
        assert all(step.struck(frame.full).values())
