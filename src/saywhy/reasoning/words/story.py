"""
Short stories: how one inference leads to the next, or what breaks where the conclusion is denied.

They are worked out from the certificate alone, and told only if they end within a few links.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence

from saywhy.engine.constraints import Source
from saywhy.primitives import Pair, digits_of
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.alike import Group, fewer, grouped, left_over
from saywhy.reasoning.words.chains import Follower, follower_of, told
from saywhy.reasoning.words.clauses import clauses
from saywhy.reasoning.words.denials import GROUPS, LINKS, Denial, by_cell, by_digit, is_empty
from saywhy.reasoning.words.moves import Drawn
from saywhy.reasoning.words.packing import packed
from saywhy.reasoning.words.pairs import kind
from saywhy.reasoning.words.plan import SHORT, VAGUE, Phrase, Plan, Ref, it, join, say, spoken, words
from saywhy.reasoning.words.results import conclusion, enough, result_ref
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck
from saywhy.reasoning.words.trying import answer, asked, brief_of, learnt, seen_already, supposed, where

#: Most links of all the stories of a step together.
ALL_LINKS = 7
#: How vague a story is that asks what could be, or that says "the same way" of another digit.
DIM = 0.4
#: How vague it is that does not say what a cell has lost of which "unless" is said.
OWN = 0.6
_NEVER = re.compile(r"\bnever makes? $")


def plans(scene: Scene) -> Iterator[Plan]:
    """Tell a step forwards, and by what fails where it is denied."""
    follower = follower_of(scene)
    if len(follower.drawer.moves) > 1:
        yield from _forwards(scene, follower)
    found = by_digit(scene, follower)
    first = list(_told(scene, found))
    yield from first
    short = any(plan.cost <= SHORT for plan in first)
    if not short and (len(found) != 1 or is_empty(scene, found[0])):
        yield from _told(scene, by_cell(scene, follower))


def look_at(scene: Scene) -> tuple[int, ...]:
    """Give the cells of the clues looked at."""
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
    look = look_at(scene)
    last = links[-1]
    own = last.changed <= results and len(results) <= 3
    if any(concludes(scene, d) for d in links[: -1 if own else None]):
        return
    before = links[:-1] if own else links
    body = clauses(scene, [d.link for d in before])
    said = {cell for d in before for cell, mask in d.link.left.items() if mask == scene.results.get(cell)}
    end = conclusion(scene, scene.results, said=said if said < results else ())
    brief = say("{}.", conclusion(scene, scene.results))
    for lead, vague in leads(scene, {c for d in chain for c in d.used}, body):
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


def leads(
    scene: Scene, cells: set[int], body: Sequence[Phrase], own: Iterable[int] = ()
) -> Iterator[tuple[list[Phrase], float]]:
    """
    Give what a story starts from, less what its own clauses say.

    Args:
        scene: The scene.
        cells: The cells that it rests on.
        body: Its clauses.
        own: Cells of which it is well to say, if there is room, what they have lost.

    Yields:
        The lead, and how vague the story is with it: without a lead what it starts from is merely lit.
    """
    more = cells.union(own)
    found = []
    if more != cells and Struck(scene, sorted(more)).short:
        found = _unsaid(scene, more, body)
        if found:
            yield [join(found)], 0
    left = _unsaid(scene, cells, body)
    if left:
        yield [join(left)], OWN if found else 0
    yield [], words(found or left) / VAGUE + 0.2 if found or left else 0


def _unsaid(scene: Scene, cells: set[int], body: Sequence[Phrase]) -> list[Phrase]:
    """Give what is known of some cells, less what some clauses say."""
    found = known(scene, cells)
    struck = Struck(scene, sorted(cells))
    listed = {spoken(clause_) for clause_ in found}
    before = _pairs(struck) if all(spoken(c) in listed for c in struck.clauses()) else set()
    for cell, digits in seen_already(scene).items():
        seen = Struck(scene, [cell], digits)
        if not _pairs(seen) <= before:
            before |= _pairs(seen)
            found += seen.clauses([cell])
    said, numbers = _named(body)
    left = []
    for clause_ in found:
        sources, named = _named([clause_])
        if not sources or not (sources <= said and named <= numbers):
            left.append(clause_)
    return left


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
    look = look_at(scene)
    put, end = supposed(scene, denial, many=False), learnt(scene, denial)
    brief = brief_of(scene, denial)
    first, *rest = body
    after_it = then(put, first)
    question = asked(scene, denial) if grammar.number_count(spoken(put)) > 1 else ()
    for lead, vague in leads(scene, used([denial]), body, _unless(denial, put)):
        told_: list[list[Phrase]] = [
            packed([*lead, say("{}, {}", put, after_it), *rest, end], 3, {len(lead)})
        ]
        if question and not told_[0] and len(lead) < 2:
            after = packed(
                [say("then {}", then(question, first)), *rest, answer(scene, denial)], 2 - len(lead)
            )
            if after:
                yield Plan((*lead, question, *after), brief, look, vague=vague + DIM)
        if not rest and not told_[0]:
            told_.append([*lead, say("{}, {}, {}", put, after_it, end)])
            if lead:
                told_.append([say("{}, and {}, {}, {}", lead[0], put, after_it, end)])
        elif rest and not denial.digits & (denial.digits - 1) and not seen_already(scene):
            digit = denial.digits.bit_length()
            tried = [*lead, say("try {} {}", grammar.a(str(digit)), where(scene, denial.cells))]
            after = packed([say("then {}", first), *rest, say("so not {}", digit)], 3 - len(tried))
            told_.append([*tried, *after] if after else [])
        for sentences in told_:
            if sentences:
                yield Plan(tuple(sentences), brief, look, vague=vague)


def then(put: Phrase, clause_: Phrase) -> Phrase:
    """Give the clause that follows a supposition; the cell just named is "it", and its digits are "that"."""
    last = clause_[-1]
    if isinstance(last, str) and last[:1].isdigit() and len(last) > 1 and last in spoken(put):
        clause_ = (*clause_[:-1], "that") if _NEVER.search(spoken(clause_[:-1])) else clause_
    named = [piece for piece in put if isinstance(piece, Ref) and piece.cells]
    place = next((i for i, piece in enumerate(clause_) if piece != ""), None)
    if len(named) != 1 or place is None:
        return clause_
    first = clause_[place]
    if not isinstance(first, Ref):  # "the stretch from it would make 8"
        place = next((i for i, piece in enumerate(clause_) if isinstance(piece, Ref) and piece.cells), place)
        first = clause_[place]
        if spoken(clause_[:place]).rstrip().endswith(" it"):
            return clause_
    if not isinstance(first, Ref) or len(first.cells) != 1 or first.cells != named[0].cells or named[0].many:
        return clause_
    after = list(clause_[place + 1 :])
    if after[:1] == [" "] and isinstance(after[1], str) and after[1].startswith("is "):
        # Of the digits supposed it keeps a few: "with 2 or 5 in this cell, it could only be 2".
        after[1] = f"could only be {after[1].removeprefix('is ')}"
    return (*clause_[:place], it(first), *after)


def _told_many(scene: Scene, denials: Sequence[Denial]) -> Iterator[Plan]:
    groups = grouped(scene, denials)
    # What is then simply left over is concluded without a story of its own.
    groups = [group for place, group in enumerate(groups) if not place or not left_over(group)]
    found = list(_told_groups(scene, denials, groups))
    yield from found
    if not found and (together := fewer(groups)):
        yield from _told_groups(scene, denials, together, DIM)


def _told_groups(
    scene: Scene, denials: Sequence[Denial], groups: Sequence[Group], dim: float = 0
) -> Iterator[Plan]:
    if len(groups) > GROUPS or sum(len(group.body) for group in groups) > ALL_LINKS:
        return
    look = look_at(scene)
    before: set[tuple[int, ...]] = set()
    stories: list[Phrase] = []
    starts = []
    own: set[int] = set()
    for group in groups:
        starts.append(len(stories))
        same = [denial.cells[0] for denial in group.same]
        put = supposed(scene, group.denial, same, again=group.denial.cells in before)
        own |= _unless(group.denial, put)
        stories += [say("{}, {}", put, then(put, group.body[0])), *group.body[1:]]
        before = set() if same else {group.denial.cells}
        if group.alike:
            cells = tuple(sorted(d.cells[0] for d in group.alike))
            alike = {c for denial in group.alike for d in denial.links for c in d.used}
            ref, lit = result_ref(scene, cells), Ref("", "", tuple(sorted(alike)), "look")
            stories.append(say("{}{} {} just the same", ref, lit, ref.verb("works", "work")))
        if group.digits:
            more = digits_of(group.digits)
            fail = "fails" if len(more) == 1 else "fail"
            stories.append(say("{} {} the same way", grammar.with_a(more), fail))
    end = conclusion(scene, scene.results)
    brief = say("{}.", end)
    for lead, vague in leads(scene, used(denials), stories, own):
        for tail in ([say("so {}", end)], []):
            sentences = packed([*lead, *stories, *tail], 3, {place + len(lead) for place in starts})
            if sentences:
                yield Plan(tuple(sentences), brief, look, vague=vague + dim)
                break


def used(denials: Sequence[Denial]) -> set[int]:
    """Give the cells whose knowledge some stories start from."""
    found: set[int] = set()
    for denial in denials:
        found |= {cell for d in denial.links for cell in d.used} - set(denial.cells)
    return found


def _unless(denial: Denial, put: Phrase) -> set[int]:
    """Give the cell of "unless this cell is 6": what it has lost already is then a part of the reason."""
    return set(denial.cells) if spoken(put).startswith("unless") else set()
