"""
Short stories: how one inference leads to the next, or what breaks where the conclusion is denied.

They are worked out from the certificate alone, and told only if they end within a few links.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise

from saywhy.engine.constraints import Source
from saywhy.primitives import Pair, digits_of
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.chains import Follower, told
from saywhy.reasoning.words.clauses import clauses
from saywhy.reasoning.words.denials import GROUPS, LINKS, Denial, by_cell, by_digit, is_empty
from saywhy.reasoning.words.failing import LEFT
from saywhy.reasoning.words.moves import Drawn
from saywhy.reasoning.words.pairs import kind
from saywhy.reasoning.words.plan import VAGUE, Phrase, Plan, Ref, join, say, spoken, words, written
from saywhy.reasoning.words.results import conclusion, enough, result_ref
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck, says
from saywhy.reasoning.words.supposing import strung

#: Most links of all the stories of a step together.
ALL_LINKS = 7
#: A story of so many words is good enough: no other way to deny the same is tried.
SHORT = 24.0
#: How vague a story is that asks what could be, or that says "the same way" of another digit.
DIM = 0.4
_NEVER = re.compile(r"\bnever makes? $")
#: Words and clauses of one sentence of a story.
LENGTH, CLAUSES = 25, 3


def plans(scene: Scene) -> Iterator[Plan]:
    """Tell a step forwards, and by what fails where it is denied."""
    follower = Follower(scene)
    if len(follower.drawer.moves) > 1:
        yield from _forwards(scene, follower)
    found = by_digit(scene, follower)
    first = list(_told(scene, found))
    yield from first
    short = any(plan.cost <= SHORT for plan in first)
    if not short and (len(found) != 1 or is_empty(scene, found[0])):
        yield from _told(scene, by_cell(scene, follower))


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
    last = links[-1]
    own = last.changed <= results and len(results) <= 3
    if any(concludes(scene, d) for d in links[: -1 if own else None]):
        return
    before = links[:-1] if own else links
    body = clauses(scene, [d.link for d in before])
    said = {cell for d in before for cell, mask in d.link.left.items() if mask == scene.results.get(cell)}
    end = conclusion(scene, scene.results, said=said if said < results else ())
    brief = say("{}.", conclusion(scene, scene.results))
    for lead, vague in _leads(scene, {c for d in chain for c in d.used}, body):
        sentences = packed([*lead, *body, say("so {}", end)], 3)
        if sentences:
            yield Plan(tuple(sentences), brief, look, vague=vague)


def concludes(scene: Scene, drawn: Drawn) -> bool:
    """Say whether a link at a clue gives some of the step's conclusion: it says what, and not why."""
    link, move = drawn.link, drawn.move
    if move is None or (isinstance(move.primitive, Pair) and kind(move.primitive.table) == "other"):
        return False  # Of two cells one is the reason for the other.
    return (link.house is None or bool(link.must)) and bool(drawn.changed & set(scene.results))


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
    struck = Struck(scene, sorted(cells))
    listed = {spoken(clause_) for clause_ in found}
    before = _pairs(struck) if all(spoken(c) in listed for c in struck.clauses()) else set()
    for cell, digits in _seen(scene).items():
        own = Struck(scene, [cell], digits)
        if not _pairs(own) <= before:
            before |= _pairs(own)
            found += own.clauses([cell])
    said, numbers = _named(body)
    left = []
    for clause_ in found:
        sources, named = _named([clause_])
        if not sources or not (sources <= said and named <= numbers):
            left.append(clause_)
    if left:
        yield [join(left)], 0
    yield [], words(left) / VAGUE + 0.2 if left else 0


# Telling


def _told(scene: Scene, denials: Sequence[Denial]) -> Iterator[Plan]:
    """Tell denials, alike ones together."""
    if not denials:
        return
    if all(len(told(denial.links)) == 1 and is_empty(scene, denial) for denial in denials):
        return
    if len(denials) == 1:
        yield from _told_one(scene, denials[0])
    else:
        yield from _told_many(scene, denials)


def _told_one(scene: Scene, denial: Denial) -> Iterator[Plan]:
    body = clauses(scene, [d.link for d in told(denial.links)])
    look = _look(scene)
    put, end = _supposed(scene, denial, many=False), _end(scene, denial)
    brief = _brief(scene, denial)
    first, *rest = body
    then = _then(put, first)
    asked = _asked(scene, denial) if grammar.number_count(spoken(put)) > 1 else ()
    for lead, vague in _leads(scene, _used([denial]), body):
        told_: list[list[Phrase]] = [packed([*lead, say("{}, {}", put, then), *rest, end], 3, {len(lead)})]
        if asked and not told_[0] and len(lead) < 2:
            after = packed(
                [say("then {}", _then(asked, first)), *rest, _answer(scene, denial)], 2 - len(lead)
            )
            if after:
                yield Plan((*lead, asked, *after), brief, look, vague=vague + DIM)
        if not rest and not told_[0]:
            told_.append([*lead, say("{}, {}, {}", put, then, end)])
            if lead:
                told_.append([say("{}, and {}, {}, {}", lead[0], put, then, end)])
        elif rest and not denial.digits & (denial.digits - 1) and not _seen(scene):
            digit = denial.digits.bit_length()
            tried = [*lead, say("try {} {}", grammar.a(str(digit)), _where(scene, denial.cells))]
            after = packed([say("then {}", first), *rest, say("so not {}", digit)], 3 - len(tried))
            told_.append([*tried, *after] if after else [])
        for sentences in told_:
            if sentences:
                yield Plan(tuple(sentences), brief, look, vague=vague)


def _then(put: Phrase, clause_: Phrase) -> Phrase:
    """Give the clause that follows a supposition; the cell just named is "it", and its digits are "that"."""
    last = clause_[-1]
    if isinstance(last, str) and last[:1].isdigit() and len(last) > 1 and last in spoken(put):
        clause_ = (*clause_[:-1], "that") if _NEVER.search(spoken(clause_[:-1])) else clause_
    named = [piece for piece in put if isinstance(piece, Ref) and piece.cells]
    place = next((i for i, piece in enumerate(clause_) if piece != ""), None)
    if len(named) != 1 or place is None:
        return clause_
    first = clause_[place]
    if not isinstance(first, Ref) or len(first.cells) != 1 or first.cells != named[0].cells or named[0].many:
        return clause_
    it = replace(first, spoken="it", written="it", noun="", definite=False)
    return (*clause_[:place], it, *clause_[place + 1 :])


@dataclass
class _Group:
    """Stories that are alike: told once, and the other cells or digits after it."""

    denial: Denial
    body: list[Phrase]
    shape: tuple[object, ...]
    same: list[Denial]
    alike: list[Denial]
    digits: int = 0


def _grouped(scene: Scene, denials: Sequence[Denial]) -> list[_Group]:
    """Take stories together that are word for word the same, and those that differ only in their cells."""
    found: list[_Group] = []
    bodies = [clauses(scene, [d.link for d in told(denial.links)]) for denial in denials]
    for denial, body in _by_body(denials, bodies):
        shape = (denial.digits, *map(_shape, body))
        single = len(denial.cells) == 1
        like = next((g for g in found if g.shape == shape and single and len(g.denial.cells) == 1), None)
        if like is None or denial.cells in [other.cells for other in (like.denial, *like.same, *like.alike)]:
            found.append(_Group(denial, body, shape, [], []))
        elif (
            _cells_of(body) == _cells_of(like.body) and not like.alike and _alike(scene, denial, like.denial)
        ):
            like.same.append(denial)
        else:
            like.alike.append(denial)
    return found


def _by_body(denials: Sequence[Denial], bodies: Sequence[list[Phrase]]) -> list[tuple[Denial, list[Phrase]]]:
    """Take digits together that fail in the same cells by the very same words."""
    found: dict[tuple[tuple[int, ...], str], tuple[Denial, list[Phrase]]] = {}
    for denial, body in zip(denials, bodies, strict=True):
        key = (denial.cells, " / ".join(map(written, body)))
        before = found.get(key)
        if before is not None:
            denial = replace(before[0], digits=before[0].digits | denial.digits)  # noqa: PLW2901
        found[key] = (denial, body)
    return list(found.values())


def _fewer(groups: Sequence[_Group]) -> list[_Group]:
    """Take stories of one cell together that go the same way by other digits: "and 7 fails the same way"."""
    found: list[_Group] = []
    for group in groups:
        denial = group.denial
        way = [(d.link.source, d.link.house, d.link.breaks, bool(d.link.must)) for d in told(denial.links)]
        for other in found:
            if other.denial.cells != denial.cells or group.same or group.alike or other.same or other.alike:
                continue
            if way == [
                (d.link.source, d.link.house, d.link.breaks, bool(d.link.must))
                for d in told(other.denial.links)
            ]:
                other.digits |= denial.digits
                break
        else:
            found.append(replace(group))
    return found if len(found) < len(groups) else []


def _left_over(group: _Group) -> bool:
    return len(group.body) == 1 and spoken(group.body[0]).startswith(LEFT)


def _alike(scene: Scene, a: Denial, b: Denial) -> bool:
    """Say whether a supposition can be told of both cells at once."""
    digits = digits_of(a.digits)
    if len(digits) == 1 and not scene.step.places:
        return True
    left = [scene.results[denial.cells[0]] for denial in (a, b)]
    ranges = [_range(scene, denial, mask) for denial, mask in zip((a, b), left, strict=True)]
    return ranges[0] == ranges[1] and bool(ranges[0])


def _cells_of(body: Sequence[Phrase]) -> list[frozenset[int]]:
    return [frozenset(p.cells) for phrase in body for p in phrase if isinstance(p, Ref) and p.cells]


def _told_many(scene: Scene, denials: Sequence[Denial]) -> Iterator[Plan]:
    groups = _grouped(scene, denials)
    # What is then simply left over is concluded without a story of its own.
    groups = [group for place, group in enumerate(groups) if not place or not _left_over(group)]
    found = list(_told_groups(scene, denials, groups))
    yield from found
    if not found and (fewer := _fewer(groups)):
        yield from _told_groups(scene, denials, fewer, DIM)


def _told_groups(
    scene: Scene, denials: Sequence[Denial], groups: Sequence[_Group], dim: float = 0
) -> Iterator[Plan]:
    if len(groups) > GROUPS or sum(len(group.body) for group in groups) > ALL_LINKS:
        return
    look = _look(scene)
    before: set[tuple[int, ...]] = set()
    stories: list[Phrase] = []
    starts = []
    for group in groups:
        starts.append(len(stories))
        same = [denial.cells[0] for denial in group.same]
        put = _supposed(scene, group.denial, same, again=group.denial.cells in before)
        stories += [say("{}, {}", put, _then(put, group.body[0])), *group.body[1:]]
        before = set() if same else {group.denial.cells}
        if group.alike:
            cells = tuple(sorted(d.cells[0] for d in group.alike))
            used = {c for denial in group.alike for d in denial.links for c in d.used}
            ref, lit = result_ref(scene, cells), Ref("", "", tuple(sorted(used)), "look")
            stories.append(say("{}{} {} just the same", ref, lit, ref.verb("works", "work")))
        if group.digits:
            more = digits_of(group.digits)
            fail = "fails" if len(more) == 1 else "fail"
            stories.append(say("{} {} the same way", grammar.with_a(more), fail))
    end = conclusion(scene, scene.results)
    brief = say("{}.", end)
    for lead, vague in _leads(scene, _used(denials), stories):
        for tail in ([say("so {}", end)], []):
            sentences = packed([*lead, *stories, *tail], 3, {place + len(lead) for place in starts})
            if sentences:
                yield Plan(tuple(sentences), brief, look, vague=vague + dim)
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
    found: set[int] = set()
    for denial in denials:
        found |= {cell for d in denial.links for cell in d.used} - set(denial.cells)
    return found


def _seen(scene: Scene) -> dict[int, int]:
    """Give the digits ruled out that a digit on the board or a mark rules out already, by cell."""
    return {
        cell: removed & ~scene.domain(cell)
        for cell, removed in scene.step.removes.items()
        if removed & ~scene.domain(cell)
    }


def _supposed(
    scene: Scene, denial: Denial, more: Sequence[int] = (), *, again: bool = False, many: bool = True
) -> Phrase:
    """
    Say what is supposed: "with a 4 here", "with this cell below 5", "unless this cell is 4 or 7".

    Args:
        scene: The scene.
        denial: The supposition.
        more: Further cells of which the same is supposed, one at a time.
        again: Whether something was supposed of its cell before.
        many: Whether other suppositions are told too.
    """
    digits = digits_of(denial.digits)
    cells = (*denial.cells, *more)
    of_one = len(cells) == 1
    if len(digits) == 1 and not (of_one and cells[0] in scene.step.places):
        text = grammar.a(str(digits[0]))
        if again:
            return say("with {}", text)
        where = say("in {}", result_ref(scene, cells)) if many and of_one else _where(scene, cells)
        return say("with {} {}", text, where)
    left = scene.results[cells[0]]
    named: Phrase = (result_ref(scene, cells),) if of_one else (_any_of(scene, cells),)
    if again:
        named = ("it",)
    whole = not scene.domain(cells[0]) & ~left & ~denial.digits
    reach = _range(scene, denial, left)
    if whole and of_one and cells[0] in scene.step.places:
        return say("unless {} is {}", named, left.bit_length())
    if reach:
        return say("with {} {}", named, reach)
    kept = digits_of(left)
    if of_one and whole and not again and len(kept) < len(digits) and len(kept) <= 4:
        return say("unless {} is {}", named, grammar.digits(kept))
    return (
        say("with {}", grammar.digits(digits))
        if again
        else say("with {} in {}", grammar.digits(digits), named)
    )


def _asked(scene: Scene, denial: Denial) -> Phrase:
    """Ask what is supposed, where a sentence of its own is wanted: "could this cell be 3, 5 or 8?"."""
    (cell, *others) = denial.cells
    digits = digits_of(denial.digits)
    if others or len(digits) > grammar.NUMBERS:
        return ()
    ref = result_ref(scene, (cell,))
    if kept := _others(scene, denial):
        return say("could {} be anything but {}?", ref, grammar.digits(kept))
    reach = _range(scene, denial, scene.results[cell])
    return say("could {} be {}?", ref, reach or grammar.digits(digits))


def _others(scene: Scene, denial: Denial) -> list[int]:
    """Give the digits left, where they are all else that the cell may be and fewer than those supposed."""
    left = scene.results[denial.cells[0]]
    if scene.domain(denial.cells[0]) & ~left & ~denial.digits:
        return []
    return digits_of(left) if 1 < left.bit_count() < denial.digits.bit_count() else []


def _range(scene: Scene, denial: Denial, left: int) -> str:
    """Give the digits supposed as all below or above those left; empty where they are not."""
    digits = digits_of(denial.digits)
    domain = scene.domain(denial.cells[0])
    low, high = (left & -left).bit_length(), left.bit_length()
    if digits[-1] < low and not domain & ((1 << (low - 1)) - 1) & ~denial.digits:
        return f"below {low}"
    if digits[0] > high and not domain & ~((1 << high) - 1) & ~denial.digits:
        return f"above {high}"
    return ""


def _end(scene: Scene, denial: Denial) -> Phrase:  # noqa: PLR0911 - a list of cases
    """Say what is learnt."""
    digits = digits_of(denial.digits)
    if len(scene.step.places) == 1 and not scene.step.removes:
        return say("so it is {}", next(iter(scene.step.places.values())))
    if _seen(scene) or scene.step.places:
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


def _answer(scene: Scene, denial: Denial) -> Phrase:
    """Say what is learnt of a cell that was asked about."""
    if _seen(scene) or scene.step.places:
        return _end(scene, denial)
    if _others(scene, denial):
        return say("so it is one of those")
    left = scene.results[denial.cells[0]]
    if left.bit_count() < denial.digits.bit_count():
        return say("so it {}", says(left, scene.full))
    return say("so it is {}", "neither" if denial.digits.bit_count() == 2 else "none of those")


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
    return say("in {}", _any_of(scene, cells))


def _any_of(scene: Scene, cells: tuple[int, ...]) -> Ref:
    which = "any" if len(cells) > 2 else "either"
    return Ref(f"{which} of these", f"{which} of {scene.names.written(cells)}", cells, "result")


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
