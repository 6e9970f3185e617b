"""Chains and denials: every supposition fails, every link follows; what a rule says of a break is true."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator

import pytest

from saywhy.files import read_text
from saywhy.reasoning.words import Teller
from saywhy.reasoning.words.chains import Follower
from saywhy.reasoning.words.denials import Denial, by_cell, by_digit
from saywhy.reasoning.words.needs import needed
from saywhy.reasoning.words.plan import Phrase, Ref, told_apart
from saywhy.reasoning.words.scene import Scene
from saywhy.rule import ClueRule
from saywhy.rules import placed
from tests.reasoning.positions import puzzle
from tests.reasoning.stories.book import Story, frame_and_step, stories

STORIES = [story for story in stories() if 'idea = "clue' in story.block or "clues" in story.block]


def scene_of(story: Story) -> Scene:
    """Give a story's step as a scene."""
    frame, position, step = frame_and_step(story)
    return Scene(frame, Teller(frame).names, position, step)


def certificate(scene: Scene) -> list[int]:
    """Give all that a step's certificate states, by the numbers of the native core."""
    return [held.id for source in sorted(scene.sources) for held in scene.frame.of(source)]


def denials(scene: Scene) -> list[list[Denial]]:
    """Give the ways in which a step is denied."""
    follower = Follower(scene)
    return [found for found in (by_digit(scene, follower), by_cell(scene, follower)) if found]


@pytest.mark.parametrize("story", STORIES, ids=lambda story: story.name)
def test_what_is_supposed_fails_and_is_all_that_the_step_rules_out(story: Story) -> None:
    scene = scene_of(story)
    for found in denials(scene):
        follower = Follower(scene)
        ids = certificate(scene)
        gone = {cell: scene.domain(cell) & mask for cell, mask in scene.step.struck(scene.full).items()}
        for denial in found:
            for cell in denial.cells:
                domains = follower.start()
                domains[cell] &= denial.digits
                assert scene.frame.model.refutes(ids, domains) is True
                gone[cell] &= ~denial.digits
        assert not any(gone.values())


@pytest.mark.parametrize("story", STORIES, ids=lambda story: story.name)
def test_every_link_of_a_story_follows_from_the_certificate(story: Story) -> None:
    scene = scene_of(story)
    ids = certificate(scene)
    for found in denials(scene):
        for denial in found:
            if len(denial.cells) > 1:
                continue
            domains = Follower(scene).start()
            domains[denial.cells[0]] &= denial.digits
            shown, _ = scene.frame.model.shows(ids, domains)
            for drawn in denial.links:
                for cell, mask in drawn.link.left.items():
                    assert not shown[cell] & ~mask, (scene.grid_name(cell), drawn.link)
            assert denial.links[-1].link.breaks


def test_a_story_is_found_for_most_of_the_steps_of_the_book() -> None:
    assert sum(bool(denials(scene_of(story))) for story in STORIES) > 0.6 * len(STORIES)


# What a rule says of a break


CLUES = {
    "renban of two": 'rule = "renban"\ncells = "r1c1 r1c2"',
    "renban": 'rule = "renban"\ncells = "r1c1-r1c4"',
    "short renban": 'rule = "renban"\ncells = "r1c1 r1c2 r2c2"',
    "sandwich": 'rule = "sandwich"\ncells = "r1c1-r1c9"\nvalue = 13',
    "empty sandwich": 'rule = "sandwich"\ncells = "r1c1-r1c9"\nvalue = 0',
    "full sandwich": 'rule = "sandwich"\ncells = "r1c1-r1c9"\nvalue = 35',
    "X-sum": 'rule = "x-sum"\ncells = "r1c1-r1c9"\nvalue = 20',
    "short X-sum": 'rule = "x-sum"\ncells = "r1c1-r1c9"\nvalue = 8',
    "long X-sum": 'rule = "x-sum"\ncells = "r1c1-r1c9"\nvalue = 42',
    "sum line": 'rule = "sum-line"\ncells = "r1c1-r1c6"\nvalue = 10',
    "short sum line": 'rule = "sum-line"\ncells = "r1c1-r1c4"\nvalue = 6',
    "nabner": 'rule = "nabner"\ncells = "r1c1-r1c4"',
    "full nabner": 'rule = "nabner"\ncells = "r1c1-r1c5"',
    "between line": 'rule = "between-line"\ncells = "r1c1-r1c4"',
    "long between line": 'rule = "between-line"\ncells = "r1c1-r1c6"',
    "high skyscraper": 'rule = "skyscraper"\ncells = "r1c1-r1c9"\nvalue = 5',
    "skyscraper": 'rule = "skyscraper"\ncells = "r1c1-r1c9"\nvalue = 3',
    "corner": 'rule = "quadruple"\ncells = "r1c1 r1c2 r2c1 r2c2"\ndigits = [1, 5, 5, 9]',
}


def rule(text: str) -> ClueRule:
    """Give a placed clue on an empty board."""
    (read,) = read_text(f"format = 1\nsize = 9\n\n[[clue]]\n{text}\n")
    (clue,) = placed(read).clues
    return clue


def fillings(clue: ClueRule) -> Iterator[dict[int, int]]:
    """Give random digits that keep a clue."""
    dice = random.Random(clue.phrases.noun)
    cells = clue.scope
    different = len(cells) == 9 or "renban" in clue.name
    board = [0] * 81
    while True:
        digits = dice.sample(range(1, 10), len(cells)) if different else [dice.randint(1, 9) for _ in cells]
        for cell, digit in zip(cells, digits, strict=True):
            board[cell] = digit
        if clue.holds(board):
            yield dict(zip(cells, digits, strict=True))


def different(kept: dict[int, int]) -> Callable[[int, int], bool]:
    """Give whether two cells of a filling differ."""
    return lambda a, b: kept[a] != kept[b]


@pytest.mark.parametrize("text", CLUES.values(), ids=CLUES)
def test_a_rule_says_of_no_clue_that_can_be_filled_that_it_fails(text: str) -> None:
    clue = rule(text)
    dice = random.Random(1)
    filling = fillings(clue)
    for _ in range(60):
        kept = next(filling)
        known = {cell: 1 << (digit - 1) | dice.getrandbits(9) for cell, digit in kept.items()}
        if dice.random() < 0.5:
            known = {
                cell: mask if dice.random() < 0.6 else 1 << (kept[cell] - 1) for cell, mask in known.items()
            }
        assert clue.fails(known) is None, known
        assert clue.fails_apart(known, different(kept)) is None, known


@pytest.mark.parametrize(
    ("text", "known", "said"),
    [
        (CLUES["renban"], {0: [2], 1: [7]}, "2 and 7 would be too far apart for four digits in sequence"),
        (
            CLUES["renban"],
            {0: [4], 1: [1, 6, 7, 8], 2: [1, 6, 7, 8], 3: [1, 6, 7, 8, 9]},
            "the line would want a 2 or a 5, and has no cell for either",
        ),
        (CLUES["renban"], {0: [2], 1: [6, 7, 8, 9]}, "(1,) would have to be 1 to 5"),
        (
            CLUES["corner"],
            {0: [1], 1: [2], 2: [3]},
            "the corner would still want 5, 5 and 9, with one cell left",
        ),
        (
            CLUES["corner"],
            {0: [1, 2, 9], 1: [1, 2, 9], 2: [1, 2, 9], 3: [1, 9]},
            "the corner would have no cell left for its 5",
        ),
        (
            CLUES["X-sum"],
            {0: [2, 7]},
            "the first two would make 11 at most, and the first seven at least 28",
        ),
        (
            CLUES["sum line"],
            {0: [8, 9], 1: [3, 4]},
            "the stretch from (0,) would make 9 at most or at least 11",
        ),
        (
            CLUES["sum line"],
            {0: [4], 1: [6], 2: [7, 8], 3: [5, 6]},
            "the stretch from (2,) would make 8 at most or at least 12",
        ),
        (CLUES["sum line"], {4: [9], 5: [3]}, "the stretch back from (5,) would make 3 or 12"),
        (CLUES["short sum line"], {2: [7, 9]}, "(2,) alone makes more than 6"),
        (CLUES["nabner"], {0: [4], 2: [3, 5]}, "(2,) would be too near the 4"),
        (CLUES["nabner"], {0: [4], 1: [7], 2: [3, 5, 8]}, "(2,) would be too near one of 4 and 7"),
        (
            CLUES["nabner"],
            {0: [9], 1: [5, 6], 2: [5, 6]},
            "(1, 2) would share 5 and 6, which are too close together",
        ),
        (
            CLUES["full nabner"],
            {0: [2, 4, 6]},
            "the line would be 1, 3, 5, 7 and 9, and nothing is left for (0,)",
        ),
        (CLUES["between line"], {0: [4, 5], 3: [6, 9], 1: [2, 3]}, "neither end would be below 4"),
        (CLUES["between line"], {0: [4, 5], 3: [2, 6], 1: [7, 9]}, "neither end would be above 6"),
        (
            CLUES["between line"],
            {0: [4], 3: [1, 2, 9], 1: [1, 4, 9]},
            "nothing left for (1,) lies between the ends",
        ),
        (
            CLUES["between line"],
            {0: [4], 3: [2, 7], 1: [2, 4, 7]},
            "the ends would be 4 and 2 or 7, with nothing between for (1,)",
        ),
        (
            CLUES["between line"],
            {0: [4], 1: [5, 6], 2: [2, 3]},
            "between the 4 and a higher end is nothing for (2,), and with a lower end nothing for (1,)",
        ),
        (CLUES["skyscraper"], {0: [8, 9]}, "no more than two would be seen"),
        (
            CLUES["skyscraper"],
            {0: [6], 7: [7], 8: [8], **{place: [1, 2, 3, 4, 5, 9] for place in range(1, 7)}},
            "no more than two would be seen",
        ),
        (
            CLUES["skyscraper"],
            {0: [1, 9], 1: [2], 2: [3], 3: [4]},
            "only one or at least four would be seen",
        ),
        (CLUES["skyscraper"], {0: [1], 1: [2], 2: [3, 4], 3: [5, 6]}, "at least four would be seen"),
        (
            CLUES["renban"],
            {0: [5, 6], 1: [3, 4], 2: [3, 4], 3: [3, 4]},
            "the line would be 3 to 6, and only 3 and 4 are left for (1, 2, 3)",
        ),
        (CLUES["X-sum"], {0: [1, 7]}, "one digit is too few, and the first seven would make at least 28"),
        (CLUES["X-sum"], {0: [6]}, "the first six would make at least 21"),
        (CLUES["X-sum"], {0: [2, 3], 1: [3, 4]}, "the first digits would make 16 at most"),
        (CLUES["X-sum"], {0: [3], 1: [1, 8], 2: [1, 8]}, "the first three would make 12"),
        (
            CLUES["X-sum"],
            {0: [4], 1: [2, 5], 2: [2, 5], 3: [8, 9], 4: [1, 3], 5: [1, 3], 6: [1, 3]},
            "the first digits would be 2, 4, 5 and 9, and only 1 and 3 are left for (4, 5, 6)",
        ),
        (
            CLUES["sandwich"],
            {0: [1], **{place: [2, 3, 4, 5, 6, 7, 8] for place in range(1, 7)}},
            "13 takes two or three digits, and no 1 and 9 can be three or four cells apart",
        ),
        (CLUES["sandwich"], {0: [1], 8: [9]}, "the filling would be (1, 2, 3, 4, 5, 6, 7), which make 35"),
        (CLUES["sandwich"], {0: [1], 1: [9]}, "the 1 and the 9 would be neighbours"),
        (CLUES["sandwich"], {0: [1], 2: [9]}, "the filling would be (1,) alone, which makes 8 at most"),
        (
            CLUES["sandwich"],
            {0: [1], 4: [9], 1: [3], 2: [4], 3: [5, 7, 8]},
            "the 3 and 4 leave 6 for (3,) between the 1 and the 9",
        ),
        (
            CLUES["sandwich"],
            {0: [1], 3: [9], 1: [4, 8], 2: [4, 6, 8]},
            "the filling would be (1, 2), which make 10, 12 or 14",
        ),
        (
            CLUES["sandwich"],
            {0: [1], 4: [9], 1: [2, 7], 2: [3, 4], 3: [5, 6]},
            "the filling would be (1, 2, 3), which make 12 at most with a 2 in (1,) and at least 15 with a 7",
        ),
        (
            CLUES["sandwich"],
            {0: [1], 3: [9], 1: [5, 6, 7], 2: [5, 6, 7], 4: [2, 3], 5: [2, 3], 6: [2, 3]},
            "the filling would be 6 and 7, and only 2 and 3 are left for (4, 5, 6)",
        ),
        (
            CLUES["sandwich"],
            {3: [9], 0: [1, 2, 8], 6: [1, 5, 7], **{place: [2, 3, 4] for place in (1, 2, 4, 5, 7, 8)}},
            "the digits between a 1 and a 9 would make 7 at most",
        ),
        (
            CLUES["sandwich"],
            {0: [1], 3: [9], 1: [2, 3], 2: [4, 5]},
            "the filling would be (1, 2), which make 8 at most",
        ),
        (
            CLUES["sandwich"],
            {0: [1], 3: [9], 1: [6, 7], 2: [6, 7], **{place: [2, 3, 4, 8] for place in range(4, 9)}},
            "the filling would be 6 and 7, and the 5 has no cell outside",
        ),
    ],
)
def test_what_a_rule_says_of_a_break(text: str, known: dict[int, list[int]], said: str) -> None:
    clue = rule(text)
    masks = {
        cell: sum(1 << (digit - 1) for digit in known.get(place, range(1, 10)))
        for place, cell in enumerate(clue.scope)
    }
    found = clue.fails(masks)
    assert found is not None
    assert "".join(piece if isinstance(piece, str) else str(piece) for piece in found) == said


@pytest.mark.parametrize(
    ("text", "known", "said"),
    [
        (
            CLUES["short sum line"],
            {0: [6], 1: [2], 2: [2], 3: [2]},
            "(1,) has no stretch of 6 without repeats",
        ),
        (
            CLUES["between line"],
            {0: [4], 3: [6]},
            "no more than one digit lies between the ends, too few for the line",
        ),
        (CLUES["between line"], {0: [4], 3: [8], 1: [2, 6], 2: [3, 6]}, "only 6 would be left for (1, 2)"),
    ],
)
def test_what_a_rule_says_of_a_break_of_cells_that_differ(
    text: str, known: dict[int, list[int]], said: str
) -> None:
    clue = rule(text)
    masks = {
        cell: sum(1 << (digit - 1) for digit in known.get(place, range(1, 10)))
        for place, cell in enumerate(clue.scope)
    }
    assert clue.fails(masks) is None
    found = clue.fails_apart(masks, lambda a, b: a != b)
    assert found is not None
    assert "".join(piece if isinstance(piece, str) else str(piece) for piece in found) == said


# What is said before a thought, and what cells are called


def test_only_what_a_thought_needs_is_asked_for() -> None:
    story = next(story for story in STORIES if story.file == "arrow" and "facts" in story.block)
    scene = scene_of(story)
    cells = [cell for cell in scene.clue(scene.clue_sources[0]).scope if cell not in scene.standing]
    nothing = needed(scene, cells, lambda _: True)
    everything = needed(scene, cells, lambda left: all(left[cell] == scene.domain(cell) for cell in cells))
    for cell in cells:
        assert not nothing[cell] & ~scene.domain(cell) & scene.full
        assert everything[cell] & ~scene.domain(cell) == scene.full & ~scene.domain(cell)


def ref(cell: int, noun: str = "cell", *, spoken: str = "", definite: bool = False) -> Ref:
    """Give a reference to one cell."""
    return Ref(spoken or f"this {noun}", f"c{cell}", (cell,), noun="" if spoken else noun, definite=definite)


def voiced(*sentences: Phrase) -> list[str]:
    """Give phrases with their cells told apart, spoken."""
    grid = puzzle("." * 81).grid
    return ["".join(p if isinstance(p, str) else p.spoken for p in s) for s in told_apart(sentences, grid)]


def test_a_cell_is_called_by_one_noun() -> None:
    circle = ref(3, "circle", definite=True)
    assert voiced((ref(3), " is 7 at most"), ("so ", circle, " is 5")) == [
        "the circle is 7 at most",
        "so the circle is 5",
    ]


def test_beside_here_another_cell_is_that_cell() -> None:
    here = ref(0, spoken="here")
    assert voiced((ref(5), " is 4"), ("with a 4 ", here, ", ", ref(5), " is 4 too")) == [
        "that cell is 4",
        "with a 4 here, that cell is 4 too",
    ]


def test_the_order_of_its_cells_does_not_make_two_of_a_pair() -> None:
    first = Ref("", "", (1, 2), noun="cell", many=True)
    again = Ref("", "", (2, 1), noun="cell", many=True)
    assert voiced((first, " are 1 and 2"), (again, " see it")) == [
        "these two cells are 1 and 2",
        "these two cells see it",
    ]
