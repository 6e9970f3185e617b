"""What is said over whole paths: within the limits of speech, lit, and true of its certificate."""

from __future__ import annotations

import re
from functools import cache
from itertools import pairwise

import pytest

from saywhy.files import read_text
from saywhy.primitives import digits_of
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.path import Walker
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Reason, Step, Told
from saywhy.reasoning.words import Teller, grammar
from saywhy.rules import all_rules
from tests.reasoning.stories.book import Story, frame_and_step, stories

#: Puzzles of the tests' own making: small ones show every rule, these are long enough for whole paths.
PUZZLES = {
    "classic": """
        5 3 . . 7 . . . .
        6 . . 1 9 5 . . .
        . 9 8 . . . . 6 .
        8 . . . 6 . . . 3
        4 . . 8 . 3 . . 1
        7 . . . 2 . . . 6
        . 6 . . . . 2 8 .
        . . . 4 1 9 . . 5
        . . . . 8 . . 7 9
    """,
}


def _paths() -> list[str]:
    return [*PUZZLES, *all_rules()]


@cache
def _walked(name: str) -> tuple[Frame, list[tuple[Step, Told]], Teller]:
    """Give a path's steps with their words."""
    own = name in PUZZLES
    text = f'size = 9\ngivens = """\n{PUZZLES[name]}"""\n' if own else all_rules()[name].specimen
    (puzzle,) = read_text("format = 1\n" + text.lstrip("\n"))
    frame = Frame(puzzle)
    teller = Teller(frame)
    position = Position.opening(frame)
    told: list[tuple[Step, Told]] = []
    for step in Walker(frame).walk(5.0).steps:
        told.append((step, teller.tell(position, step, told)))
        position.apply(step)
    return frame, told, teller


@pytest.mark.parametrize("name", _paths())
def test_every_step_keeps_the_limits_of_speech(name: str) -> None:
    _, told, _ = _walked(name)
    for step, words in told:
        most = None if step.story else grammar.SENTENCES
        for text in (words.text, words.written):
            assert not grammar.faults(text, most=most), text


@pytest.mark.parametrize("name", _paths())
def test_no_two_neighbouring_steps_open_alike(name: str) -> None:
    _, told, _ = _walked(name)
    openings = [grammar.opening(words.text) for _, words in told]
    assert all(before != after for before, after in pairwise(openings))


@pytest.mark.parametrize("name", _paths())
def test_the_same_path_is_told_in_the_same_words(name: str) -> None:
    frame, told, _ = _walked(name)
    teller, position = Teller(frame), Position.opening(frame)
    again: list[tuple[Step, Told]] = []
    for step, words in told:
        again.append((step, teller.tell(position, step, again)))
        assert again[-1][1] == words
        position.apply(step)


@pytest.mark.parametrize("name", _paths())
def test_a_beat_is_told_with_the_words_of_its_first_step(name: str) -> None:
    _, told, teller = _walked(name)
    for start in range(0, len(told), 3):
        pairs = told[start : start + 3]
        text = teller.beat(pairs)
        assert text.startswith(pairs[0][1].text)
        assert not grammar.faults(text, most=None), text


def _certificate_cells(frame: Frame, reason: Reason) -> set[int]:
    """Give the cells of everything that a certificate holds."""
    cells = set(reason.facts)
    for source in reason.sources:
        cells |= {cell for held in frame.of(source) for cell in held.cells}
    return cells


def _check_lit(frame: Frame, step: Step, words: Told) -> None:
    lit = {cell for group in words.marks for cell in group.cells}
    known = _certificate_cells(frame, step.reason) | {*step.places, *step.removes}
    for inner in step.story:
        known |= _certificate_cells(frame, inner.reason) | {*inner.places, *inner.removes}
    assert set(step.reason.facts) <= lit, words.text
    assert {*step.places, *step.removes} <= lit, words.text
    result = {cell for group in words.marks if group.role == "result" for cell in group.cells}
    assert {*step.places, *step.removes} <= result, words.text
    assert lit <= known | {
        c for source in step.reason.of_kind("clue") for c in frame.clues[source.number].scope
    }
    named = {frame.grid.cell(cell.lower()) for cell in re.findall(r"\b[rR]\d+c\d+\b", words.written)}
    firsts = {c for source in step.reason.of_kind("clue") for c in frame.clues[source.number].scope}
    assert named <= known | firsts, words.written


def _check_arithmetic(words: Told) -> None:
    for left, right in re.findall(r"(\d+(?: \+ \d+)*) = (\d+(?: \+ \d+)*)", words.text):
        assert sum(map(int, left.split(" + "))) == sum(map(int, right.split(" + "))), words.text


def _check_seen(frame: Frame, step: Step, words: Told) -> None:
    """Whatever a row or column is said to have stands in it, by the certificate."""
    facts = step.reason.facts
    for kind, number, digits in re.findall(
        r"\b([Rr]ow|[Cc]olumn) (\d+) has its ((?:\d+(?:, | and )?)+)", words.text
    ):
        house = next(h for h, _ in frame.houses if h.name == f"{kind.lower()} {number}")
        held = {facts[cell].bit_length() for cell in house.cells if facts.get(cell, 0).bit_count() == 1}
        assert {int(digit) for digit in re.findall(r"\d+", digits)} <= held, words.text


def _check_placed(step: Step, words: Told) -> None:
    """Every digit placed is said; of very many, the first."""
    if len(step.places) > 3:
        return
    for digit in step.places.values():
        assert re.search(rf"\b{digit}\b", words.text), words.text


def _all_told() -> list[tuple[Frame, Step, Told]]:
    found = []
    for name in _paths():
        frame, told, _ = _walked(name)
        found += [(frame, step, words) for step, words in told]
    return found


def test_paths_light_what_they_rest_on_and_nothing_else() -> None:
    for frame, step, words in _all_told():
        _check_lit(frame, step, words)


def test_paths_add_up_and_claim_no_digit_that_does_not_stand() -> None:
    for frame, step, words in _all_told():
        _check_arithmetic(words)
        _check_seen(frame, step, words)
        _check_placed(step, words)


@pytest.mark.parametrize("story", stories(), ids=lambda story: story.name)
def test_stories_are_true_of_their_certificates(story: Story) -> None:
    frame, position, step = frame_and_step(story)
    words = Teller(frame).tell(position, step)
    _check_lit(frame, step, words)
    _check_arithmetic(words)
    _check_seen(frame, step, words)
    if step.suppose is None:
        _check_placed(step, words)


def test_the_conclusion_said_is_no_more_than_the_certificate_leaves() -> None:
    """A bound said of a cell concluded on is one that the clue and the facts alone leave."""
    for frame, step, words in _all_told():
        if step.idea != "clue" or step.story or len(step.removes) != 1 or step.places:
            continue
        ((cell, _),) = step.removes.items()
        said = re.search(rf"so {frame.grid.name(cell)} is (\d+) (or more|at most)\.$", words.written)
        if said is None:
            continue
        helds = [held for source in sorted(step.reason.sources) for held in frame.of(source)]
        domains = [step.reason.facts.get(c, frame.full) for c in frame.grid.cells]
        after, _ = frame.model.shows([held.id for held in helds], domains, 4000)
        left = digits_of(after[cell])
        bound = int(said[1])
        assert min(left) >= bound if said[2] == "or more" else max(left) <= bound, words.written
