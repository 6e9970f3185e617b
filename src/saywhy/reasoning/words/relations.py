"""Relations of two cells in words: partners, climbing and mirrored digits, and chains along a line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from saywhy.primitives import Pair, digits_of
from saywhy.reasoning.words import climbing, grammar, middles, pairs
from saywhy.reasoning.words.pairs import Setting, Tie, kind, turned
from saywhy.reasoning.words.plan import Phrase, Plan, Ref, Role, join, say
from saywhy.reasoning.words.results import conclusion, enough, result_ref
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck, says

#: Digits with a partner that are listed at most.
FEW = 4


def ties(scene: Scene) -> list[Tie]:
    """Give the relations of the step's clues and pairwise rules, both ways round."""
    found = []
    for held in scene.helds:
        pair = held.primitive
        if isinstance(pair, Pair):
            found.append(Tie(pair.a, pair.b, pair.table))
            found.append(Tie(pair.b, pair.a, turned(pair.table)))
    return found


def plans(scene: Scene) -> Iterator[Plan]:
    """Give the plans of a step at one clue, or one grid-wide rule, that relates cells two by two."""
    found = ties(scene)
    if not found:
        return
    kinds = {kind(tie.table) for tie in found}
    if kinds <= {"less", "more", "not more", "not less"}:
        yield from climbing.plans(scene, found)
        return
    if kinds == {"equal"}:
        yield from mirrored(scene, found)
        return
    yield from unfit(scene, found)
    yield from one_link(scene, found)
    yield from middles.on_line(scene, found, across(scene))
    yield from chain(scene, found)


def _look(scene: Scene) -> tuple[int, ...]:
    return tuple(sorted({c for source in scene.clue_sources for c in scene.clue(source).scope}))


def across(scene: Scene) -> str:
    """Say where the partner of a cell stands."""
    if not scene.clue_sources:
        return "next door"
    phrases = scene.names.phrases(scene.clue_sources[0])
    if phrases.across:
        return phrases.across
    return "next to it"


# Digits that never fit


def unfit(scene: Scene, found: Sequence[Tie]) -> Iterator[Plan]:
    """Digits that have no partner at all."""
    if scene.facts:
        return
    shown: dict[int, int] = {}
    for tie in found:
        fits = tie.image(scene.full)
        shown[tie.target] = shown.get(tie.target, scene.full) & fits
    if not enough(scene, shown):
        return
    gone = sorted({d for cell in scene.step.removes for d in digits_of(scene.full & ~shown[cell])})
    cells = tuple(sorted(scene.step.removes))
    ref = result_ref(scene, cells)
    where = across(scene)
    listed = grammar.listed(gone)
    look = _look(scene)
    brief = say("{} {} no {}.", ref, ref.verb("has", "have"), grammar.listed(gone, "or"))
    end = say(
        "so {} {} {}",
        ref,
        ref.verb("takes", "take"),
        "none of them" if len(gone) > 2 else ("neither" if len(gone) == 2 else f"no {gone[0]}"),
    )
    why = None
    if scene.clue_sources:
        why = scene.names.phrases(scene.clue_sources[0]).unfit
    if why:
        yield Plan((say("{} {}, {}", listed, why[len(gone) > 1], end),), brief, look)
        yield Plan(
            (
                say(
                    "No {} on {}: {} {}",
                    grammar.listed(gone, "or"),
                    ref,
                    "it" if len(gone) == 1 else "they",
                    why[len(gone) > 1],
                ),
            ),
            brief,
            look,
        )
        return
    has = "has" if len(gone) == 1 else "have"
    yield Plan((say("{} {} no partner {}, {}", listed, has, where, end),), brief, look)


# One relation


def one_link(scene: Scene, found: Sequence[Tie]) -> Iterator[Plan]:
    """One relation alone explains the step."""
    setting = Setting(across(scene), look=_look(scene))
    if scene.clue_sources:
        phrases = scene.names.phrases(scene.clue_sources[0])
        setting = replace(setting, unfit=phrases.unfit, noun=phrases.noun, law=phrases.law)
    done = set()
    for tie in found:
        key = frozenset((tie.known, tie.target))
        if key not in done:
            done.add(key)
            apart = scene.differ(tie.known, tie.target) is not None
            yield from pairs.plans(scene, tie, replace(setting, apart=apart))
            yield from pairs.together(scene, tie, replace(setting, apart=apart))


# Chains


def chain(scene: Scene, found: Sequence[Tie]) -> Iterator[Plan]:
    """What is known runs along the line, cell by cell."""
    links, domains = _links(scene, found)
    if not 1 < len(links) <= 5 or (len(links) == 2 and links[0][0].known == links[1][0].target):
        return
    clauses = Struck(scene, list(domains)).told(list(domains))
    where = across(scene)
    parts: list[Phrase] = []
    for place, (tie, after) in enumerate(links):
        role: Role = "result" if tie.target in scene.results else "look"
        said = say("{} {}", scene.names.cells([tie.target], role), says(after, scene.full))
        if place and links[place - 1][0].target == tie.known:
            said = say("{} {}", where if place == 1 else "then", said)
        else:
            start: Phrase | Ref = scene.names.cells([tie.known])
            if tie.known in scene.standing:
                digit, name = str(scene.standing[tie.known]), scene.grid_name(tie.known)
                start = say("the {}", Ref(digit, f"{digit} in {name}", (tie.known,), "because"))
            said = say("{} {}, {}", f"{where} from" if where.startswith("across") else "next to", start, said)
        parts.append(said)
    law = scene.names.phrases(scene.clue_sources[0]).law if scene.clue_sources else ""
    brief = say("{}.", conclusion(scene, domains))
    opener = [join(clauses)] if clauses else ([say("{}", law)] if law else [])
    look = _look(scene)
    left = {after for _, after in links}
    if (
        len(left) == 1
        and next(iter(left)).bit_count() <= 4
        and {tie.target for tie, _ in links} == set(scene.results)
        and scene.clue_sources
    ):
        digits = grammar.listed(digits_of(next(iter(left))))
        only = say("only {} have a partner then", digits)
        yield Plan((*opener, say("{}, so {}", only, conclusion(scene, domains))), brief, look)
        yield Plan((*opener, only, say("so {}", conclusion(scene, domains))), brief, look)
    yield Plan((*opener, join(parts)), brief, look)
    if len(parts) > 2:
        yield Plan((*opener, join(parts[:2]), join(parts[2:])), brief, look)


def _links(scene: Scene, found: Sequence[Tie]) -> tuple[list[tuple[Tie, int]], dict[int, int]]:
    """
    Follow the relations from what is known until the step's conclusion is shown.

    Returns:
        The links that it rests on, each with the digits left to its target; and what is left in the end.
        No links if the conclusion is not reached.
    """
    domains = {tie.target: scene.domain(tie.target) for tie in found}
    steps: list[tuple[Tie, int]] = []
    for _ in range(3 * len(domains)):
        open_ties = [
            (domains[tie.known].bit_count(), place, tie, domains[tie.target] & tie.image(domains[tie.known]))
            for place, tie in enumerate(found)
        ]
        # Nearest to what is known first; a digit that fits nowhere is struck last.
        useful = [item for item in open_ties if item[3] and item[3] != domains[item[2].target]]
        if not useful:
            break
        _, _, tie, after = min(useful, key=lambda item: item[:2])
        domains[tie.target] = after
        steps.append((tie, after))
        if enough(scene, domains):
            break
    if not enough(scene, domains):
        return [], domains
    wanted = set(scene.results)
    kept: dict[int, tuple[Tie, int]] = {}
    for tie, after in reversed(steps):
        if tie.target in wanted:
            wanted.add(tie.known)
            kept.setdefault(tie.target, (tie, after))
    order = [tie.target for tie, _ in steps]
    return sorted(kept.values(), key=lambda link: order.index(link[0].target)), domains


# Mirrored


def mirrored(scene: Scene, found: Sequence[Tie]) -> Iterator[Plan]:
    """Cells that hold the same digit: what one has lost the other loses."""
    look = _look(scene)
    targets = sorted({**scene.step.places, **scene.step.removes})
    shown: dict[int, int] = {}
    partner: dict[int, int] = {}
    for tie in found:
        if tie.target in targets:
            mask = scene.domain(tie.target) & scene.domain(tie.known)
            shown[tie.target] = shown.get(tie.target, mask) & mask
            partner[tie.target] = tie.known
    if not enough(scene, shown):
        return
    brief = say("{}.", conclusion(scene, shown))
    clue = scene.names.clue(scene.clue_sources[0]) if scene.clue_sources else Ref("the rule", "the rule")
    noun = clue.spoken.removeprefix("the ")
    if scene.step.places and len(targets) == 1:
        (target,) = targets
        digit = scene.step.places[target]
        other = partner[target]
        this = scene.names.cells([target], "result")
        if other in scene.standing:
            four = Ref(str(digit), f"{digit} in {scene.grid_name(other)}", (other,), "because")
            yield Plan(
                (say("the {} {} the {} to {}", noun, clue.verb("copies", "copy"), four, this),), brief, look
            )
            yield Plan((say("{} mirrors the {}", this, four),), brief, look)
            return
    both = sorted({cell for target in targets for cell in (target, partner[target])})
    if len(both) == 2 and len(scene.step.places) == 2:
        two = scene.names.called(both, "these two", "result", many=True)
        (digit,) = set(scene.step.places.values())
        yield Plan((say("{} match on the {}, and only {} fits both", two, noun, digit),), brief, look)
    struck = Struck(scene, both)
    clauses = struck.told()
    those = tuple(sorted(partner[t] for t in targets))
    two = scene.names.called(
        tuple(sorted({*those, *targets})), "these two" if len(targets) == 1 else "these pairs", many=True
    )
    same = say("the {} {} these cells", noun, clue.verb("pairs", "pair"))
    if len(targets) == 1:
        same = say("{} match on the {}", two, noun)
    if clauses:
        yield Plan((say("{}, and {}, so {}", join(clauses), same, conclusion(scene, shown)),), brief, look)
        yield Plan((same, say("{}, so {}", join(clauses), conclusion(scene, shown))), brief, look)
    else:
        yield Plan((say("{}, so {}", same, conclusion(scene, shown)),), brief, look)
