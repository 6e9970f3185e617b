"""
Short stories: how one inference leads to the next, or what breaks where the conclusion is denied.

They are worked out from the certificate alone, and told only if they end within a few links.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

from saywhy.engine.constraints import Source
from saywhy.primitives import digits_of
from saywhy.reasoning.words import ends, grammar
from saywhy.reasoning.words.chains import Drawn, Follower, told
from saywhy.reasoning.words.clauses import clause, clauses
from saywhy.reasoning.words.plan import VAGUE, Phrase, Plan, Ref, join, say, spoken, words, written
from saywhy.reasoning.words.results import conclusion, enough, result_ref
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck, says
from saywhy.reasoning.words.supposing import strung

#: Most links of one story within an ordinary step, and of all its stories together.
LINKS, ALL_LINKS = 5, 7
#: Most suppositions that a step is told by.
GROUPS = 3
#: Words and clauses of one sentence of a story.
LENGTH, CLAUSES = 25, 3


@dataclass(frozen=True)
class Denial:
    """
    One supposition that fails.

    Attributes:
        cells: In one of these cells, whichever.
        digits: One of these digits, as a mask.
        links: What follows, the contradiction last.
    """

    cells: tuple[int, ...]
    digits: int
    links: tuple[Drawn, ...]


def plans(scene: Scene) -> Iterator[Plan]:
    """Tell a step forwards, and by what fails where it is denied."""
    follower = Follower(scene)
    if len(follower.moves) > 1:
        yield from _forwards(scene, follower)
    yield from _by_digit(scene, follower)
    yield from _by_cell(scene, follower)


def _look(scene: Scene) -> tuple[int, ...]:
    return tuple(sorted({c for source in scene.clue_sources for c in scene.clue(source).scope}))


def known(scene: Scene, cells: set[int]) -> list[Phrase]:
    """
    Say what a story starts from: the digits and the marks seen, if they are few.

    Many digits on the board are lit and not listed; then the marks alone are said.
    """
    struck = Struck(scene, sorted(cells))
    if struck.short:
        return struck.told()
    marks = struck.marks()
    return marks if 0 < len(marks) <= 2 and sum(words([mark]) for mark in marks) <= 17 else []


# Forwards


def _forwards(scene: Scene, follower: Follower) -> Iterator[Plan]:
    """Tell how one inference leads to the next, and these to the conclusion."""

    def shown(domains: Mapping[int, int]) -> bool:
        return enough(scene, {cell: domains.get(cell, scene.full) for cell in scene.results})

    chain = follower.chain(follower.start(), shown)
    links = told(chain) if chain else []
    if chain is None or not 2 <= len(links) <= LINKS:
        return
    results = set(scene.results)
    look = _look(scene)
    end = conclusion(scene, scene.results)
    last = links[-1]
    own = last.changed <= results and len(results) <= 3
    if any(_concludes(scene, d) for d in links[: -1 if own else None]):
        return
    body = clauses(scene, [d.link for d in (links[:-1] if own else links)])
    for lead, vague in _leads(scene, {c for d in chain for c in d.used}, body):
        sentences = packed([*lead, *body, say("so {}", end)], 3)
        if sentences:
            yield Plan(tuple(sentences), say("{}.", end), look, vague=vague)


def _concludes(scene: Scene, drawn: Drawn) -> bool:
    """Say whether a link at a clue gives some of the step's conclusion: it says what, and not why."""
    link = drawn.link
    by_clue = drawn.move is not None and (link.house is None or bool(link.must))
    return by_clue and bool(drawn.changed & set(scene.results))


def _pairs(struck: Struck) -> set[tuple[Source, int]]:
    """Give the digits seen, each with its house."""
    return {(source, digit) for source, digits in struck.seen.items() for digit in digits}


def _named(clauses_: Sequence[Phrase]) -> tuple[set[Source], set[str]]:
    """Give the houses and the digits that some clauses name."""
    refs = [piece for clause_ in clauses_ for piece in clause_ if isinstance(piece, Ref)]
    sources = {ref.source for ref in refs if ref.source is not None}
    texts = [p if isinstance(p, str) else "" if p.source else p.spoken for c in clauses_ for p in c]
    return sources, {number for text in texts for number in re.findall(r"\d+", text)}


def _leads(scene: Scene, cells: set[int], body: Sequence[Phrase]) -> Iterator[tuple[list[Phrase], float]]:
    """
    Give what a story starts from, less what its own clauses say.

    Yields:
        The lead, and how vague the story is with it: without a lead what it starts from is merely lit.
    """
    found = known(scene, cells)
    before = _pairs(Struck(scene, sorted(cells))) if found else set()
    for cell, digits in _seen(scene).items():
        struck = Struck(scene, [cell], digits)
        if not _pairs(struck) <= before:
            found += struck.clauses([cell])
    said, numbers = _named(body)
    left = []
    for clause_ in found:
        sources, named = _named([clause_])
        if not sources or not (sources <= said and named <= numbers):
            left.append(clause_)
    if left:
        yield [join(left)], 0
    yield [], words(left) / VAGUE + 0.2 if left else 0


# Denied, digit by digit


def _by_digit(scene: Scene, follower: Follower) -> Iterator[Plan]:
    """One story for each digit ruled out, where there are one to three: "with a 4 in either of these"."""
    step = scene.step
    if step.places or not step.removes:
        return
    digits: dict[int, list[int]] = {}
    for cell, removed in step.removes.items():
        for digit in digits_of(removed & scene.domain(cell)):
            digits.setdefault(digit, []).append(cell)
    if not 1 <= len(digits) <= GROUPS:
        return
    denials = []
    for digit, cells in digits.items():
        found = _denied(follower, tuple(cells), 1 << (digit - 1))
        if found is None:
            return
        denials.append(found)
    yield from _told(scene, denials)


def _denied(
    follower: Follower, cells: tuple[int, ...], digits: int, start: Sequence[int] | None = None
) -> Denial | None:
    chain = follower.follow(cells, digits, start)
    if chain is None or len(told(chain)) > LINKS:
        return None
    return Denial(cells, digits, tuple(chain))


# Denied, cell by cell


def _by_cell(scene: Scene, follower: Follower) -> Iterator[Plan]:
    """The digits ruled out of a cell at once, or in two or three groups: "with this cell below 5"."""
    start = follower.start()
    denials: list[Denial] = []
    left = dict(scene.results)
    together: dict[int, list[int]] = {}
    for cell, mask in left.items():
        gone = start[cell] & ~mask
        if gone and not gone & (gone - 1):
            together.setdefault(gone, []).append(cell)
    for gone, cells in together.items():
        found = _denied(follower, tuple(cells), gone, start) if len(cells) > 1 else None
        if found is not None:
            denials.append(found)
            for cell in cells:
                start[cell] &= ~gone
    order = [
        cell for cell in sorted(left, key=lambda c: (left[c].bit_count(), c)) if start[cell] & ~left[cell]
    ]
    if len(order) + len(denials) > GROUPS:
        return
    for cell in order:
        more = _groups(follower, cell, start[cell] & ~left[cell], left[cell], start)
        if more is None:
            return
        denials += more
        start[cell] &= left[cell]
    if 0 < len(denials) <= GROUPS:
        yield from _told(scene, denials)


def _groups(follower: Follower, cell: int, gone: int, left: int, start: Sequence[int]) -> list[Denial] | None:
    """Suppose all of the digits at once; failing that, as few groups of them as there can be."""
    whole = _denied(follower, (cell,), gone, start)
    if whole is not None and not _empty(follower.scene, whole):
        return [whole]
    low = gone & ((left & -left) - 1)
    high = gone & ~((1 << left.bit_length()) - 1)
    found: list[Denial] = []
    for part in (low, high):
        denied = _denied(follower, (cell,), part, start) if part else None
        if denied is not None:
            found.append(denied)
            gone &= ~part
    if not gone:
        return found
    for digit in digits_of(gone):
        bit = 1 << (digit - 1)
        for place, before in enumerate(found):
            if before.digits & (low | high) and before.digits.bit_count() > 1:
                continue
            both = _denied(follower, (cell,), before.digits | bit, start)
            if both is not None and len(told(both.links)) <= len(told(before.links)):
                found[place] = both
                break
        else:
            alone = _denied(follower, (cell,), bit, start)
            if alone is None or len(found) == GROUPS:
                return None
            found.append(alone)
    return found


def _empty(scene: Scene, denial: Denial) -> bool:
    return ends.is_empty(clause(scene, denial.links[-1].link))


# Telling


def _told(scene: Scene, denials: Sequence[Denial]) -> Iterator[Plan]:
    if sum(len(told(denial.links)) for denial in denials) > ALL_LINKS:
        return
    if all(len(told(denial.links)) == 1 and _empty(scene, denial) for denial in denials):
        return
    if len(denials) == 1:
        yield from _told_one(scene, denials[0])
    else:
        yield from _told_many(scene, denials)


def _told_one(scene: Scene, denial: Denial) -> Iterator[Plan]:
    body = clauses(scene, [d.link for d in told(denial.links)])
    look = _look(scene)
    put, end = _supposed(scene, denial), _end(scene, denial)
    brief = _brief(scene, denial)
    first, *rest = body
    for lead, vague in _leads(scene, _used([denial]), body):
        told_: list[list[Phrase]] = [packed([*lead, say("{}, {}", put, first), *rest, end], 3, {len(lead)})]
        if not rest:
            told_.append([*lead, say("{}, {}: {}", put, first, end)])
            if lead:
                told_.append([say("{}, and {}, {}: {}", lead[0], put, first, end)])
        elif not denial.digits & (denial.digits - 1) and not _seen(scene):
            digit = denial.digits.bit_length()
            tried = [*lead, say("try {} {}", grammar.a(str(digit)), _where(scene, denial.cells))]
            after = packed([say("then {}", first), *rest, say("so not {}", digit)], 3 - len(tried))
            told_.append([*tried, *after] if after else [])
        for sentences in told_:
            if sentences:
                yield Plan(tuple(sentences), brief, look, vague=vague)


def _told_many(scene: Scene, denials: Sequence[Denial]) -> Iterator[Plan]:
    look = _look(scene)
    before: set[tuple[int, ...]] = set()
    stories: list[Phrase] = []
    starts = []
    shapes: list[tuple[object, ...]] = []
    for denial in denials:
        put = _supposed(scene, denial, again=denial.cells in before, many=True)
        body = clauses(scene, [d.link for d in told(denial.links)])
        starts.append(len(stories))
        shape = (denial.digits, len(denial.cells), *map(_shape, body))
        if shapes and shape == shapes[-1] and denial.cells not in before and len(denial.cells) == 1:
            lit = Ref("", "", tuple(sorted({c for d in denial.links for c in d.used})), "look")
            stories.append(say("{}{} works just the same", result_ref(scene, denial.cells), lit))
        else:
            stories += [say("{}, {}", put, body[0]), *body[1:]]
        before.add(denial.cells)
        shapes.append(shape)
    end = conclusion(scene, scene.results)
    brief = say("{}.", end)
    for lead, vague in _leads(scene, _used(denials), stories):
        for tail in ([say("so {}", end)], []):
            sentences = packed([*lead, *stories, *tail], 3, {place + len(lead) for place in starts})
            if sentences:
                yield Plan(tuple(sentences), brief, look, vague=vague)
                break


def _shape(phrase: Phrase) -> str:
    """Give a clause without what it points at, to see whether two are alike."""
    return "".join(
        piece
        if isinstance(piece, str)
        else ("\N{WHITE SQUARE}" if piece.cells or piece.source else piece.spoken)
        for piece in phrase
    )


def _used(denials: Sequence[Denial]) -> set[int]:
    """Give the cells whose knowledge some stories start from."""
    used = {cell for denial in denials for d in denial.links for cell in d.used}
    return used - {cell for denial in denials for cell in denial.cells}


def _seen(scene: Scene) -> dict[int, int]:
    """Give the digits ruled out that a digit on the board or a mark rules out already, by cell."""
    return {
        cell: removed & ~scene.domain(cell)
        for cell, removed in scene.step.removes.items()
        if removed & ~scene.domain(cell)
    }


def _supposed(  # noqa: PLR0911 - a list of cases
    scene: Scene, denial: Denial, *, again: bool = False, many: bool = False
) -> Phrase:
    """Say what is supposed: "with a 4 here", "with this cell below 5", "unless this cell is 4 or 7"."""
    digits = digits_of(denial.digits)
    if len(digits) == 1:
        text = grammar.a(str(digits[0]))
        if again:
            return say("with {}", text)
        where = _where(scene, denial.cells)
        if many and len(denial.cells) == 1:
            where = say("in {}", result_ref(scene, denial.cells))
        return say("with {} {}", text, where)
    (cell,) = denial.cells
    ref = result_ref(scene, (cell,))
    left = scene.results[cell]
    domain = scene.domain(cell)
    named = say("{}", "it" if again else ref)
    if scene.step.places and not again:
        return say("unless {} is {}", named, left.bit_length())
    if digits[-1] < (left & -left).bit_length() and not domain & ((left & -left) - 1) & ~denial.digits:
        return say("with {} below {}", named, (left & -left).bit_length())
    if (
        digits[0] > left.bit_length()
        and not domain >> left.bit_length() << left.bit_length() & ~denial.digits
    ):
        return say("with {} above {}", named, left.bit_length())
    kept = digits_of(left)
    if not again and not domain & ~left & ~denial.digits and len(kept) < len(digits) and len(kept) <= 4:
        return say("unless {} is {}", named, grammar.digits(kept))
    if again:
        return say("with {}", grammar.digits(digits))
    return say("with {} in {}", grammar.digits(digits), named)


def _end(scene: Scene, denial: Denial) -> Phrase:  # noqa: PLR0911 - a list of cases
    """Say what is learnt."""
    digits = digits_of(denial.digits)
    if scene.step.places:
        return say("so it is {}", next(iter(scene.step.places.values())))
    if _seen(scene):
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


def _brief(scene: Scene, denial: Denial) -> Phrase:
    digits = digits_of(denial.digits)
    if _seen(scene):
        return say("{}.", conclusion(scene, scene.results))
    if len(digits) == 1 and not scene.step.places:
        return say("{} can't be {}.", result_ref(scene, denial.cells), digits[0])
    (cell,) = denial.cells
    return say("{} {}.", result_ref(scene, denial.cells), says(scene.results[cell], scene.full))


def _where(scene: Scene, cells: tuple[int, ...]) -> Phrase:
    if len(cells) == 1:
        ref = result_ref(scene, cells)
        if ref.noun:
            return (scene.names.here(cells[0]),)
        return say("in {}", ref)
    ref = scene.names.called(
        cells, "any of these" if len(cells) > 2 else "either of these", "result", many=True
    )
    text = f"in {'any' if len(cells) > 2 else 'either'} of {ref.written}"
    return (Ref(f"in {ref.spoken}", text, cells, "result"),)


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
        if spoken(parts[place]).startswith(("with ", "unless ")):
            return say("{}, and {}", _strung(parts[:place]), _strung(parts[place:]))
    return strung(parts)
