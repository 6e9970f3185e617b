"""Why the shaft of an arrow can't make the number in its pill."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product

from saywhy.engine.constraints import Source
from saywhy.primitives import Linear, digits_of
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.plan import Phrase, Ref, say
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.ways import Cells
from saywhy.totals import made, reach

#: Numbers in the pill that are looked at one by one, and totals of the shaft that are listed.
NUMBERS, TOTALS = 2, 3


def said(scene: Scene, source: Source, linear: Linear, known: Mapping[int, int]) -> Phrase:
    """
    Say what the shaft makes, and what the pill would have to be; nothing where that is not short.

    Args:
        scene: The scene.
        source: The clue.
        linear: Its weighted sum, which cannot be filled.
        known: For each of its cells, the mask of digits left.
    """
    pairs = list(zip(linear.cells, linear.coefficients, strict=True))
    weights = {cell: weight for cell, weight in pairs if weight > 0}
    shaft = tuple(cell for cell, weight in pairs if weight < 0)
    if linear.total or any(weight < -1 for _, weight in pairs) or 1 not in weights.values():
        return ()
    line = Cells(scene, shaft, [known[cell] for cell in shaft])
    least, most = (line.extreme(most=most) for most in (False, True))
    numbers = _numbers(scene, weights, known)
    if least is None or most is None or not numbers:
        return ()
    low, high = sum(least), sum(most)
    pill, ref = (scene.names.within(scene.clue(source), cells) for cells in (tuple(weights), shaft))
    within = {number: digits for number, digits in numbers.items() if low <= number <= high}
    if not within:
        other = _around(numbers, low, high)
        return say("{} {} {}, and {} would be {}", ref, _makes(ref), _span(numbers, low, high), pill, other)
    ends = {number: _beside(scene, line, digits, number) for number, digits in within.items()}
    if len(ends) <= NUMBERS and all(ends.values()):
        shown = [f"{end} with {number}" for number, end in ends.items()]
        others = say(" and {}", shown[1]) if len(shown) > 1 else ()
        return say("{} {} {} in {}{}", ref, _makes(ref), shown[0], pill, others)
    return _never(line, set(within), pill, ref)


def _never(line: Cells, numbers: set[int], pill: Ref, ref: Ref) -> Phrase:
    """Say that the shaft makes none of the numbers in its reach, where either are few."""
    totals = made(line.domains, line.apart)
    if not totals or totals & numbers:
        return ()
    if len(numbers) <= TOTALS:
        never, wanted = ref.verb("never makes", "never make"), grammar.listed(sorted(numbers), "or")
        return say("{} would have to be {}, and {} {} that", pill, wanted, ref, never)
    if len(totals) <= TOTALS:
        return say(
            "{} {} {}, and {} is never that", ref, _makes(ref), grammar.listed(sorted(totals), "or"), pill
        )
    return ()


def _makes(ref: Ref) -> str:
    return ref.verb("makes", "make")


def _span(numbers: Mapping[int, object], low: int, high: int) -> str:
    """Give what the shaft makes, as far as the numbers in the pill are beyond it."""
    if low == high:
        return str(low)
    if min(numbers) > high:
        return f"{high} at most"
    return f"at least {low}" if max(numbers) < low else f"{low} to {high}"


def _numbers(scene: Scene, weights: Mapping[int, int], known: Mapping[int, int]) -> dict[int, dict[int, int]]:
    """Give the numbers that the pill may be, each with its digits by cell."""
    cells = list(weights)
    found = {}
    for way in product(*(digits_of(known[cell]) for cell in cells)):
        held = dict(zip(cells, way, strict=True))
        if all(
            held[a] != held[b] or scene.differ(a, b) is None
            for place, a in enumerate(cells)
            for b in cells[:place]
        ):
            found[sum(weights[cell] * digit for cell, digit in held.items())] = held
    return found


def _around(numbers: Mapping[int, object], low: int, high: int) -> str:
    """Give the numbers next to a span that none of them is in."""
    below, above = [n for n in numbers if n < low], [n for n in numbers if n > high]
    if len(numbers) == 1:
        return str(*numbers)
    parts = [*([f"{max(below)} at most"] if below else []), *([f"at least {min(above)}"] if above else [])]
    return " or ".join(parts)


def _beside(scene: Scene, line: Cells, digits: Mapping[int, int], number: int) -> str:
    """Say what the shaft makes beside these digits in the pill; empty where that is not known."""
    domains = list(line.domains)
    for place, cell in enumerate(line.cells):
        for other, digit in digits.items():
            if scene.differ(other, cell) is not None:
                domains[place] &= ~(1 << (digit - 1))
    totals = made(domains, line.apart)
    return "" if not totals or number in totals else reach(totals, number)
