"""The totals of houses in words: "the box makes 45 and its cages 39, so the cell left over is the 6"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property
from itertools import combinations

from saywhy.engine.constraints import Source
from saywhy.primitives import Linear, balance
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.balance import Balance
from saywhy.reasoning.words.linear import of_balance
from saywhy.reasoning.words.plan import Phrase, Plan, Ref, Role, join, say
from saywhy.reasoning.words.results import conclusion
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck, houses_listed


class Derived(Balance):
    """
    What one to three houses make, less the sums in them.

    Attributes:
        houses: The houses.
        sums: The clues taken away.
        taken: What these make.
    """

    def __init__(
        self, scene: Scene, houses: Sequence[Source], sums: Sequence[Source], taken: int, linear: Linear
    ) -> None:
        super().__init__(scene, houses[0], linear)
        self.houses, self.sums, self.taken = tuple(houses), tuple(sums), taken

    @property
    def noun(self) -> str:
        """Nothing: these cells are no clue."""
        return ""

    @property
    def across(self) -> str:
        """Where the partner of one of two open cells stands."""
        return "beside it"

    def name(self, cells: Sequence[int], role: Role = "look", which: str = "this") -> Ref:
        """Point at cells."""
        return self.scene.names.cells(cells, role, which=which)

    @property
    def whole(self) -> Ref:
        """The open cells together."""
        return self.name(self.open)

    @cached_property
    def lead(self) -> Phrase:
        """What the houses make, what the clues in them make, and so what is left over."""
        scene, n = self.scene, self.scene.n
        total = len(self.houses) * n * (n + 1) // 2
        names = [scene.names.house(source, (), "the") for source in self.houses]
        lit = tuple(cell for source in self.sums for cell in scene.clue(source).scope)
        clues = [scene.names.clue(source) for source in self.sums]
        noun = clues[0].spoken.split()[-1]
        alike = all(ref.spoken.split()[-1] == noun for ref in clues)
        if len(clues) == 1:
            (sums,) = clues
        else:
            spoken = f"these {grammar.count(len(clues))} {grammar.s(noun, 2) if alike else 'sums'}"
            firsts = scene.frame.grid.names(scene.clue(source).scope[0] for source in self.sums)
            what = grammar.s(noun, 2) if alike else "sums"
            sums = Ref(spoken, f"the {what} at {grammar.listed(firsts)}", lit, "because", many=True)
        inside, outside = self.standing(self.plus), self.standing(self.minus)
        made = self.taken + sum(inside) - sum(outside)
        with_ = f" with {_stood(inside)}" if inside else ""
        less = f" less {_stood(outside)} outside" if outside else ""
        sums_make = say("{}{}{} {}", sums, with_, less, made)
        single = len(clues) == 1 and not inside and not outside
        sums_make = say("{}", sums) if single and str(made) in sums.spoken else sums_make
        return say(
            "{} {} {}, {}, so {}",
            houses_listed(names),
            "make" if len(names) > 1 else "makes",
            total,
            say("{} takes {}", sums, made) if single else sums_make,
            self._left(),
        )

    def _left(self) -> Phrase:
        gap = self.gap
        inner, outer = self.open_plus, self.open_minus
        if not outer:
            ref = self.name(inner, "result" if set(inner) <= set(self.scene.results) else "look")
            return say("{} {} {}", ref, "is" if len(inner) == 1 else "make", gap)
        if not inner:
            ref = self.name(outer, "result" if set(outer) <= set(self.scene.results) else "look")
            return say("{} outside {} {}", ref, "is" if len(outer) == 1 else "make", -gap)
        more, less = (inner, outer) if gap >= 0 else (outer, inner)
        a, b = self.name(more), self.name(less)
        verb = "is" if len(more) == 1 and len(less) == 1 else a.verb("makes", "make")
        if not gap:
            return say("{} {} the same as {}", a, "is" if len(more) == 1 else "make", b)
        return say("{} {} {} more than {}", a, verb, abs(gap), b)


def _stood(digits: Sequence[int]) -> str:
    """Give ``the 5``, ``the 2 and the 5``, ``two 5s``."""
    many = {digit: list(digits).count(digit) for digit in sorted(digits)}
    return grammar.listed(
        f"the {digit}" if times == 1 else f"{grammar.count(times)} {digit}s" for digit, times in many.items()
    )


def plans(scene: Scene) -> Iterator[Plan]:
    """Give the plans of a step that rests on the totals of houses."""
    found = _derived(scene)
    if found is None:
        return
    yield from of_balance(found)
    struck = Struck(scene, found.open, own=False)
    clauses = struck.told(found.open)
    ends = conclusion(scene, scene.results)
    brief = say("{}.", ends)
    middle = [join(clauses)] if clauses else []
    yield Plan((found.lead, *middle, say("so {}", ends)), brief, found.open, vague=0.6)
    if clauses:
        yield Plan((found.lead, say("{}, so {}", join(clauses), ends)), brief, found.open, vague=0.6)


def _derived(scene: Scene) -> Derived | None:
    """Find the houses and sums of the certificate whose difference reaches the cells concluded on."""
    frame = scene.frame
    sums = []
    for source in scene.clue_sources:
        linears = [h.primitive for h in frame.of(source) if isinstance(h.primitive, Linear)]
        if len(linears) != 1 or any(weight != 1 for weight in linears[0].coefficients):
            return None
        sums.append((source, linears[0]))
    used = [cell for _, linear in sums for cell in linear.cells]
    if len(set(used)) < len(used):
        return None
    taken = sum(linear.total for _, linear in sums)
    houses = [(h, s) for h, s in frame.houses if s in scene.sources and s.kind == "house"]
    best: Derived | None = None
    for size in (1, 2, 3):
        for chosen in combinations(houses, size):
            cells = [cell for house, _ in chosen for cell in house.cells]
            if len(set(cells)) < len(cells):
                continue
            inner, outer = set(cells) - set(used), set(used) - set(cells)
            touched = all(set(linear.cells) & set(cells) for _, linear in sums)
            if not set(scene.results) <= inner | outer or not touched:
                continue
            total = size * scene.n * (scene.n + 1) // 2
            linear = balance(sorted(inner), sorted(outer), total - taken)
            one = Derived(
                scene, [source for _, source in chosen], [source for source, _ in sums], taken, linear
            )
            if best is None or len(one.open) < len(best.open):
                best = one
    return best
