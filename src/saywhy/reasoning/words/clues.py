"""What is said of looks at clues: each kind of thought tries, and gives a plan only if it holds."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from saywhy.primitives import Regular
from saywhy.reasoning.words import (
    cases,
    derived,
    grammar,
    linear,
    middles,
    own,
    relations,
    samples,
    sets,
    shared,
    story,
)
from saywhy.reasoning.words.plan import SHORT, Phrase, Plan, Ref, join, say
from saywhy.reasoning.words.results import conclusion, groups, result_ref, verdict
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck, houses_listed

#: Case by case is tried only where every other plan costs more.
FAIR = 34.0
#: One sample of many is told only where every other plan says less than that.
VAGUEST = 70.0
#: Only where every other plan costs more is the plain one drawn up.
LONG = 30.0


def plans(scene: Scene) -> Iterator[Plan]:
    """Give the plans of a step at clues, a plain one at least."""
    if scene.step.idea == "trial":
        yield tried(scene)
        return
    best = float("inf")
    for kind in _kinds(scene):
        if best <= SHORT and kind in (shared.plans, story.plans, cases.plans):
            continue
        if best <= FAIR and kind is cases.plans:
            continue
        for plan in kind(scene):
            best = min(best, plan.cost)
            yield plan
    if best <= LONG:
        return
    if best > VAGUEST:
        yield from samples.plans(scene)
    yield fallback(scene)


def _kinds(scene: Scene) -> list[Callable[[Scene], Iterator[Plan]]]:
    """Give the kinds of thought that a step may be told as, the direct ones first."""
    clues = len(scene.clue_sources)
    if not clues:
        return [sets.plans, relations.plans, story.plans]
    if scene.step.idea == "derived sum":
        return [derived.plans, story.plans]
    if clues == 1:
        return [own.plans, linear.plans, relations.plans, shared.plans, story.plans, cases.plans]
    return [*([middles.plans] if clues == 2 else []), story.plans, cases.plans]


def tried(scene: Scene) -> Plan:
    """Say honestly that a digit was found by trying all others."""
    ends = conclusion(scene, scene.results)
    cells = tuple(sorted(scene.results))
    first = say("no short reason shows itself here, so every other digit is tried, and each one fails")
    return Plan((first, say("so {}", ends)), say("By trying all others, {}.", ends), cells, kind="trial")


def fallback(scene: Scene) -> Plan:
    """Say what is looked at, what is known there and what that leaves: true of every step."""
    cells = {c for s in scene.clue_sources for c in scene.clue(s).scope} or {
        *scene.step.places,
        *scene.step.removes,
    }
    struck = Struck(scene, sorted(cells), own=False)
    premises = struck.told() if struck.short else []
    left = " left" if struck and not struck.short else ""
    clues = [scene.names.clue(source) for source in scene.clue_sources]
    named = {piece.source for phrase in premises for piece in phrase if isinstance(piece, Ref)}
    houses = [s for s in sorted(scene.sources) if s.kind == "house" and s not in named]
    within = (
        say(" with {}", houses_listed([scene.names.house(s) for s in houses]))
        if houses and len(houses) <= 2
        else ()
    )
    lit = Ref("", "", tuple(sorted(cells | set(scene.facts))), "because")
    if clues:
        count = len({ref.spoken for ref in clues})
        listed = join(clues)
        if count != len(clues):
            spoken_ = f"these {grammar.count(len(clues))} {_nouns(scene)}"
            every = tuple(c for s in scene.clue_sources for c in scene.clue(s).scope)
            listed = (Ref(spoken_, join_written(clues), every, many=True),)
        body = say("every way{} to fill {}{}", left, listed, within)
        if len(clues) == 1 and any(
            isinstance(h.primitive, Regular) for h in scene.frame.of(scene.clue_sources[0])
        ):
            # The listener needs to hear what it demands.
            phrases = scene.names.phrases(scene.clue_sources[0])
            law = phrases.law.replace("its digits", f"the digits of the {phrases.noun}")
            body = say("{}, and every way{} to do that", law, left)
    else:
        named_houses = [scene.names.house(s) for s in sorted(scene.sources) if s.kind == "house"]
        short = len(named_houses) <= 3
        body = say(
            "every way{} to fill {}",
            left,
            houses_listed(named_houses) if short else say("the houses lit here{}", lit),
        )
    lead = [join(premises)] if premises else []
    first, *more = _leaves(scene)
    sentences = [*lead, say("{} {}", body, first), *(say("it also {}", part) for part in more)]
    if len(sentences) > 3:
        sentences = sentences[-3:]
    return Plan(
        tuple(sentences),
        say("{}.", conclusion(scene, scene.results)),
        tuple(sorted(cells)),
        kind="plain",
        vague=4,
    )


def terse(scene: Scene) -> Plan:
    """Say no more than the clues looked at and the first conclusion: for where all else is too long."""
    cells = (
        {c for s in scene.clue_sources for c in scene.clue(s).scope} | set(scene.results) | set(scene.facts)
    )
    lit = Ref("", "", tuple(sorted(cells)), "because")
    count = len(scene.clue_sources)
    if count == 1:
        what = say("every way to fill {}", scene.names.clue(scene.clue_sources[0]))
    elif count:
        nouns = {scene.names.phrases(source).noun.split()[-1] for source in scene.clue_sources}
        noun = grammar.s(nouns.pop(), 2) if len(nouns) == 1 else "clues"
        firsts = scene.frame.grid.names(scene.clue(source).scope[0] for source in scene.clue_sources)
        spoken_, written_ = f"these {grammar.count(count)} {noun}", f"the {noun} at {grammar.listed(firsts)}"
        what = say("every way to fill {}", Ref(spoken_, written_, many=True))
    else:
        what = say("every way to fill the houses here")
    first, *more = _leaves(scene, short=True)
    tail = [say("it also {}", part) for part in more]
    return Plan(
        (say("{}{} {}", what, lit, first), *tail), say("{}.", first), tuple(sorted(cells)), "plain", vague=6
    )


def join_written(refs: list[Ref]) -> str:
    """List references as written."""
    return grammar.listed([ref.written for ref in refs])


def _nouns(scene: Scene) -> str:
    noun = scene.names.phrases(scene.clue_sources[0]).noun
    return grammar.s(noun, len(scene.clue_sources))


def _leaves(scene: Scene, *, short: bool = False) -> list[Phrase]:
    """
    Say the conclusion as what every way does: "puts a 7 here", "leaves this cell 6 or more".

    At most two clauses: digits placed and the cells narrowed most; the others are lit.
    """
    parts: list[Phrase] = []
    placed: dict[int, list[int]] = {}
    narrowed: list[tuple[tuple[int, ...], int]] = []
    for cells, mask in groups(scene, scene.results):
        if not mask & (mask - 1):
            placed.setdefault(mask.bit_length(), []).extend(cells)
        else:
            narrowed.append((cells, mask))
    if placed:
        shown = [
            say("{} in {}", grammar.a(str(digit)), result_ref(scene, tuple(cells)))
            for digit, cells in placed.items()
        ]
        parts.append(say("puts {}", join(shown[: 2 if short else 3])))
    room = 2 - len(parts) if len(placed) < 3 else 0
    if short and parts:
        room = 0
    elif short:
        room = 1
    for cells, mask in narrowed[:room]:
        ref = result_ref(scene, cells)
        verb, rest = verdict(scene, cells, mask, many=ref.many).split(" ", 1)
        if verb in ("has", "have") or rest.startswith("neither"):
            parts.append(say("leaves {} in {}", rest, ref))
        else:
            parts.append(say("leaves {} {}", ref, _only(rest)))
    others = [cell for cells, _ in narrowed[room:] for cell in cells]
    unsaid = [cell for cells in list(placed.values())[2 if short else 3 :] for cell in cells]
    others += unsaid
    if others:
        ref = Ref("the other cells lit", scene.names.written(others), tuple(others), "result", many=True)
        parts.append(say("{} {}", "settles" if unsaid and len(unsaid) == len(others) else "narrows", ref))
    return parts


def _only(rest: str) -> str:
    return rest if not rest[:1].isdigit() or " or more" in rest or "at most" in rest else f"only {rest}"
