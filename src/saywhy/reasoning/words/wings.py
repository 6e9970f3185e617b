"""Wings in words: a cell of few digits, and what each of them makes of two others."""

from __future__ import annotations

from collections.abc import Iterator

from saywhy.primitives import digits_of
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.plan import Plan, Ref, join, say
from saywhy.reasoning.words.results import conclusion
from saywhy.reasoning.words.scene import Scene


def plans(scene: Scene) -> Iterator[Plan]:
    """
    Tell of the middle cell, case by case, and of the digit that stands somewhere in every case.

    Nothing is told where the certificate does not leave the middle cell its cases.
    """
    middle, bit = scene.step.focus, scene.step.digits
    assert middle is not None
    digit, held = bit.bit_length(), digits_of(scene.domain(middle))
    cases = [place for place in held if place != digit]
    tips = [_tips(scene, middle, place) for place in cases]
    because = Ref("", "", tuple(sorted(scene.facts)), "because")
    ends = conclusion(scene, scene.results)
    if len(tips) != 2:
        return
    for one, other in ((a, b) for a in tips[0] for b in tips[1] if a != b):
        names = scene.names
        said = [
            say("with {}, {} is {}", grammar.a(str(place)), ref, digit)
            for place, ref in zip(
                cases,
                (names.cells([one], "look", which="that"), names.cells([other], "look", which="that")),
                strict=True,
            )
        ]
        if len(held) > 2:
            said.append(say("else it is {} itself", digit))
        yield Plan(
            (
                say("{} is {}{}", names.cells([middle]), grammar.digits(held), because),
                join(said),
                say(
                    "{}, one of them is {}, so {}",
                    "either way" if len(held) == 2 else "in each case",
                    digit,
                    ends,
                ),
            ),
            say("Whichever way, {}.", ends),
            (middle, one, other),
        )


def _tips(scene: Scene, middle: int, place: int) -> list[int]:
    """Give the cells that a digit of the middle cell leaves only the shared digit, the targets seen by it."""
    bit = scene.step.digits
    return [
        cell
        for cell in scene.frame.grid.cells
        if cell != middle
        and scene.domain(cell) == bit | 1 << (place - 1)
        and _strikes(scene, middle, place, cell)
        and all(_strikes(scene, cell, bit.bit_length(), target) for target in scene.step.removes)
    ]


def _strikes(scene: Scene, a: int, digit: int, b: int) -> bool:
    """Say whether a digit in one cell strikes it out of another, along what the certificate names."""
    return any(
        scene.sources >= held.sources and bool(scene.frame.struck(held, a, digit) >> (digit - 1) & 1)
        for held in scene.frame.relations.get((a, b), ())
    )
