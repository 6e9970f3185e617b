"""How cells, houses and clues are called: pointed at when spoken, by their names when written."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import cached_property
from itertools import pairwise

from saywhy.engine.constraints import Source
from saywhy.primitives import AllDifferent
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.plan import HERE, Ref, Role
from saywhy.rule import ClueRule, Part, Phrases, Rule

_DOWN = ("top", "middle", "bottom")
_ACROSS = ("left", "middle", "right")
#: Parts that are named as a whole only: one cell of a pair is no pair.
WHOLE = ("piece", "pair")


class Names:
    """The names of one puzzle's houses, clues and cells."""

    def __init__(self, frame: Frame) -> None:
        self.frame = frame
        self.grid = frame.grid
        self.region = "box" if frame.grid.box is not None else "region"
        self._houses: dict[tuple[Source, int], Ref] = {}

    # Houses

    def house(self, source: Source, near: Iterable[int] = (), word: str = "the") -> Ref:
        """
        Give the name of a house, or of what a rule or clue makes a house of.

        Args:
            source: The house, rule or clue.
            near: Cells in it that are lit anyway: a box that holds them all is "the box".
            word: ``the`` or ``this`` for such a box.
        """
        cells = tuple(near)
        if source.kind != "house":
            return self._made_house(source, cells)
        kind, number = source.name.split()
        if kind != "region":
            return Ref(source.name, source.name, source=source)
        plain = f"{word} {self.region}" if cells and self._inside(source, cells) else self._box(int(number))
        return Ref(plain, f"{self.region} {number}", source=source)

    def _inside(self, source: Source, cells: Sequence[int]) -> bool:
        held = self.frame.houses[source.number][0].cells
        return all(cell in held for cell in cells)

    def _box(self, number: int) -> str:
        box = self.grid.box
        if box is None:
            return f"{self.region} {number}"
        down, across = self.grid.size // box[0], self.grid.size // box[1]
        row, column = divmod(number - 1, across)
        if max(down, across) > 3:
            return f"box {number}"
        vertical = (_DOWN if down == 3 else ("top", "bottom"))[row]
        horizontal = (_ACROSS if across == 3 else ("left", "right"))[column]
        if vertical == horizontal == "middle":
            return "the centre box"
        return f"the {vertical} {horizontal} box"

    def _made_house(self, source: Source, near: tuple[int, ...]) -> Ref:
        phrases = self.phrases(source)
        part = next((p for p in phrases.parts if near and set(near) <= set(p.cells)), None)
        if source.kind == "clue":
            which = "this" if self._alike(phrases.noun) > 1 else "the"
            ref = self.clue(source)
            return replace(ref, spoken=f"{which} {phrases.noun}", noun=phrases.noun, definite=True)
        named = part is not None and not part.noun.startswith("cell")
        name = f"the {part.noun if named and part is not None else phrases.noun}"
        return Ref(name, name, source=source)

    def _alike(self, noun: str) -> int:
        """Say how many clues go by a noun."""
        clues = range(len(self.frame.clues))
        return sum(self.phrases(self.frame.clue_source(index)).noun == noun for index in clues)

    def rule(self, source: Source) -> Rule:
        """Give the placed rule of a source that is a rule or a clue."""
        if source.kind == "clue":
            return self.frame.clues[source.number]
        return list(self.frame.wide.values())[source.number]

    @cached_property
    def pairwise(self) -> frozenset[Source]:
        """The grid-wide rules that speak of two cells at a time."""
        found = set()
        for index, name in enumerate(self.frame.wide):
            source = Source("rule", index, name)
            if all(len(held.cells) == 2 for held in self.frame.of(source)):
                found.add(source)
        return frozenset(found)

    def phrases(self, source: Source) -> Phrases:
        """Give the words of the rule of a source, made once."""
        if source not in self._phrases:
            self._phrases[source] = self.rule(source).phrases
        return self._phrases[source]

    @cached_property
    def _phrases(self) -> dict[Source, Phrases]:
        return {}

    def differs(self, source: Source) -> bool:
        """Say whether a source only says that digits differ."""
        return all(isinstance(held.primitive, AllDifferent) for held in self.frame.of(source))

    # Cells

    def written(self, cells: Sequence[int]) -> str:
        """Give cells by their names, a straight run by its ends."""
        names = self.grid.names(cells)
        if len(cells) > 3:
            places = [self.grid.place(cell) for cell in cells]
            rows, columns = {r for r, _ in places}, {c for _, c in places}
            steps = {b - a for a, b in pairwise(cells)}
            if (
                (len(rows) == 1 or len(columns) == 1)
                and len(steps) == 1
                and abs(next(iter(steps)))
                in (
                    1,
                    self.grid.size,
                )
            ):
                return f"{names[0]} to {names[-1]}"
        return grammar.listed(names)

    def cells(
        self, cells: Iterable[int], role: Role = "look", *, noun: str = "cell", which: str = "this"
    ) -> Ref:
        """
        Point at cells: "this cell", "these two cells".

        Args:
            cells: One or more.
            role: What they are in the thought.
            noun: What one of them is called.
            which: ``this`` or ``that``.
        """
        held = tuple(cells)
        if len(held) == 1:
            return Ref(f"{which} {noun}", self._noun(noun, held), held, role, noun=noun)
        many = {"this": "these", "that": "those"}[which]
        spoken = f"{many} {grammar.count(len(held))} {grammar.s(noun, len(held))}"
        return Ref(spoken, self._noun(noun, held), held, role, many=True, noun=noun)

    def _noun(self, noun: str, cells: tuple[int, ...]) -> str:
        plain = self.written(cells)
        return plain if noun == "cell" else f"the {grammar.s(noun, len(cells))} {plain}"

    def here(self, cell: int, role: Role = "result") -> Ref:
        """Point at one cell as a place: "here", written "in r3c4"."""
        return Ref(HERE, f"in {self.grid.name(cell)}", (cell,), role)

    def spot(self, cell: int, source: Source, role: Role = "look") -> Ref:
        """
        Give a cell's place within a house: "in column 5" of a row, "at its top left" of a box.

        Args:
            cell: The cell.
            source: The house.
            role: What it is in the thought.
        """
        row, column = self.grid.place(cell)
        written = f"in {self.grid.name(cell)}"
        if source.kind == "house" and source.name.startswith("row"):
            return Ref(f"in column {column + 1}", written, (cell,), role)
        if source.kind == "house" and source.name.startswith("column"):
            return Ref(f"in row {row + 1}", written, (cell,), role)
        box = self.grid.box
        if source.kind == "house" and box == (3, 3):
            down, across = _DOWN[row % 3], _ACROSS[column % 3]
            spot = "in its centre" if down == across == "middle" else f"at its {down} {across}"
            return Ref(spot, written, (cell,), role)
        return Ref(f"in row {row + 1}, column {column + 1}", written, (cell,), role)

    def called(self, cells: Iterable[int], spoken: str, role: Role = "look", *, many: bool = False) -> Ref:
        """Point at cells by a phrase of one's own; written, they go by their names."""
        held = tuple(cells)
        return Ref(spoken, self.written(held), held, role, many=many)

    # Clues

    def clue(self, source: Source, role: Role = "look") -> Ref:
        """Give a clue by its noun, all its cells lit."""
        clue = self.frame.clues[source.number]
        noun = self.phrases(source).noun
        place = self.grid.name(clue.scope[0])
        many = noun.rstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 ").endswith(("s",)) and not noun.startswith(
            "X"
        )
        return Ref(f"the {noun}", f"the {noun} at {place}", clue.scope, role, source, many=many)

    def parts(self, clue: ClueRule) -> tuple[Part, ...]:
        """Give a clue's named parts."""
        key = id(clue)
        if key not in self._parts:
            self._parts[key] = clue.phrases.parts
        return self._parts[key]

    @cached_property
    def _parts(self) -> dict[int, tuple[Part, ...]]:
        return {}

    def within(self, clue: ClueRule, cells: Iterable[int], role: Role = "look", which: str = "this") -> Ref:
        """
        Give cells of a clue as people speak of them: the circle, both circles, the line, these two cells.

        Args:
            clue: The clue.
            cells: Some of its cells.
            role: What they are in the thought.
            which: ``this`` or ``that``, where they are pointed at.
        """
        held = tuple(cells)
        wanted = set(held)
        for part in self.parts(clue):
            if set(part.cells) == wanted and len(part.cells) > 0:
                if len(held) == 1 and "cell" in part.singular:
                    continue
                if part.noun.startswith("cells") or (len(held) > 1 and part.noun in ("piece",)):
                    continue
                counted = len(held) > 1 and part.plural.endswith("s")
                spoken = f"the {part.noun}"
                many = counted
                written = f"the {part.noun} {self.written(held)}"
                return Ref(spoken, written, held, role, many=many, noun=part.noun, definite=True)
        for part in self.parts(clue):
            if wanted <= set(part.cells) and "cell" not in part.singular and part.singular not in WHOLE:
                return self.cells(held, role, noun=part.singular, which=which)
        return self.cells(held, role, which=which)
