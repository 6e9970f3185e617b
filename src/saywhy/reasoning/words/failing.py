"""Why a sum cannot be filled any more: its sides are too far apart, or what is left cannot be made."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from math import prod

from saywhy.engine.constraints import Source
from saywhy.primitives import Linear, digits_of
from saywhy.reasoning.words import grammar, pills
from saywhy.reasoning.words.balance import arithmetic
from saywhy.reasoning.words.plan import Phrase, Ref, join, say
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck
from saywhy.reasoning.words.ways import Cells, makings
from saywhy.totals import unmade

#: Totals of a side that are listed at most, and ways to make a total; where the other side is not listed.
TOTALS, WAYS, ALONE = 3, 3, 4
#: What is said where all but the cell that is supposed to be another digit is known.
LEFT = "what is left for it is"
#: Most fillings of a side that are looked through.
MANY = 400


def one(scene: Scene, source: Source) -> str:
    """Give the house that two cells share: "one row", "one cage"."""
    if source.kind == "house":
        kind = source.name.split()[0]
        return f"one {scene.names.region if kind == 'region' else kind}"
    return f"one {scene.names.phrases(source).noun}"


def would_be(scene: Scene, ref: Phrase | Ref, cell: int, digit: int, known: Mapping[int, int]) -> Phrase:
    """Say that a cell would have to be a digit, and what has that digit already."""
    head = say("{} would have to be {}", ref, digit)
    if digit > scene.n:
        return head
    struck = Struck(scene, [cell], 1 << (digit - 1))
    houses = [source for source in struck.seen if source not in scene.names.pairwise]
    if houses:
        lit = Ref("", "", struck.because, "because")
        return say("{}, which {} has already{}", head, scene.names.house(houses[0], [cell]), lit)
    for other, mask in known.items():
        source = scene.differ(other, cell) if other != cell and mask == 1 << (digit - 1) else None
        if source is not None:
            return say("{} too, in {}", head, one(scene, source))
    return head


def gone(scene: Scene, cell: int, digits: int) -> Phrase:
    """Say what has these digits, where one or two houses have them all."""
    struck = Struck(scene, [cell], digits)
    seen = 0
    for found in struck.seen.values():
        for digit in found:
            seen |= 1 << (digit - 1)
    if not digits or digits & ~seen or len(struck.seen) > 2:
        return ()
    if any(source in scene.names.pairwise for source in struck.seen):
        return ()
    return say(", and {}", join(struck.clauses([cell])))


class FailingSum:
    """
    A sum that cannot be filled, with what is known of its cells.

    Attributes:
        scene: The scene.
        source: The clue.
        known: For each cell, the mask of digits left.
        supposed: The cell that a story supposes something of.
        plus: Cells counted for.
        minus: Cells counted against.
        linear: The sum.
        total: What plus less minus makes.
    """

    def __init__(
        self,
        scene: Scene,
        source: Source,
        linear: Linear,
        known: Mapping[int, int],
        supposed: frozenset[int] = frozenset(),
    ) -> None:
        self.scene, self.source, self.known, self.supposed = scene, source, known, supposed
        pairs = list(zip(linear.cells, linear.coefficients, strict=True))
        self.plus = tuple(cell for cell, weight in pairs if weight == 1)
        self.minus = tuple(cell for cell, weight in pairs if weight == -1)
        self.linear, self.total = linear, linear.total
        self.plain = len(self.plus) + len(self.minus) == len(pairs) and not (self.minus and self.total)

    def said(self) -> Phrase:
        """Say how far its sides are apart, or what some cells would have to make; nothing otherwise."""
        if not self.plain:
            return pills.said(self.scene, self.source, self.linear, self.known)
        for way in self._ways():
            if way:
                return way
        return ()

    def _ways(self) -> Iterator[Phrase]:
        if not self.minus:
            yield self._total_missed()
            free = self._free(self.plus)
            if len(free) < len(self.plus):
                yield self._cannot(free, self.total - self._standing(self.plus))
            yield self._beside()
            yield self._cannot(free, self.total)
            return
        if not self._free(self.plus + self.minus):
            yield self._unequal()
        yield self._too_far()
        for mine, other in ((self.plus, self.minus), (self.minus, self.plus)):
            if not self._free(other):
                yield self._cannot(self._free(mine), self._standing(other) - self._standing(mine))
        yield self._gap()
        if all(prod(self.known[c].bit_count() for c in side) <= MANY for side in (self.plus, self.minus)):
            yield self._totals_apart()
            yield self._shared()

    # What is known

    def _free(self, cells: Sequence[int]) -> tuple[int, ...]:
        return tuple(c for c in cells if self.known[c] & (self.known[c] - 1))

    def _standing(self, cells: Sequence[int]) -> int:
        return sum(self.known[c].bit_length() for c in cells if not self.known[c] & (self.known[c] - 1))

    def _cells(self, cells: Sequence[int]) -> Cells:
        return Cells(self.scene, cells, [self.known[c] for c in cells])

    def _name(self, cells: Sequence[int]) -> Ref:
        return self.scene.names.within(self.scene.clue(self.source), cells)

    @cached_property
    def _whole(self) -> Ref:
        return self.scene.names.clue(self.source)

    # A printed total

    def _total_missed(self) -> Phrase:
        least, most = (self._cells(self.plus).extreme(most=most) for most in (False, True))
        if least is None or most is None:
            return ()
        if not self._free(self.plus):
            return say("{} would make {}", self._whole, sum(least))
        if sum(most) < self.total:
            return say("{} makes {} at most", self._whole, _shown(most, 4))
        if sum(least) > self.total:
            return say("{} makes at least {}", self._whole, _shown(least, 4))
        return ()

    def _beside(self) -> Phrase:
        """What the cells beside the one supposed would have to make."""
        rest = [c for c in self.plus if c not in self.supposed]
        if len(rest) != len(self.plus) - 1:
            return ()
        (cell,) = self.supposed
        needs = [self.total - digit for digit in digits_of(self.known[cell])[::-1]]
        if not 1 <= len(needs) <= TOTALS or needs[0] < 1:
            return ()
        if len(rest) > 1:
            return (
                ()
                if len(needs) == 1
                else say("{} would have to make {}, and can't", self._name(rest), _or(needs))
            )
        mask = sum(1 << (need - 1) for need in needs if need <= self.scene.n)
        return say("{} would have to be {}{}", self._name(rest), _or(needs), gone(self.scene, rest[0], mask))

    # Cells that have an amount to make

    def _cannot(self, free: Sequence[int], amount: int) -> Phrase:  # noqa: PLR0911 - a list of cases
        """Say what some cells would have to make, and that it is out of reach or what of it is gone."""
        scene = self.scene
        whole = not self.minus and len(free) == len(self.plus)
        if len(free) == 1 and set(free) == self.supposed and amount > 0:
            if len(self.plus) + len(self.minus) == 1:
                return say("{} would have to make {} alone", self._name(free), amount)
            return say("{} {}", LEFT, amount)
        if len(free) == 1:
            if amount < 1:
                return say("nothing would be left for {}", self._name(free))
            return would_be(scene, self._name(free), free[0], amount, self.known)
        least, most = (self._cells(free).extreme(most=most) for most in (False, True))
        ways = makings(len(free), amount, scene.n, scene.different(free))
        ref = self._whole if whole else self._name(free)
        if whole and not 1 <= len(ways) <= WAYS:
            return self._instead(free, amount)
        head = say("{} would have to make {}", ref, amount)
        if least is None or most is None or not ways:
            return head
        if amount < sum(least):
            return say("{}, not {} or more", head, _shown(least))
        if amount > sum(most):
            return say("{}, not {} at most", head, _shown(most))
        if len(ways) > WAYS or len(ways) * len(free) > grammar.NUMBERS:
            return self._instead(free, amount) or say("{}, and can't", head)
        listed = [grammar.listed(way) for way in ways]
        common = [d for d in ways[0] if all(d in way for way in ways)]
        fits = ("", "neither fits", "none fits")[len(ways) - 1]
        why = self._taken(free, common) or (say(", and {}", fits) if fits else ())
        shown = ", or ".join(listed) if len(free) > 2 else _or(listed)
        return say("{} would have to be {}{}", ref, shown, why)

    def _instead(self, free: Sequence[int], amount: int) -> Phrase:
        """Say what cells with many ways to make an amount make instead, or why none of the ways left fits."""
        whole = not self.minus and len(free) == len(self.plus)
        said = unmade(free, self.known, amount, self.scene.n, self._cells(free).apart)
        if said is None:
            return ()
        clue = self.scene.clue(self.source)
        what = tuple(
            piece if isinstance(piece, str) else self.scene.names.within(clue, piece) for piece in said
        )
        ref = self._whole if whole else self._name(free)
        if whole and what[-1] == f" to make {amount}":
            what = what[:-1]
        if str(said[0]).startswith("would"):
            return say("{} {}", ref, what)
        if whole:
            return say("{} {}", ref, _one(what) if not ref.many else what)
        if what[-1] == f"have no {grammar.count(len(free))} digits that make {amount}":
            what = (f"no {grammar.count(len(free))} of their digits do",)
        return say("{} would have to make {}, but {}", ref, amount, what)

    def _taken(self, free: Sequence[int], digits: Sequence[int]) -> Phrase:
        """Give one house that has a digit of those that these cells need."""
        scene = self.scene
        for digit in digits:
            struck = Struck(scene, free, 1 << (digit - 1))
            for source, targets in struck.targets.items():
                if source not in scene.names.pairwise and set(targets) == set(free):
                    lit = Ref(str(digit), str(digit), (struck.seen[source][digit],), "because")
                    return say(", and {} has its {}", scene.names.house(source, free), lit)
        return ()

    # Two sides

    def _unequal(self) -> Phrase:
        a, b = self._name(self.plus), self._name(self.minus)
        x, y = self._standing(self.plus), self._standing(self.minus)
        if len(self.plus) > 1:
            return say("{} would make {} and {} {}", a, x, b, y)
        return say("{} would make {}, not {}", b, y, x)

    def _too_far(self) -> Phrase:
        """One side makes at least more than the other makes at most."""
        for low, high in ((self.plus, self.minus), (self.minus, self.plus)):
            least, most = self._cells(low).extreme(most=False), self._cells(high).extreme(most=True)
            if least is None or most is None or sum(least) <= sum(most):
                continue
            reach = f"{sum(most)} at most" if self._free(high) else f"only {sum(most)}"
            return say("{}, {} {}", self._at_least(low, least), self._name(high), reach)
        return ()

    def _at_least(self, cells: Sequence[int], digits: Sequence[int]) -> Phrase:
        ref = self._name(cells)
        verb = "is" if len(cells) == 1 else ref.verb("makes", "make")
        least = "at least " if self._free(cells) else ""
        return say("{} {} {}{}", ref, verb, least, _shown(digits))

    def _gap(self) -> Phrase:
        """One open cell on each side: they would have to differ by a known amount."""
        scene = self.scene
        first, second = self._free(self.plus), self._free(self.minus)
        if len(first) != 1 or len(second) != 1 or {*first, *second} & self.supposed:
            return ()  # Of a cell that something is supposed of that holds whatever is supposed.
        gap = self._standing(self.minus) - self._standing(self.plus)
        if gap < 0:
            first, second, gap = second, first, -gap
        x, y = self._name(first), self._name(second)
        less, more = digits_of(self.known[second[0]]), digits_of(self.known[first[0]])
        source = scene.differ(first[0], second[0])
        tail: Phrase = ()
        if not gap and source is not None:
            tail = say(", in {}", one(scene, source))
        elif len(less) + len(more) <= 5:
            tail = say(", with {} for {} and {} for {}", _or(more), x, _or(less), y)
        if not gap:
            return say("{} and {} would have to be equal{}", x, y, tail)
        if all(cell in scene.standing for cell in (*self.plus, *self.minus) if cell not in (*first, *second)):
            # That holds whatever is supposed: what fails is that no two digits are left for it.
            return say("no digit left for {} is {} more than one for {}", x, gap, y)
        return say("{} would have to be {} more than {}{}", x, gap, y, tail)

    def _totals_apart(self) -> Phrase:
        """The totals of the sides have none in common."""
        left, right = self._totals(self.plus), self._totals(self.minus)
        if left & right:
            return ()
        a, b = self._name(self.plus), self._name(self.minus)
        if len(left) <= TOTALS and len(right) <= TOTALS:
            return join(
                say(
                    "{} {} {}",
                    ref,
                    "is" if len(cells) == 1 else ref.verb("makes", "make"),
                    _or(sorted(found)),
                )
                for ref, cells, found in ((a, self.plus, left), (b, self.minus, right))
            )
        for rest, kind, other in ((0, "even", "odd"), (1, "odd", "even")):
            if all(x % 2 == rest for x in left) and all(x % 2 != rest for x in right):
                return say("{} would be {} and {} {}", a, kind, b, other)
        few, cells, ref, far = left, self.plus, a, b
        if len(right) < len(left):
            few, cells, ref, far = right, self.minus, b, a
        never = far.verb("never makes", "never make")
        if len(few) <= ALONE and set(cells) == self.supposed:
            return say("{} {} {}", far, never, _or(sorted(few)))
        if len(few) <= ALONE:
            verb = "is" if len(cells) == 1 else ref.verb("makes", "make")
            return say("{} {} {}, and {} {} that", ref, verb, _or(sorted(few)), far, never)
        return self._in_reach(left, right)

    def _in_reach(self, left: set[int], right: set[int]) -> Phrase:
        """Of one side's totals very few are in reach of the other side, and it makes none of these."""
        low, high = max(min(left), min(right)), min(max(left), max(right))
        sides = ((left, self.plus, self.minus), (right, self.minus, self.plus))
        for totals, few_of, bounding in sides:
            few = sorted(total for total in totals if low <= total <= high)
            if not 1 <= len(few) <= 2 or (low in totals) == (high in totals):
                continue
            a, b = self._name(bounding), self._name(few_of)
            verb = "is" if len(bounding) == 1 else a.verb("makes", "make")
            reach = f"at least {low}" if high in totals else f"{high} at most"
            must = say("{} would have to {} {}", b, "be" if len(few_of) == 1 else "make", _or(few))
            never = "is never" if len(bounding) == 1 else a.verb("never makes", "never make")
            ends_it = high < self.scene.n if low in totals else low > 1
            if len(bounding) > 1 or ends_it:
                must = say("{} {} {}, so {}", a, verb, reach, must)
            return say("{}, and {} {} that", must, a, never)
        return ()

    def _shared(self) -> Phrase:
        """The sides could be equal only if two cells that see each other held one digit."""
        scene = self.scene
        apart = [(a, b) for a in self.plus for b in self.minus if scene.differ(a, b) is not None]
        rights: dict[int, list[tuple[int, ...]]] = {}
        for right in self._fillings(self.minus) if apart else ():
            rights.setdefault(sum(right), []).append(right)
        fits: set[tuple[tuple[int, ...], tuple[int, ...]]] = set()
        common: set[tuple[int, str]] | None = None
        houses: set[str] | None = None
        for left in self._fillings(self.plus) if apart else ():
            for right in rights.get(sum(left), ()):
                held = dict(zip((*self.plus, *self.minus), (*left, *right), strict=True))
                clashes = {
                    (held[a], one(scene, source))
                    for a, b in apart
                    if held[a] == held[b] and (source := scene.differ(a, b)) is not None
                }
                common = clashes if common is None else common & clashes
                twice = {house for _, house in clashes}
                houses = twice if houses is None else houses & twice
                fits.add((tuple(sorted(left)), tuple(sorted(right))))
                if not houses or len(fits) > MANY:
                    return ()
        if not fits or not houses:
            return ()
        house = min(houses)
        if common and len(fits) == 1:
            ((left, right),) = fits
            digit, house = min(common)
            sides = sorted((left, right), key=len, reverse=True)
            equation = f"{grammar.plus(sides[0])} = {grammar.plus(sides[1])}"
            return say("only {} would fit, with two {}s in {}", equation, digit, house)
        totals = sorted({sum(left) for left, _ in fits})
        what = f"two {min(common)[0]}s in {min(common)[1]}" if common else f"some digit twice in {house}"
        if len(totals) <= TOTALS:
            return say("both sides could only make {}, with {}", _or(totals), what)
        return say("to be equal, the two sides would need {}", what)

    def holding(self, must: int, house: Sequence[int]) -> Phrase:
        """Say why the cells in a house cannot hold these digits: what they make or leave for the rest."""
        sides = [side for side in (self.plus, self.minus) if side]
        if not self.plain:
            return ()
        digits = digits_of(must)
        if any(prod(self.known[c].bit_count() for c in side) > MANY for side in sides):
            return self._held(digits, set()) if len(sides) == 1 else ()
        totals = []
        for side in sides:
            own = [place for place, cell in enumerate(side) if cell in house]
            full = len(own) == len([c for c in (*self.plus, *self.minus) if c in house])
            found = {
                sum(way)
                for way in self._fillings(side)
                if not full or all(any(way[place] == digit for place in own) for digit in digits)
            }
            totals.append(found)
        if len(sides) == 1:
            return self._held(digits, totals[0])
        a, b = (self._name(side) for side in sides)
        if not totals[0] or not totals[1]:
            return ()
        for low, high, one_, other in ((totals[0], totals[1], a, b), (totals[1], totals[0], b, a)):
            if min(low) > max(high):
                verb = "is" if len(one_.cells) == 1 else one_.verb("makes", "make")
                return say("and {} {} at least {}, {} {} at most", one_, verb, min(low), other, max(high))
        return ()

    def _held(self, digits: Sequence[int], totals: set[int]) -> Phrase:
        """Of a printed total: the digits held are too much, too little, or leave what cannot be."""
        if totals and min(totals) > self.total:
            return say("which makes at least {}", min(totals))
        if totals and max(totals) < self.total:
            return say("which makes {} at most", max(totals))
        left = self.total - self._standing(self.plus) - sum(digits)
        free = len(self._free(self.plus)) - len(digits)
        if free < 1:
            return ()
        rest = "its last cell" if free == 1 else f"its other {grammar.count(free)}"
        return say("which leaves {} for {}", left, rest)

    def _fillings(self, cells: Sequence[int]) -> list[tuple[int, ...]]:
        held = self._cells(cells)
        found: list[tuple[int, ...]] = [()]
        for place, mask in enumerate(held.domains):
            found = [
                (*before, digit)
                for before in found
                for digit in digits_of(mask)
                if all(before[i] != digit for i in held.apart[place])
            ]
        return found

    def _totals(self, cells: Sequence[int]) -> set[int]:
        """Give the totals that some cells can make, those that differ taken as such."""
        return {sum(filling) for filling in self._fillings(cells)}


def _shown(digits: Sequence[int], most: int = 3) -> str:
    return arithmetic(sorted(digits)) if len(digits) <= most else str(sum(digits))


def _one(what: Phrase) -> Phrase:
    """Put the verb that a clause begins with in the singular."""
    verb, _, rest = str(what[0]).partition(" ")
    return (f"{'has' if verb == 'have' else verb + 's'} {rest}", *what[1:])


def _or(items: Sequence[object]) -> str:
    return grammar.listed(items, "or")
