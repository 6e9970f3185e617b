"""
Steps that strike out much: one or two digits are told to their end, and the rest is said to go the same way.

All of them are followed, and it is said only where they do.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Sequence

from saywhy.primitives import digits_of
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.chains import Follower, follower_of, told
from saywhy.reasoning.words.clauses import clauses
from saywhy.reasoning.words.denials import LINKS, Denial, is_empty
from saywhy.reasoning.words.links import Link
from saywhy.reasoning.words.moves import Drawn
from saywhy.reasoning.words.packing import packed
from saywhy.reasoning.words.plan import Phrase, Plan, Ref, join, say, spoken, words, written
from saywhy.reasoning.words.results import concluded, conclusion, result_ref
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.story import leads, look_at, then, used
from saywhy.reasoning.words.trying import supposed

#: Digits followed at most, stories told of them, and ends of which a sample may be told.
MANY, STORIES, SAMPLES = 40, 2, 3
#: Digits left to a cell, or gone from it, that are named.
FEW = 3
#: How vague it is to say that the rest goes the same way, comes to the same end, or just fails.
SAME, END, SOMEHOW = 0.8, 1.4, 2.0


def plans(scene: Scene) -> Iterator[Plan]:
    """Tell some of what a step strikes out, where the rest fails like it."""
    found = _followed(scene, follower_of(scene))
    if len(found) < 2:
        return
    for kind, vague, verb, rest in (
        (_way, SAME, "fail", ("the same way", "in one of these ways")),
        (_end, END, "come", ("to the same end", "to one of these ends")),
    ):
        alike = _sorted(found, kind)
        if len(alike) > STORIES or len(alike) == len(found):
            continue
        samples = [denial for group in alike if (denial := _sample(scene, group))]
        if len(samples) == len(alike):
            plans_ = list(_told(scene, samples, (verb, rest[len(alike) - 1]), vague))
            yield from plans_
            if plans_:
                return
    for denial in _several(scene, _sorted(found, _end)):
        yield from _told(scene, [denial], ("fail", "too, in one way or another"), SOMEHOW)


def _followed(scene: Scene, follower: Follower) -> list[Denial]:
    """Follow each digit that is struck out to its end; nothing if one has none, or they are too many."""
    digits = [
        (cell, digit)
        for cell, struck in scene.step.struck(scene.full).items()
        for digit in digits_of(scene.domain(cell) & struck)
    ]
    if len(digits) > MANY:
        return []
    found = []
    for cell, digit in digits:
        chain = follower.follow((cell,), 1 << (digit - 1))
        if chain is None:
            return []
        found.append(Denial((cell,), 1 << (digit - 1), tuple(chain)))
    return found


def _sorted(denials: Sequence[Denial], kind: Callable[[Sequence[Drawn]], Hashable]) -> list[list[Denial]]:
    found: dict[Hashable, list[Denial]] = {}
    for denial in denials:
        found.setdefault(kind(told(denial.links)), []).append(denial)
    return list(found.values())


def _way(links: Sequence[Drawn]) -> Hashable:
    """What is looked at on the way, in order."""
    return tuple((d.link.source, d.link.house, bool(d.link.must), _broken(d.link)) for d in links)


def _end(links: Sequence[Drawn]) -> Hashable:
    """What fails at last."""
    return links[-1].link.source, links[-1].link.house, _broken(links[-1].link)


def _broken(link: Link) -> Hashable:
    """How a link breaks: two cells alike, a cell with nothing left, or something looked at."""
    if link.clash:
        return "clash"
    return "empty" if link.empty is not None and link.source is None else link.breaks


def _sample(scene: Scene, group: Sequence[Denial]) -> Denial | None:
    """Give the one to tell: of those that say what fails the longest that is short enough."""
    fit = [d for d in group if len(told(d.links)) <= LINKS and not is_empty(scene, d)]
    best = max((len(told(d.links)) for d in fit if len(told(d.links)) <= 3), default=0)
    return next((d for d in fit if len(told(d.links)) == best), fit[0] if fit else None)


def _several(scene: Scene, ends: Sequence[Sequence[Denial]]) -> Iterator[Denial]:
    """Give what may be told where the rest fails in many ways: a sample of the commonest ends."""
    for group in sorted(ends, key=len, reverse=True)[:SAMPLES]:
        sample = _sample(scene, group)
        if sample is not None and len(told(sample.links)) > 1:
            yield sample


def _told(scene: Scene, samples: Sequence[Denial], rest: tuple[str, str], vague: float) -> Iterator[Plan]:
    stories: list[Phrase] = []
    starts = []
    before: tuple[int, ...] = ()
    for denial in samples:
        starts.append(len(stories))
        put = supposed(scene, denial, again=denial.cells == before)
        body = clauses(scene, [d.link for d in told(denial.links)])
        stories += [say("{}, {}", put, then(put, body[0])), *body[1:]]
        before = denial.cells
    brief = say("{}.", conclusion(scene, scene.results))
    tail = _rest(scene, samples, *rest)
    for lead, dim in leads(scene, used(samples), stories):
        places = {place + len(lead) for place in (*starts, len(stories))}
        sentences = packed([*lead, *stories, *tail], 3, places)
        if sentences:
            yield Plan(tuple(sentences), brief, look_at(scene), vague=vague + dim)


def _rest(scene: Scene, samples: Sequence[Denial], verb: str, how: str) -> list[Phrase]:
    """Say that the rest fails as well, and what follows."""
    end = say("so {}", _follows(scene))
    if len(scene.results) == 1:
        ((cell, left),) = scene.results.items()
        struck = scene.domain(cell) & scene.step.struck(scene.full)[cell]
        if left.bit_count() <= FEW and scene.domain(cell) & ~left == struck:
            digits = digits_of(left)
            kept = grammar.a(str(digits[0])) if len(digits) == 1 else grammar.digits(digits)
            return [say("anything but {} {}s {}", kept, verb, how)]
        for denial in samples:
            struck &= ~denial.digits
        if struck.bit_count() <= FEW:
            others = digits_of(struck)
            if len(others) == 1:
                return [
                    say(
                        "{} {}s {}",
                        grammar.with_a(others),
                        verb,
                        how.replace("one way or another", "another way"),
                    ),
                    end,
                ]
            return [say("{} {} {}", grammar.listed(others), verb, how), end]
    return [say("the other digits ruled out {} {}", verb, how), end]


def _follows(scene: Scene) -> Phrase:
    """Say what follows, of as many cells as can be heard at once; the others lose digits too."""
    parts: list[Phrase] = []
    others: list[int] = []
    for cells, part in concluded(scene, scene.results):
        if parts and (others or not _room([*parts, part])):
            others += cells
        else:
            parts.append(part)
    if not others:
        return join(parts)
    ref = result_ref(scene, tuple(others))
    if len(others) > 1:
        named = scene.names.written(others)
        ref = Ref("the other cells lit", named, tuple(others), "result", many=True)
    settled = all(cell in scene.step.places for cell in others)
    what = ref.verb("is", "are") + " settled too" if settled else ref.verb("loses", "lose") + " digits too"
    return join([*parts, say("{} {}", ref, what)])


def _room(parts: Sequence[Phrase]) -> bool:
    numbers = max(grammar.number_count(voice(join(parts))) for voice in (spoken, written))
    return numbers <= grammar.NUMBERS and words(parts) <= 16
