"""Clauses packed to sentences that are short enough to be said."""

from __future__ import annotations

from collections.abc import Container, Sequence
from itertools import combinations, pairwise

from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.plan import Phrase, say, spoken, words, written
from saywhy.reasoning.words.supposing import strung

#: How a clause begins that is a thought of its own, and how one ends.
THOUGHTS = ("with ", "unless ")
LIKEWISE = (
    " the same way",
    " the same end",
    " of these ways",
    " of these ends",
    " just the same",
    " another",
    " another way",
)
#: Words and clauses of one sentence of a story.
LENGTH, CLAUSES = 25, 3


def packed(parts: Sequence[Phrase], most: int, breaks: Container[int] = ()) -> list[Phrase]:
    """
    String clauses to as few sentences as are short enough; an end ("so ...") stays with what is before it.

    Args:
        parts: The clauses in order.
        most: Sentences allowed.
        breaks: The places of clauses that begin a thought of their own.

    Returns:
        The sentences; none if they would be too many or too long.
    """
    sizes = [words([part]) + 1 for part in parts]
    counts = [max(grammar.number_count(spoken(p)), grammar.number_count(written(p))) for p in parts]
    best: tuple[float, tuple[int, ...]] | None = None
    last = len(parts)
    for number in range(min(most, last)):
        for cuts in combinations(range(1, last), number):
            ends_ = (0, *cuts, last)
            cost = 0.0
            for a, b in pairwise(ends_):
                size = sum(sizes[a:b])
                if size > LENGTH + 1 or sum(counts[a:b]) > grammar.NUMBERS:
                    break
                cost += 3 + max(0, size - 18) + 4 * sum(place in breaks for place in range(a + 1, b))
                cost += 2 * max(0, b - a - CLAUSES)
            else:
                if best is None or cost < best[0]:
                    best = cost, ends_
    if best is None:
        return []
    return [_strung(parts[a:b]) for a, b in pairwise(best[1])]


def _strung(parts: Sequence[Phrase]) -> Phrase:
    """String clauses together, a last "so ..." after a comma."""
    if len(parts) > 1 and spoken(parts[-1]).startswith("so "):
        return say("{}, {}", _strung(parts[:-1]), parts[-1])
    for place in range(len(parts) - 1, 0, -1):
        said = spoken(parts[place])
        if said.startswith(THOUGHTS) or said.endswith(LIKEWISE):
            return say("{}, and {}", _strung(parts[:place]), _strung(parts[place:]))
    return strung(parts)
