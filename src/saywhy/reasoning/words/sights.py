"""What placed digits and written marks have struck out, said in few words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import cached_property

from saywhy.engine.constraints import Source
from saywhy.primitives import digits_of
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.plan import Phrase, Ref, join, say, spoken, written
from saywhy.reasoning.words.scene import Scene

#: Numbers and words of a list of what is seen, beyond which what it leaves is said instead.
MOST, LONG, LONGEST = 5, 17, 23


def _numbers(phrases: list[Phrase]) -> int:
    return sum(max(grammar.number_count(spoken(p)), grammar.number_count(written(p))) for p in phrases)


def _words(phrase: Phrase) -> int:
    return grammar.word_count(spoken(phrase))


class Struck:
    """
    The digits gone from some cells, by what strikes them out.

    Attributes:
        seen: For each source, the digits that it is seen to have, each with the cells where they stand.
        marked: The cells whose written marks are relied on.
    """

    def __init__(
        self,
        scene: Scene,
        cells: Iterable[int],
        digits: int | Mapping[int, int] | None = None,
        *,
        own: bool = True,
    ) -> None:
        """
        Collect what has struck digits out.

        Args:
            scene: The scene.
            cells: The cells.
            digits: The mask of digits asked for, or one for each cell; None for all.
            own: Whether a clue's own digits count, as what a cage has already.
        """
        self.scene = scene
        self.cells = [cell for cell in cells if cell not in scene.standing]
        self.wanted = (
            {cell: digits.get(cell, 0) for cell in self.cells}
            if isinstance(digits, Mapping)
            else dict.fromkeys(self.cells, scene.full if digits is None else digits)
        )
        self.seen: dict[Source, dict[int, int]] = {}
        self.targets: dict[Source, list[int]] = {}
        self.marked = [cell for cell in self.cells if scene.marked(cell) & self.wanted[cell]]
        for cell in self.cells:
            for sight in scene.sights(cell):
                if sight.struck & self.wanted[cell] and (own or sight.source.kind != "clue"):
                    self.seen.setdefault(sight.source, {})[sight.digit] = sight.cell
                    if cell not in self.targets.setdefault(sight.source, []):
                        self.targets[sight.source].append(cell)

    def __bool__(self) -> bool:
        return bool(self.seen or self.marked)

    @property
    def because(self) -> tuple[int, ...]:
        """The cells of the digits seen."""
        return tuple(sorted({cell for digits in self.seen.values() for cell in digits.values()}))

    def clauses(self, near: Iterable[int] | None = None) -> list[Phrase]:
        """
        Give what is seen as clauses: "row 3 has its 1 and 2", "column 5 its 4".

        Args:
            near: The cells that are lit anyway; a box that holds them is "the box".
        """
        scene = self.scene
        lit = tuple(self.cells if near is None else near)
        groups: dict[tuple[int, ...], list[Source]] = {}
        for source, found in self.seen.items():
            groups.setdefault(tuple(sorted(found)), []).append(source)
        clauses: list[Phrase] = []
        for digits, sources in groups.items():
            houses = [source for source in sources if source not in scene.names.pairwise]
            if houses:
                clauses.append(self._has(houses, digits, lit))
            clauses.extend(self.beside(source) for source in sources if source in scene.names.pairwise)
        return clauses

    def _has(self, sources: list[Source], digits: tuple[int, ...], lit: tuple[int, ...]) -> Phrase:
        scene = self.scene
        cells = tuple(sorted({self.seen[source][digit] for source in sources for digit in digits}))
        names = []
        for source in sources:
            targets = self.targets[source]
            names.append(scene.names.house(source, lit if source.name.startswith("region") else targets))
        ref = Ref(grammar.listed(digits), grammar.listed(digits), cells, "because")
        who = houses_listed(names)
        if len(sources) == 1:
            return say("{} has its {}", who, ref)
        if len(sources) == 2 and len(digits) == 1:
            return say("{} both have their {}", who, ref)
        return say("{} have their {}", who, ref)

    def beside(self, source: Source) -> Phrase:
        """Say what stands in a grid-wide relation to the cells: "a 4 stands a knight's move away"."""
        scene = self.scene
        found = self.seen[source]
        cells = tuple(sorted(set(found.values())))
        digits = grammar.listed(grammar.a(str(digit)) for digit in sorted(found))
        ref = Ref(digits, digits, cells, "because")
        where = scene.names.phrases(source).sees or "nearby"
        return say("{} {} {}", ref, "stands" if len(found) == 1 else "stand", where)

    def marks(self) -> list[Phrase]:
        """Give the marks relied on as clauses: "this cell is 2 or 5 by now"."""
        scene = self.scene
        groups: dict[int, list[int]] = {}
        for cell in self.marked:
            groups.setdefault(scene.full & ~(scene.marked(cell) & self.wanted[cell]), []).append(cell)
        return [say("{} {}", *self._is(cells, mask)) for mask, cells in groups.items()]

    @property
    def short(self) -> bool:
        """Whether all that is relied on can be said in few words."""
        return self._few is not None

    @cached_property
    def _few(self) -> list[Phrase] | None:
        return self._short(None)

    def told(self, near: Iterable[int] | None = None) -> list[Phrase]:
        """
        Give all that is relied on as clauses; long lists of digits as what they leave the cells.

        Args:
            near: As for ``clauses``.
        """
        short = self._few if near is None else self._short(near)
        if short is not None:
            return list(short)
        cells = [cell for cell in self.cells if self.scene.domain(cell) != self.scene.full]
        ref = self.scene.names.cells(cells, "because")
        lit = Ref("", "", self.because, "because")
        return [say("by now {} {} narrowed down{}", ref, ref.verb("is", "are"), lit)]

    def _short(self, near: Iterable[int] | None) -> list[Phrase] | None:
        plain = self.clauses(near) + self.marks()
        if _numbers(plain) <= MOST and sum(map(_words, plain)) <= LONG:
            return plain
        short = self.known()
        if _numbers(short) <= MOST and sum(map(_words, short)) <= LONG:
            return short
        if _numbers(plain) <= MOST + 1 and sum(map(_words, plain)) <= LONGEST:
            return plain
        if _numbers(short) <= MOST + 1 and sum(map(_words, short)) <= LONGEST:
            return short
        return None

    def in_two(self) -> list[Phrase]:
        """Give all that is relied on as two sentences; empty if they would be too long."""
        for parts in (self.clauses() + self.marks(), self.known()):
            for place in range(1, len(parts)):
                halves = parts[:place], parts[place:]
                if all(_numbers(half) <= MOST + 1 and sum(map(_words, half)) <= LONGEST for half in halves):
                    return [join(half) for half in halves]
        return []

    def opener(self, near: Iterable[int] | None = None) -> list[Phrase]:
        """Give all that is relied on as a sentence, or as two where it is too long for one."""
        told = self.told(near)
        if not told or self._short(near) is not None:
            return [join(told)] if told else []
        return self.in_two() or [join(told)]

    def known(self, opener: str = "by now ") -> list[Phrase]:
        """Give what is seen and marked as what it leaves each cell: "by now this cell is 2, 5 or 6"."""
        scene = self.scene
        groups: dict[int, list[int]] = {}
        for cell in self.cells:
            left = scene.full & ~(~scene.domain(cell) & self.wanted[cell])
            if left != scene.full:
                groups.setdefault(left, []).append(cell)
        lit = Ref("", "", self.because, "because")
        found = []
        for place, (mask, cells) in enumerate(sorted(groups.items(), key=lambda item: item[1])):
            ref = scene.names.cells(cells)
            text = say("{} {}{}", ref, says(mask, scene.full, many=ref.many), lit if not place else "")
            found.append(say("{}{}", opener, text) if not place else text)
        return found

    def _is(self, cells: list[int], mask: int) -> tuple[Ref, str]:
        ref = self.scene.names.cells(cells, "because")
        return ref, says(mask, self.scene.full, many=ref.many)


def houses_listed(names: list[Ref]) -> Phrase:
    """List houses, those of a kind together: "rows 1 and 2 and the top left and centre boxes"."""
    found: list[Phrase | Ref] = []
    left = list(names)
    for kind in ("row", "column", "region", "box"):
        same = [ref for ref in left if re.fullmatch(rf"{kind} \d+", ref.spoken)]
        left = [ref for ref in left if ref not in same]
        same.sort(key=_number)
        if len(same) > 1:
            pieces = [
                replace(ref, spoken=ref.spoken.split()[1], written=ref.written.split()[1]) for ref in same
            ]
            found.append(say("{} {}", grammar.s(kind, 2), join(pieces)))
        else:
            found += same
    boxes = [ref for ref in left if re.fullmatch(r"the [\w ]+ box", ref.spoken)]
    if len(boxes) > 1:
        left = [ref for ref in left if ref not in boxes]
        boxes.sort(key=_number)
        pieces = [replace(ref, spoken=ref.spoken[4:-4], written=ref.written.split()[1]) for ref in boxes]
        head, tail = Ref("the ", "boxes "), Ref(" boxes", "")
        found.append(say("{}{}{}", head, join(pieces), tail))
    return join([*found, *left])


def _number(ref: Ref) -> int:
    """Give the number of a house that is named alone."""
    return int(ref.written.rsplit(maxsplit=1)[-1])


def says(mask: int, full: int, *, many: bool = False) -> str:  # noqa: PLR0911, PLR0912 - a list of cases
    """
    Say which digits a cell may be: "is 2 or 5", "is 6 or more", "has no 4".

    Args:
        mask: The digits left.
        full: All digits.
        many: Whether the verb stands in the plural.
    """
    be, have = ("are", "have") if many else ("is", "has")
    left, gone = digits_of(mask), digits_of(full & ~mask)
    most = full.bit_length()
    if not left:
        return f"{have} nothing left"
    if len(left) == 1:
        return f"{be} {left[0]}"
    if len(left) == 2:
        return f"{be} {left[0]} or {left[1]}"
    if left == list(range(left[0], most + 1)):
        return f"{be} {left[0]} or more"
    if left == list(range(1, left[-1] + 1)):
        return f"{be} {left[-1]} at most" if left[-1] > 3 else f"{be} {grammar.digits(left)}"
    if left == list(range(1, most + 1, 2)):
        return f"{be} odd"
    if left == list(range(2, most + 1, 2)):
        return f"{be} even"
    if len(gone) == 1:
        return f"{have} no {gone[0]}"
    if len(left) <= 3:
        return f"{be} {grammar.digits(left)}"
    if left == list(range(left[0], left[-1] + 1)):
        return f"{be} {left[0]} to {left[-1]}"
    if len(gone) == 2:
        return f"{be} neither {gone[0]} nor {gone[1]}"
    if len(gone) > 2 and gone == list(range(gone[0], gone[-1] + 1)):
        return f"{have} nothing from {gone[0]} to {gone[-1]}"
    if len(left) < len(gone) or len(left) <= 4:
        return f"{be} {grammar.digits(left)}"
    return f"{have} no {grammar.listed(gone, 'or')}"
