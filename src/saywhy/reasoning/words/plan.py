"""
A plan: what will be said, before a voice says it.

Sentences are literal text and references. A *reference* points at cells, or names a house; the spoken
voice renders it as "this cell", the written one as "r3c4". What is referred to is lit.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from typing import Literal

from saywhy.engine.constraints import Source
from saywhy.grid import Grid
from saywhy.reasoning.step import Lit, Told
from saywhy.reasoning.words import grammar

Role = Literal["look", "because", "result"]

#: What the spoken voice calls the place that a thought is about; any other cell is then "that cell".
HERE = "here"

#: Which role a group keeps when it is pointed at in two.
_RANK = {"look": 0, "because": 1, "result": 2}


@dataclass(slots=True)
class Ref:
    """
    A reference.

    Attributes:
        spoken: How the spoken voice says it.
        written: How the written voice says it.
        cells: The cells that it lights; empty where it only names.
        role: What these cells are in the thought.
        source: The house or rule that it names, if it does.
        many: Whether a verb after it stands in the plural.
        noun: Set where the spoken voice merely points ("this circle"): which of "this", "that" and "the
            one in row 4" it says is settled once the whole plan is known.
        definite: Whether "the circle" is said where no other circle is spoken of.
    """

    spoken: str
    written: str
    cells: tuple[int, ...] = ()
    role: Role = "look"
    source: Source | None = None
    many: bool = False
    noun: str = ""
    definite: bool = False

    def verb(self, one: str, many: str) -> str:
        """Give the form of a verb that fits."""
        return many if self.many else one


#: A phrase: literal text and references in order.
Phrase = tuple[str | Ref, ...]


@lru_cache(maxsize=1024)
def _texts(template: str) -> list[str]:
    return template.split("{}")


def say(template: str, *pieces: object) -> Phrase:
    """
    Fill the ``{}`` of a template with references, phrases and numbers.

    Args:
        template: Text with one ``{}`` for each piece.
        pieces: References, phrases, strings or integers.
    """
    texts = _texts(template)
    if len(texts) != len(pieces) + 1:
        raise ValueError(f"{template!r} takes {len(texts) - 1} pieces and {len(pieces)} came")
    found: list[str | Ref] = [texts[0]]
    for piece, text in zip(pieces, texts[1:], strict=True):
        if isinstance(piece, tuple):
            found.extend(piece)
        elif isinstance(piece, Ref):
            found.append(piece)
        else:
            found.append(str(piece))
        found.append(text)
    return tuple(filter(None, found))


def join(phrases: Iterable[Phrase | Ref | str], word: str = "and", comma: str = ", ") -> Phrase:
    """List phrases: ``a, b and c``."""
    parts = [(p,) if isinstance(p, str | Ref) else p for p in phrases]
    found: list[str | Ref] = []
    for place, part in enumerate(parts):
        if place:
            found.append(f" {word} " if place == len(parts) - 1 else comma)
        found.extend(part)
    return tuple(found)


def spoken(phrase: Phrase) -> str:
    """Give a phrase in the spoken voice."""
    return "".join([piece if isinstance(piece, str) else piece.spoken for piece in phrase])


def written(phrase: Phrase) -> str:
    """Give a phrase in the written voice."""
    return "".join([piece if isinstance(piece, str) else piece.written for piece in phrase])


def it(ref: Ref) -> Ref:
    """Give what is spoken of a second time running."""
    pronoun = "they" if ref.many else "it"
    return replace(ref, spoken=pronoun, written=pronoun, noun="", definite=False)


def words(phrases: Iterable[Phrase]) -> int:
    """Count the words of phrases as spoken."""
    return sum(grammar.word_count(spoken(phrase)) for phrase in phrases)


#: A plan of so many words is good enough: costlier kinds of thought, or other ways to deny, are not tried.
SHORT = 24.0
#: Words that a vague end ("has no way left") costs: a reason that names what fails is worth them.
VAGUE = 25.0
EMPTY = (
    "no way",
    "and can't",
    "can't be filled",
    "narrowed down",
    "no cells between",
    "can't make",
    "some digit twice",
)
_EMPTY = re.compile("|".join(EMPTY))


@dataclass(frozen=True)
class Plan:
    """
    What will be said of a step.

    Attributes:
        sentences: One to three, or more for a story.
        brief: The conclusion and its thought, one short sentence.
        look: Cells lit from the start whether or not the text points at them.
        vague: How many of its ends do not say what fails.
        kind: The kind of thought, for those who count them; ``plain`` where none was found.
    """

    sentences: tuple[Phrase, ...]
    brief: Phrase
    look: tuple[int, ...] = ()
    kind: str = ""
    vague: float = 0

    @cached_property
    def cost(self) -> float:
        """What it costs a listener: words, and long sentences more than short ones."""
        said = [spoken(sentence) for sentence in self.sentences]
        lengths = [grammar.word_count(text) for text in said]
        empty = sum(len(_EMPTY.findall(text)) for text in said)
        vague = self.vague + empty + max(0, empty - 1) / 2  # said again it tires as well
        return sum(lengths) + sum(2.0 * max(0, length - 22) for length in lengths) + VAGUE * vague

    def apart(self, grid: Grid) -> tuple[Phrase, ...]:
        """Give the sentences with the cells in them told apart."""
        if not self._apart:
            self._apart.append(told_apart(self.sentences, grid))
        return self._apart[0]

    @cached_property
    def _apart(self) -> list[tuple[Phrase, ...]]:
        return []

    def told(self, grid: Grid, because: Iterable[int] = (), result: Iterable[int] = ()) -> Told:
        """
        Say it in both voices.

        Args:
            grid: The grid, to tell apart cells that are merely pointed at.
            because: Cells that must be lit as premises.
            result: Cells that must be lit as the conclusion.
        """
        sentences = self.apart(grid)
        (brief,) = told_apart((self.brief,), grid)
        return Told(
            " ".join(grammar.sentence(spoken(sentence)) for sentence in sentences),
            " ".join(grammar.sentence(written(sentence)) for sentence in sentences),
            grammar.sentence(spoken(brief)),
            self._lit(tuple(because), tuple(result)),
        )

    def _lit(self, because: tuple[int, ...], result: tuple[int, ...]) -> tuple[Lit, ...]:
        groups: dict[tuple[int, ...], Role] = {}

        def light(cells: Iterable[int], role: Role) -> None:
            key = tuple(sorted(set(cells)))
            if key and _RANK[groups.get(key, "look")] <= _RANK[role]:
                groups[key] = role

        light(self.look, "look")
        for sentence in (*self.sentences, self.brief):
            for piece in sentence:
                if isinstance(piece, Ref):
                    light(piece.cells, piece.role)
        shown = {cell for cells in groups for cell in cells}
        light([cell for cell in because if cell not in shown], "because")
        meant = {cell for cells, role in groups.items() if role == "result" for cell in cells}
        light([cell for cell in result if cell not in meant], "result")
        return tuple(Lit(_letter(place), cells, role) for place, (cells, role) in enumerate(groups.items()))


def _letter(place: int) -> str:
    """Give a, b, ... z, aa, ab ..."""
    return (chr(ord("a") + place // 26 - 1) if place >= 26 else "") + chr(ord("a") + place % 26)


def told_apart(sentences: Sequence[Phrase], grid: Grid) -> tuple[Phrase, ...]:
    """
    Settle what the spoken voice calls cells that it merely points at.

    One cell is "this cell". Of two, the one pointed at first is "this cell" and the other "that cell". More
    are told apart by row or column.
    """
    sentences = _one_noun(sentences)
    pointed: dict[tuple[str, int], list[Ref]] = {}
    here = next((p for s in sentences for p in s if isinstance(p, Ref) and p.spoken == HERE), None)
    if here is not None:
        pointed["cell", 1] = [replace(here, noun="cell")]
    for sentence in sentences:
        for piece in sentence:
            if isinstance(piece, Ref) and piece.noun:
                same = pointed.setdefault((piece.noun, len(piece.cells) if not piece.definite else 0), [])
                if all(set(ref.cells) != set(piece.cells) for ref in same):
                    same.append(piece)
    for (noun, size), refs in list(pointed.items()):
        # A definite circle and a circle pointed at are told apart together.
        if size and (noun, 0) in pointed:
            pointed[noun, 0] += [
                ref for ref in refs if all(set(ref.cells) != set(other.cells) for other in pointed[noun, 0])
            ]
            del pointed[noun, size]
    names: dict[tuple[str, frozenset[int]], str] = {}
    for (noun, _), refs in pointed.items():
        names.update(_names(noun, refs, grid))
    return _once(
        tuple(
            tuple(
                replace(
                    piece,
                    spoken=_after(sentence[place - 1 : place], names[piece.noun, frozenset(piece.cells)]),
                )
                if isinstance(piece, Ref) and piece.noun
                else piece
                for place, piece in enumerate(sentence)
            )
            for sentence in sentences
        )
    )


def _once(sentences: tuple[Phrase, ...]) -> tuple[Phrase, ...]:
    """Write the cells of "the line" once, where no other line is spoken of."""
    refs = [piece for sentence in sentences for piece in sentence if isinstance(piece, Ref) and piece.noun]
    if sum(ref.definite and len(ref.cells) > 1 for ref in refs) < 2:
        return sentences
    lines: dict[str, set[tuple[int, ...]]] = {}
    for ref in refs:
        lines.setdefault(ref.noun, set()).add(ref.cells)
    told: set[str] = set()

    def again(piece: str | Ref) -> str | Ref:
        if not isinstance(piece, Ref) or len(piece.cells) < 2 or len(lines.get(piece.noun, ())) != 1:
            return piece
        if not piece.definite or piece.noun not in told:
            told.update([piece.noun] if piece.definite else [])
            return piece
        return replace(piece, written=f"the {piece.noun}")

    return tuple(tuple(map(again, sentence)) for sentence in sentences)


def _after(before: Phrase, name: str) -> str:
    """Say "in the cell in row 4" and not "in the one in row 4"."""
    if (
        name.startswith("the one ")
        and before
        and isinstance(before[0], str)
        and f" {before[0]}".endswith(" in ")
    ):
        return name.replace("the one ", "the cell ", 1)
    return name


def _one_noun(sentences: Sequence[Phrase]) -> tuple[Phrase, ...]:
    """Call a cell by one noun: a circle is not "this cell" in one sentence and "the circle" in the next."""
    refs = [piece for sentence in sentences for piece in sentence if isinstance(piece, Ref) and piece.noun]
    parts = {ref.cells[0]: ref for ref in refs if len(ref.cells) == 1 and ref.noun != "cell"}

    def called(piece: str | Ref) -> str | Ref:
        if not isinstance(piece, Ref) or piece.noun != "cell" or len(piece.cells) != 1:
            return piece
        part = parts.get(piece.cells[0])
        return piece if part is None else replace(piece, noun=part.noun, definite=part.definite)

    return tuple(tuple(map(called, sentence)) for sentence in sentences) if parts else tuple(sentences)


def _names(noun: str, refs: list[Ref], grid: Grid) -> dict[tuple[str, frozenset[int]], str]:
    first = refs[0]
    if len(refs) == 1 and first.definite:
        named = first.spoken if first.spoken.endswith(noun) else f"the {noun}"
        return {(noun, frozenset(first.cells)): named}
    found = {(noun, frozenset(first.cells)): _pointed("this", noun, first)}
    others = refs[1:]
    if len(others) == 1:
        found.update({(noun, frozenset(ref.cells)): _pointed("that", noun, ref) for ref in others})
        return found
    if any(len(ref.cells) > 1 for ref in refs):
        found.update({(noun, frozenset(ref.cells)): _group(noun, ref, refs, grid) for ref in others})
        return found
    for ref in others:
        row, column = grid.place(ref.cells[0])
        places = [grid.place(other.cells[0]) for other in refs if other.cells != ref.cells]
        called = "one" if noun == "cell" else noun
        if all(row != other for other, _ in places):
            name = f"the {called} in row {row + 1}"
        elif all(column != other for _, other in places):
            name = f"the {called} in column {column + 1}"
        elif noun == "cell":
            name = f"row {row + 1}, column {column + 1}"
        else:
            name = f"the {noun} in row {row + 1}, column {column + 1}"
        found[noun, frozenset(ref.cells)] = name
    return found


def _group(noun: str, ref: Ref, refs: Sequence[Ref], grid: Grid) -> str:
    """Tell one of several groups of cells apart, by the row or column that it alone lies in."""
    places = [[grid.place(cell) for cell in other.cells] for other in refs]
    own = [grid.place(cell) for cell in ref.cells]
    count = "" if ref.definite and not ref.many else f"{grammar.count(len(own))} "
    called = noun if not count else "" if noun == "cell" else grammar.s(noun, len(own))
    name = " ".join(f"the {count}{called}".split())
    for kind, which in (("row", 0), ("column", 1)):
        lines = [{place[which] for place in group} for group in places]
        line = {place[which] for place in own}
        if len(line) == 1 and lines.count(line) == 1:
            return f"{name} in {kind} {line.pop() + 1}"
    row, column = own[0]
    return f"{name} with row {row + 1}, column {column + 1}"


_MANY = {"this": "these", "that": "those"}


def _pointed(which: str, noun: str, ref: Ref) -> str:
    if len(ref.cells) == 1 or (ref.definite and not ref.many):
        return f"{which} {noun}"
    if ref.definite:
        return f"{_MANY[which]} {noun}"
    return f"{_MANY[which]} {grammar.count(len(ref.cells))} {grammar.s(noun, len(ref.cells))}"
