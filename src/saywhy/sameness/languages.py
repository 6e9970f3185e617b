"""
What an ordered clue asks, whichever automaton says it: its words as the least automaton of their length.

Two clues ask the same just where these are equal, so it can be seen which cells of a clue may change places
and whether it reads the same from its other end.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

from saywhy.primitives import Automaton

#: For each state of a layer, the state of the next layer for digits 1 to n; -1 where the word is refused.
Layer = tuple[tuple[int, ...], ...]


@dataclass(frozen=True)
class Language:
    """
    Words of one length, as the least layered automaton that tells them from all others.

    Attributes:
        layers: One for each place, states numbered in the order in which words in alphabetical order meet
            them; state 0 of the first layer is the start. Empty rows nowhere; equal languages have equal
            layers. No layers at all where there is no word.
    """

    layers: tuple[Layer, ...]

    @property
    def size(self) -> int:
        """States in all layers."""
        return sum(map(len, self.layers))

    @cached_property
    def name(self) -> str:
        """A digest that equal languages share and others do not."""
        return hashlib.sha256(repr(self.layers).encode()).hexdigest()

    @cached_property
    def links(self) -> int:
        """Pairs of a state and one that follows it."""
        return sum(len(set(row) - {-1}) for layer in self.layers for row in layer)

    @cached_property
    def blocks(self) -> tuple[tuple[int, ...], ...]:
        """The places parted into runs within which the digits may be exchanged at will."""
        runs: list[list[int]] = [[place] for place in range(min(len(self.layers), 1))]
        for place in range(1, len(self.layers)):
            if self._exchange(place):
                runs[-1].append(place)
            else:
                runs.append([place])
        return tuple(map(tuple, runs))

    def _exchange(self, place: int) -> bool:
        """Say whether the digits in this place and the one before it may be exchanged."""
        return _exchangeable(self.layers[place - 1], self.layers[place])

    @cached_property
    def reversed(self) -> Language | None:
        """
        The same words read backwards, where that takes as many states place by place; else None.

        Reading an automaton backwards, with all the states it could be in for one, gives the least automaton
        of the words reversed (Brzozowski 1962). It can be very large, but not where the two languages are
        the same, or each other's complement in digits: then each place has as many states both ways, so the
        first place that has not answers the question.
        """
        layers: list[Layer] = []
        here = [1]
        for count, layer in zip(map(len, self.layers), reversed(self.layers), strict=True):
            if len(here) != count:
                return None
            before = _predecessors(layer)
            numbers: dict[int, int] = {}
            rows = []
            for held in here:
                row = []
                for table in before:
                    reached = 0
                    for bit, mask in table:
                        if held & bit:
                            reached |= mask
                    row.append(numbers.setdefault(reached, len(numbers)) if reached else -1)
                rows.append(tuple(row))
            layers.append(tuple(rows))
            here = list(numbers)
        return Language(tuple(layers))


def _predecessors(layer: Layer) -> list[list[tuple[int, int]]]:
    """Give for each digit the states that it leads to, as bits, each with the mask of those before it."""
    found = []
    for digit in range(len(layer[0])):
        table: dict[int, int] = {}
        for state, row in enumerate(layer):
            if row[digit] >= 0:
                table[row[digit]] = table.get(row[digit], 0) | 1 << state
        found.append([(1 << target, mask) for target, mask in table.items()])
    return found


@lru_cache(maxsize=1024)
def _exchangeable(first: Layer, second: Layer) -> bool:
    """Say whether two digits read one after the other lead to the same state the other way round."""
    refused = (-1,) * len(second[0])
    for row in first:
        rows = [second[state] if state >= 0 else refused for state in row]
        if any(rows[a][b] != rows[b][a] for a in range(len(rows)) for b in range(a)):
            return False
    return True


@lru_cache(maxsize=4096)
def language(automaton: Automaton, length: int) -> Language:
    """Give the words of this length that an automaton accepts."""
    reached = [{0}]
    for _ in range(length):
        reached.append({after for state in reached[-1] for after in automaton.moves[state]} - {-1})
    classes = dict.fromkeys(reached[-1] & automaton.accepting, 0)
    kept: list[list[tuple[int, ...]]] = []
    for states in reversed(reached[:-1]):
        rows: dict[tuple[int, ...], int] = {}
        before = {}
        for state in states:
            row = tuple(classes.get(after, -1) for after in automaton.moves[state])
            if max(row) >= 0:
                before[state] = rows.setdefault(row, len(rows))
        kept.append(list(rows))
        classes = before
    return _numbered(kept[::-1])


def complement(automaton: Automaton) -> Automaton:
    """Give the automaton that reads n + 1 - d where this one reads d."""
    return Automaton(tuple(row[::-1] for row in automaton.moves), automaton.accepting)


def _numbered(layers: Sequence[Iterable[tuple[int, ...]]]) -> Language:
    """Number the states of each layer in the order in which words meet them."""
    found: list[Layer] = []
    here = [0]
    for held in layers:
        rows = list(held)
        if not rows:
            return Language(())
        numbers: dict[int, int] = {}
        found.append(
            tuple(
                tuple(-1 if after < 0 else numbers.setdefault(after, len(numbers)) for after in rows[state])
                for state in here
            )
        )
        here = list(numbers)
    return Language(tuple(found))
