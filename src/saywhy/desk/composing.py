"""Puzzles composed for the drawing page: like the drawing, or from a sketch; each offered when found."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import replace

import msgspec

from saywhy.desk.drafts import draft_of
from saywhy.desk.picture import picture
from saywhy.desk.setting_forms import WORK_S, Answer, Offer, Question, sentence
from saywhy.engine import Cancel
from saywhy.errors import NotAllowedError, Problem
from saywhy.files.layout import Layout
from saywhy.puzzle import Puzzle
from saywhy.setting.compose import EFFORTS, Attempt, Sketch, compose, like, moved, sketch_of
from saywhy.setting.compose.fields import WishFields
from saywhy.setting.compose.wishes import read_wish
from saywhy.setting.watch import Tell
from saywhy.terminal.about import counted
from saywhy.terminal.mended import effort_words

#: Puzzles of one press.
MOST = 3
#: Givens that new numbers on the same shapes may have besides those that are drawn.
MORE = 4
#: Steps of the bands by what is asked.
STEPS = {"gentler": -1, "same": 0, "harder": 1}


def composed(
    question: Question, puzzle: Puzzle | None, cancel: Cancel, tell: Tell, offer: Callable[[Answer], None]
) -> Answer:
    """
    Compose a few puzzles.

    Args:
        question: What is wished.
        puzzle: The drawing; None where the wish is a sketch.
        cancel: A flag that stops it.
        tell: Told how far it has come.
        offer: Given what there is so far at each find.

    Raises:
        SaywhyError: The sketch does not read, or there is no such band.
    """
    tell("Measuring the effort", 0, 0)
    sketch = _sketch(question, puzzle)
    if sketch is None:
        return Answer(head="One more like it needs a path.", lines=["Give the drawing one solution first."])
    offers: list[Offer] = []
    workers = min(4, len(os.sched_getaffinity(0)))
    for progress in compose(
        sketch, seed=question.seed, count=MOST, seconds=WORK_S, workers=workers, cancel=cancel
    ):
        found = counted(len(offers), "find")
        tell(f"Composing: attempt {progress.tried + 1}, {found} so far", 0, 0)
        if progress.found is not None and progress.found.puzzle is not None:
            offers.append(_offer(progress.found, progress.found.puzzle))
            offer(Answer(head=_head(offers), offers=list(offers)))
        if progress.done and not offers:
            reasons = [f"{many} of {progress.tried}: {why}" for why, many in progress.outcomes.items()]
            if "impossible" in progress.outcomes:
                return Answer(head="No grid keeps what is drawn: that is proved.")
            lines = [sentence(f"attempts that came to nothing, {reason}") for reason in reasons]
            return Answer(head="None was found in the time allowed.", lines=lines)
    return Answer(head=_head(offers), offers=offers)


def _head(offers: list[Offer]) -> str:
    return sentence(f"{counted(len(offers), 'puzzle')}, each proved to have one solution and no what-if")


def _sketch(question: Question, puzzle: Puzzle | None) -> Sketch | None:
    if puzzle is None:
        return sketch_of(question.sketch, "the sketch")
    if question.anew == "shapes":
        return _wished(like(puzzle, EFFORTS[:-1], MORE), question.wished)
    from saywhy.reasoning import explain

    effort = explain(puzzle).effort
    return None if effort is None else moved(puzzle, effort.band, STEPS[question.anew])


def _wished(sketch: Sketch, fields: WishFields) -> Sketch:
    """Wish of a sketch what was filled in; the rest stays as it is."""
    problems: list[Problem] = []
    held = msgspec.to_builtins(fields)
    found = read_wish(held, sketch.grid, sketch.drawn, Layout(), problems)
    if found is None or problems:
        raise NotAllowedError(problems)
    wish = sketch.wish
    if "givens" in held:
        wish = replace(wish, least=found.least, most=found.most)
    if fields.symmetry:
        wish = replace(wish, symmetry=found.symmetry)
    if "effort" in held:
        wish = replace(wish, efforts=found.efforts)
    return replace(sketch, wish=replace(wish, pattern=found.pattern))


def _offer(found: Attempt, puzzle: Puzzle) -> Offer:
    givens = sum(digit > 0 for digit in puzzle.givens)
    return Offer(
        title=sentence(f"a new puzzle with {counted(givens, 'given')}"),
        words=[],
        note=effort_words(found.effort),
        cells=[],
        draft=draft_of(puzzle),
        picture=picture(puzzle),
    )
