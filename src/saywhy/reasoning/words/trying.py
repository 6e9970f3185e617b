"""How a supposition is put, and what is said when it has failed."""

from __future__ import annotations

from collections.abc import Sequence

from saywhy.primitives import digits_of
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.denials import Denial
from saywhy.reasoning.words.plan import Phrase, say
from saywhy.reasoning.words.results import conclusion, result_ref
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import says


def seen_already(scene: Scene) -> dict[int, int]:
    """Give the digits ruled out that a digit on the board or a mark rules out already, by cell."""
    return {
        cell: removed & ~scene.domain(cell)
        for cell, removed in scene.step.removes.items()
        if removed & ~scene.domain(cell)
    }


def supposed(
    scene: Scene, denial: Denial, more: Sequence[int] = (), *, again: bool = False, many: bool = True
) -> Phrase:
    """
    Say what is supposed: "with a 4 here", "with this cell below 5", "unless this cell is 4 or 7".

    Args:
        scene: The scene.
        denial: The supposition.
        more: Further cells of which the same is supposed, one at a time.
        again: Whether something was supposed of its cell before.
        many: Whether other suppositions are told too.
    """
    digits = digits_of(denial.digits)
    cells = (*denial.cells, *more)
    of_one = len(cells) == 1
    if len(digits) == 1 and not (of_one and cells[0] in scene.step.places):
        text = grammar.a(str(digits[0]))
        if again:
            return say("with {}", text)
        there = say("in {}", result_ref(scene, cells)) if many and of_one else where(scene, cells)
        return say("with {} {}", text, there)
    left = scene.results[cells[0]]
    named: Phrase = (result_ref(scene, cells),) if of_one else _any_of(scene, cells)
    if again:
        named = ("it",)
    whole = not scene.domain(cells[0]) & ~left & ~denial.digits
    reach = reach_of(scene, denial, left)
    if whole and of_one and cells[0] in scene.step.places:
        return say("unless {} is {}", named, left.bit_length())
    if reach:
        return say("with {} {}", named, reach)
    kept = digits_of(left)
    if of_one and whole and not again and len(kept) < len(digits) and len(kept) <= 4:
        return say("unless {} is {}", named, grammar.digits(kept))
    put = grammar.a(str(digits[0])) if len(digits) == 1 else grammar.digits(digits)
    return say("with {}", put) if again else say("with {} in {}", put, named)


def asked(scene: Scene, denial: Denial) -> Phrase:
    """Ask what is supposed, where a sentence of its own is wanted: "could this cell be 3, 5 or 8?"."""
    (cell, *others) = denial.cells
    digits = digits_of(denial.digits)
    if others or len(digits) > grammar.NUMBERS:
        return ()
    ref = result_ref(scene, (cell,))
    if kept := _others(scene, denial):
        return say("could {} be anything but {}?", ref, grammar.digits(kept))
    reach = reach_of(scene, denial, scene.results[cell])
    return say("could {} be {}?", ref, reach or grammar.digits(digits))


def _others(scene: Scene, denial: Denial) -> list[int]:
    """Give the digits left, where they are all else that the cell may be and fewer than those supposed."""
    left = scene.results[denial.cells[0]]
    if scene.domain(denial.cells[0]) & ~left & ~denial.digits:
        return []
    return digits_of(left) if 1 < left.bit_count() < denial.digits.bit_count() else []


def reach_of(scene: Scene, denial: Denial, left: int) -> str:
    """Give the digits supposed as all below or above those left; empty where they are not."""
    digits = digits_of(denial.digits)
    if len(digits) == 1:
        return ""
    domain = scene.domain(denial.cells[0])
    low, high = (left & -left).bit_length(), left.bit_length()
    if digits[-1] < low and not domain & ((1 << (low - 1)) - 1) & ~denial.digits:
        return f"below {low}"
    if digits[0] > high and not domain & ~((1 << high) - 1) & ~denial.digits:
        return f"above {high}"
    return ""


def learnt(scene: Scene, denial: Denial) -> Phrase:  # noqa: PLR0911 - a list of cases
    """Say what is learnt."""
    digits = digits_of(denial.digits)
    if len(scene.step.places) == 1 and not scene.step.removes:
        return say("so it is {}", next(iter(scene.step.places.values())))
    if seen_already(scene) or scene.step.places:
        return say("so {}", conclusion(scene, scene.results))
    if len(digits) == 1:
        return say("so no {} there", digits[0])
    (cell,) = denial.cells
    left = scene.results[cell]
    low, high = (left & -left).bit_length(), left.bit_length()
    if digits[-1] < low:
        return say("so it is {} or more", low)
    if digits[0] > high:
        return say("so it is {} at most", high)
    kept = digits_of(left)
    if len(kept) < len(digits):
        return say("so it is one of those") if len(kept) > 1 else say("so it is {}", kept[0])
    return say("so it is {}", "neither" if len(digits) == 2 else "none of those")


def answer(scene: Scene, denial: Denial) -> Phrase:
    """Say what is learnt of a cell that was asked about."""
    if seen_already(scene) or scene.step.places:
        return learnt(scene, denial)
    if _others(scene, denial):
        return say("so it is one of those")
    left = scene.results[denial.cells[0]]
    if left.bit_count() < denial.digits.bit_count():
        return say("so it {}", says(left, scene.full))
    return say("so it is {}", "neither" if denial.digits.bit_count() == 2 else "none of those")


def brief_of(scene: Scene, denial: Denial) -> Phrase:
    """Say in one short sentence what is learnt."""
    digits = digits_of(denial.digits)
    if seen_already(scene) or (len(denial.cells) > 1 and (len(digits) > 1 or scene.step.places)):
        return say("{}.", conclusion(scene, scene.results))
    if len(digits) == 1 and not scene.step.places:
        return say("{} can't be {}.", result_ref(scene, denial.cells), digits[0])
    (cell,) = denial.cells
    return say("{} {}.", result_ref(scene, denial.cells), says(scene.results[cell], scene.full))


def where(scene: Scene, cells: tuple[int, ...]) -> Phrase:
    """Say where something is supposed: "here", "in either of these"."""
    if len(cells) == 1:
        ref = result_ref(scene, cells)
        if ref.noun:
            return (scene.names.here(cells[0]),)
        return say("in {}", ref)
    return say("in {}", _any_of(scene, cells))


def _any_of(scene: Scene, cells: tuple[int, ...]) -> Phrase:
    which = "any" if len(cells) > 2 else "either"
    return say("{} of {}", which, scene.names.cells(cells, "result"))
