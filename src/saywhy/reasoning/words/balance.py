"""One weighted sum of a clue, seen through the certificate: its sides, what stands, what is open."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property

from saywhy.engine.constraints import Source
from saywhy.primitives import Linear
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.plan import Phrase, Plan, Ref, Role, say
from saywhy.reasoning.words.results import enough
from saywhy.reasoning.words.scene import NODES, Scene
from saywhy.reasoning.words.ways import Cells


class Balance:
    """
    A sum whose weights are all 1 or -1.

    Attributes:
        scene: The scene.
        source: The clue.
        plus: Cells counted for, in the clue's order.
        minus: Cells counted against; empty for a printed total.
        total: What plus less minus makes.
        open: The cells without a digit yet.
    """

    def __init__(self, scene: Scene, source: Source, linear: Linear) -> None:
        self.scene, self.source, self.linear = scene, source, linear
        self.look = scene.clue(source).scope if source.kind == "clue" else tuple(linear.cells)
        order = {cell: place for place, cell in enumerate(self.look)}
        cells = sorted(
            zip(linear.cells, linear.coefficients, strict=True), key=lambda item: order.get(item[0], 99)
        )
        self.plus = tuple(cell for cell, weight in cells if weight > 0)
        self.minus = tuple(cell for cell, weight in cells if weight < 0)
        self.total = linear.total
        self.open = tuple(cell for cell, _ in cells if cell not in scene.standing)
        self.open_plus = tuple(cell for cell in self.plus if cell in self.open)
        self.open_minus = tuple(cell for cell in self.minus if cell in self.open)

    @classmethod
    def of(cls, scene: Scene, source: Source) -> list[Balance]:
        """Give the sums of a clue that weigh every cell alike."""
        return [
            cls(scene, source, held.primitive)
            for held in scene.frame.of(source)
            if isinstance(held.primitive, Linear) and {abs(w) for w in held.primitive.coefficients} == {1}
        ]

    def standing(self, cells: Iterable[int]) -> list[int]:
        """Give the digits that stand in these cells."""
        return [self.scene.standing[cell] for cell in cells if cell in self.scene.standing]

    @property
    def one_sided(self) -> bool:
        """Whether all open cells stand on one side, so that they make a known amount."""
        return not self.open_plus or not self.open_minus

    @property
    def amount(self) -> int:
        """What the open cells make together, where they stand on one side."""
        known = sum(self.standing(self.plus)) - sum(self.standing(self.minus))
        return self.total - known if self.open_plus else known - self.total

    @property
    def gap(self) -> int:
        """By how much the open plus cells exceed the open minus cells."""
        return self.total - sum(self.standing(self.plus)) + sum(self.standing(self.minus))

    @property
    def lead(self) -> Phrase:
        """What must be said before the sum is spoken of at all; nothing for a clue's own."""
        return ()

    @property
    def noun(self) -> str:
        """What the clue is called."""
        return self.scene.names.phrases(self.source).noun

    @property
    def across(self) -> str:
        """Where the partner of one of two open cells stands: "across the X", "in the 7 cage"."""
        phrases = self.scene.names.phrases(self.source)
        if phrases.across:
            return phrases.across
        if "cage" in phrases.noun:
            return f"in the {phrases.noun}" if not self.standing(self.plus) else "with it"
        return "beside it"

    @cached_property
    def cells(self) -> Cells:
        """The open cells."""
        return Cells(self.scene, self.open)

    def shows(self, left: Mapping[int, int]) -> bool:
        """Say whether the sum, with these digits left to its cells, shows all that the step concludes."""
        scene = self.scene
        domains = [scene.full] * len(scene.frame.grid.cells)
        for cell in self.linear.cells:
            domains[cell] = left.get(cell, scene.domain(cell))
        for cell in scene.results:
            domains[cell] &= left.get(cell, scene.domain(cell))
        ids = [held.id for held in scene.helds]
        after, _ = scene.frame.model.shows(ids, domains, NODES)
        return enough(scene, {cell: after[cell] for cell in scene.results}, exact=False)

    # Names

    def name(self, cells: Sequence[int], role: Role = "look", which: str = "this") -> Ref:
        """Name some of its cells, by their part in the clue where they fill one."""
        return self.scene.names.within(self.scene.clue(self.source), cells, role, which)

    def side(self, cells: Sequence[int]) -> Ref:
        """Name one whole side: the circle, the line, the cage."""
        if not self.minus:
            return self.whole
        return self.name(cells)

    @property
    def whole(self) -> Ref:
        """The clue by its noun: the 15 cage."""
        return self.scene.names.clue(self.source)

    def rest(self, cells: Sequence[int], of: Sequence[int], role: Role = "look") -> Ref:
        """Name what is left of the open cells of a side: "the other two", "the last cell"."""
        held = tuple(cells)
        written = self.scene.names.written(held)
        if len(held) == 1:
            spoken = "the other" if len(of) == 2 else "the last cell"
            return Ref(spoken, written, held, role)
        return Ref(f"the other {grammar.count(len(held))}", written, held, role, many=True)

    def makes(self, cells: Sequence[int]) -> Phrase:
        """Say what a side that stands complete makes: "the circle is 9", "the line makes 3 + 4 = 7"."""
        digits = self.standing(cells)
        ref = self.side(cells)
        if len(digits) == 1:
            return say("{} is {}", ref, digits[0])
        return say("{} {} {}", ref, ref.verb("makes", "make"), arithmetic(digits))


def arithmetic(digits: Sequence[int]) -> str:
    """Give ``3 + 4 = 7``, or the total alone where the digits are many."""
    if len(digits) == 1:
        return str(digits[0])
    if len(digits) > 4:
        return str(sum(digits))
    return f"{grammar.plus(digits)} = {sum(digits)}"


def plan_of(balance: Balance, sentences: Sequence[Phrase], brief: Phrase) -> Plan:
    """Give a plan of these sentences, empty ones left out, with the sum's cells lit."""
    return Plan(tuple(part for part in sentences if part), brief, balance.look)


def ways_said(raw: Sequence[Sequence[int]]) -> str:
    """List ways: "5 and 9 or 6 and 8", "1, 2 and 6, or 1, 3 and 5"."""
    shown = [grammar.listed(_doubled(way)) for way in raw]
    if len(shown) > 1 and any(len(way) > 2 for way in raw):
        return ", or ".join(shown)
    return grammar.listed(shown, "or")


def _doubled(way: Sequence[int]) -> list[str]:
    if len(way) == 2 and way[0] == way[1]:
        return [f"two {way[0]}s"]
    return [str(digit) for digit in way]
