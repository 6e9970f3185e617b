"""Relations of two cells in words: needs and partners, climbing, mirrored and far apart digits, and chains."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache

from saywhy.primitives import Pair, digits_of
from saywhy.reasoning.words import grammar, pairs
from saywhy.reasoning.words.pairs import Setting, Tie, turned
from saywhy.reasoning.words.plan import Phrase, Plan, Ref, join, say
from saywhy.reasoning.words.results import conclusion, enough, result_ref
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck, says


@lru_cache(maxsize=4096)
def kind(table: tuple[int, ...]) -> str:
    """
    Name a relation by its table: ``less``, ``not more``, ``equal`` (read from a to b), the same turned round,
    or ``other``.
    """
    size = len(table)

    def same(allows: object) -> bool:
        return all(
            bool(table[x] >> y & 1) == allows(x, y)  # type: ignore[operator]
            for x in range(size)
            for y in range(size)
        )

    if same(lambda x, y: x < y):
        return "less"
    if same(lambda x, y: x > y):
        return "more"
    if same(lambda x, y: x <= y):
        return "not more"
    if same(lambda x, y: x >= y):
        return "not less"
    if same(lambda x, y: x == y):
        return "equal"
    return "other"


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
        yield from climbing(scene, found)
        return
    if kinds == {"equal"}:
        yield from mirrored(scene, found)
        return
    yield from unfit(scene, found)
    yield from one_link(scene, found)
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
        "none of them" if len(gone) > 2 else ("neither" if len(gone) == 2 else "none"),
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
    yield Plan(
        (say("{} {} no partner {}, {}", listed, "has" if len(gone) == 1 else "have", where, end),),
        brief,
        look,
    )


# One relation


def one_link(scene: Scene, found: Sequence[Tie]) -> Iterator[Plan]:
    """One relation alone explains the step."""
    unfit_ = scene.names.phrases(scene.clue_sources[0]).unfit if scene.clue_sources else None
    setting = Setting(across(scene), look=_look(scene), unfit=unfit_)
    done = set()
    for tie in found:
        key = frozenset((tie.known, tie.target))
        if key not in done:
            done.add(key)
            apart = scene.differ(tie.known, tie.target) is not None
            yield from pairs.plans(scene, tie, replace(setting, apart=apart))


# Chains


def chain(scene: Scene, found: Sequence[Tie]) -> Iterator[Plan]:
    """What is known runs along the line, cell by cell."""
    domains: dict[int, int] = {}
    for tie in found:
        domains[tie.target] = scene.domain(tie.target)
    base = dict(domains)
    steps: list[tuple[Tie, int]] = []
    for _ in range(3 * len(domains)):
        best: tuple[int, Tie, int] | None = None
        for tie in found:
            after = domains[tie.target] & tie.image(domains[tie.known])
            if after and after != domains[tie.target]:
                # Nearest to what is known first; a digit that fits nowhere is struck last.
                rank = domains[tie.known].bit_count()
                if best is None or rank < best[0]:
                    best = rank, tie, after
        if best is None:
            break
        _, tie, after = best
        domains[tie.target] = after
        steps.append((tie, after))
        if enough(scene, domains):
            break
    if not enough(scene, domains):
        return
    # Keep what the conclusion rests on.
    wanted = {*scene.step.places, *scene.step.removes}
    results = set(wanted)
    kept: list[tuple[Tie, int]] = []
    for tie, after in reversed(steps):
        if tie.target in wanted:
            kept.append((tie, after))
            wanted.add(tie.known)
    kept.reverse()
    last: dict[int, int] = {}
    merged: list[tuple[Tie, int]] = []
    for tie, after in kept:
        if tie.target in last:
            merged[last[tie.target]] = (tie, after)
        else:
            last[tie.target] = len(merged)
            merged.append((tie, after))
    if not 1 < len(merged) <= 5:
        return
    start = Struck(scene, [cell for cell in base if cell not in results or True])
    clauses = start.told(list(base))
    parts: list[Phrase] = []
    for place, (tie, after) in enumerate(merged):
        role = "result" if tie.target in results else "look"
        ref = scene.names.cells([tie.target], role)
        if tie.known in scene.standing:
            four = Ref(
                str(scene.standing[tie.known]),
                f"{scene.standing[tie.known]} in {scene.grid_name(tie.known)}",
                (tie.known,),
                "because",
            )
            parts.append(say("next to the {} {} {}", four, ref, says(after, scene.full)))
        elif place and merged[place - 1][0].target == tie.known:
            parts.append(say("then {} {}", ref, says(after, scene.full)))
        else:
            parts.append(say("{} {}", ref, says(after, scene.full)))
    look = _look(scene)
    law = scene.names.phrases(scene.clue_sources[0]).law if scene.clue_sources else ""
    brief = say("{}.", conclusion(scene, domains))
    opener = [join(clauses)] if clauses else ([say("{}", law)] if law else [])
    yield Plan((*opener, join(parts)), brief, look)
    if len(parts) > 2:
        yield Plan((*opener, join(parts[:2]), join(parts[2:])), brief, look)


# Climbing


def climbing(scene: Scene, found: Sequence[Tie]) -> Iterator[Plan]:
    """Cells in climbing order: the least and the most that each can be."""
    order = _order(found)
    if order is None:
        return
    cells, strict = order
    lows: list[int] = []
    highs: list[int] = [0] * len(cells)
    for place, cell in enumerate(cells):
        after = lows[-1] + strict[place - 1] if place else 1
        options = [d for d in digits_of(scene.domain(cell)) if d >= after]
        if not options:
            return
        lows.append(options[0])
    for place in range(len(cells) - 1, -1, -1):
        before = highs[place + 1] - strict[place] if place + 1 < len(cells) else scene.n
        options = [d for d in digits_of(scene.domain(cells[place])) if d <= before]
        if not options:
            return
        highs[place] = options[-1]
    shown = {
        cell: scene.domain(cell) & ((1 << high) - 1) & ~((1 << (low - 1)) - 1)
        for cell, low, high in zip(cells, lows, highs, strict=True)
    }
    if not enough(scene, shown):
        return
    targets = [cell for cell in cells if cell in scene.step.removes or cell in scene.step.places]
    struck = Struck(scene, cells)
    clauses = struck.told(cells)
    look = tuple(cells)
    ends = conclusion(scene, shown)
    brief = say("{}.", ends)
    standing = [scene.standing[cell] for cell in cells if cell in scene.standing]
    premise = list(clauses)
    number = grammar.count(len(cells))
    climbs = "climbing" if all(strict) else "never falling"
    if not premise and not standing:
        both = _ends_only(scene, cells, targets, shown)
        if both:
            yield Plan((say("{} cells {}: {}", number, climbs, both),), brief, look)
        yield Plan((say("{} cells {}: {}", number, climbs, ends),), brief, look)
        return
    at_least = _bounds(scene, cells, targets, shown)
    up = _run(scene, cells, targets, lows, highs)
    if len(targets) == 1 or at_least is None:
        (first, *_) = targets
        place = cells.index(first)
        why = _neighbour(scene, cells, place, lows, highs, strict) if len(targets) == 1 else ()
        if why:
            opener = premise if premise and not _own_only(scene, first, struck) else premise
            if opener:
                yield Plan(
                    (say("{}, so {}", join(opener), why), say("{}", ends))
                    if False
                    else (join(opener), say("{}: {}", why, ends)),
                    brief,
                    look,
                )
            else:
                yield Plan((say("{}, so {}", why, ends),), brief, look)
                yield Plan((say("{}: {}", why, ends),), brief, look)
    if premise:
        yield Plan(
            (
                join(premise),
                say(
                    "{}, so {}",
                    f"The line is {climbs}"
                    if False
                    else "The line climbs"
                    if all(strict)
                    else "The line never falls",
                    ends,
                ),
            ),
            brief,
            look,
        )
    elif standing:
        stands = say("{} on the line", grammar.listed([f"the {d}" for d in standing]))
        yield Plan((say("With {}, {}", stands, ends),), brief, look)
    if up:
        opener = [join(premise)] if premise else []
        yield Plan((*opener, up), brief, look)


def _own_only(scene: Scene, cell: int, struck: Struck) -> bool:
    del scene, struck, cell
    return False


def _order(found: Sequence[Tie]) -> tuple[list[int], list[int]] | None:
    """Give the cells from the lowest to the highest, with the least rise of each step; None if they are no line."""
    above: dict[int, tuple[int, int]] = {}
    for tie in found:
        name = kind(tie.table)
        if name in ("less", "not more"):
            if tie.known in above:
                return None
            above[tie.known] = (tie.target, 1 if name == "less" else 0)
    starts = set(above) - {target for target, _ in above.values()}
    if len(starts) != 1:
        return None
    cells, rises = [starts.pop()], []
    while cells[-1] in above:
        target, rise = above[cells[-1]]
        cells.append(target)
        rises.append(rise)
    return cells, rises


def _ends_only(scene: Scene, cells: list[int], targets: list[int], shown: dict[int, int]) -> Phrase:
    """Say the bounds of both ends, and of the middle in one breath."""
    if targets != cells or len(cells) < 3:
        return ()
    low, high = (
        scene.names.within(scene.clue(scene.clue_sources[0]), [cells[0]], "result"),
        scene.names.within(scene.clue(scene.clue_sources[0]), [cells[-1]], "result"),
    )
    middle = tuple(cells[1:-1])
    ref = Ref(
        "each cell between one step further",
        f"each cell between ({scene.names.written(middle)}) one step further",
        middle,
        "result",
    )
    return say(
        "{} is {} at most, {} {} at least, and {}",
        low,
        max(digits_of(shown[cells[0]])),
        high,
        min(digits_of(shown[cells[-1]])),
        ref,
    )


def _bounds(scene: Scene, cells: list[int], targets: list[int], shown: dict[int, int]) -> Phrase | None:
    del scene, cells, targets, shown
    return None


def _run(scene: Scene, cells: list[int], targets: list[int], lows: list[int], highs: list[int]) -> Phrase:
    """Say bounds of a run of cells in turn: "climbing on, these three are at least 4, 5 and 6"."""
    if len(targets) < 2:
        return ()
    lower, upper = [], []
    for cell in targets:
        removed = digits_of(scene.step.removes.get(cell, 0))
        place = cells.index(cell)
        below = [d for d in removed if d < lows[place]]
        above = [d for d in removed if d > highs[place]]
        if cell in scene.step.places or (below and above) or len(below) + len(above) < len(removed):
            return ()
        (lower if below else upper).append(cell)
    parts = []
    for group, values, word in ((lower, lows, "at least"), (upper, highs, "at most")):
        if group:
            ref = result_ref(scene, tuple(group))
            bounds = [values[cells.index(cell)] for cell in group]
            parts.append(
                say(
                    "{} {} {} {}{}",
                    ref,
                    ref.verb("is", "are"),
                    word,
                    grammar.listed(bounds),
                    " in turn" if len(group) > 1 else "",
                )
            )
    return say("Climbing, {}", join(parts))


def _neighbour(
    scene: Scene, cells: list[int], place: int, lows: list[int], highs: list[int], strict: list[int]
) -> Phrase:
    """Say what stands right below or above that decides."""
    clue = scene.clue(scene.clue_sources[0]) if scene.clue_sources else None
    if clue is None:
        return ()
    cell = cells[place]
    removed = digits_of(scene.step.removes.get(cell, 0)) or [
        d for d in digits_of(scene.domain(cell)) if d != scene.step.places.get(cell)
    ]
    parts = []
    if any(d < lows[place] for d in removed) and place:
        below = cells[place - 1]
        if below in scene.standing:
            parts.append(
                say(
                    "it stands above the {}",
                    Ref(str(scene.standing[below]), str(scene.standing[below]), (below,), "because"),
                )
            )
        else:
            ref = scene.names.within(clue, [below], "because")
            parts.append(say("{} is at least {}", ref, lows[place - 1]))
    if any(d > highs[place] for d in removed) and place + 1 < len(cells):
        above = cells[place + 1]
        if above in scene.standing:
            parts.append(
                say(
                    "it stands below the {}",
                    Ref(str(scene.standing[above]), str(scene.standing[above]), (above,), "because"),
                )
            )
        else:
            ref = scene.names.within(clue, [above], "because")
            parts.append(say("{} is at most {}", ref, highs[place + 1]))
    del strict
    return join(parts) if parts else ()


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
    noun = scene.names.phrases(scene.clue_sources[0]).noun if scene.clue_sources else "rule"
    if scene.step.places and len(targets) == 1:
        (target,) = targets
        digit = scene.step.places[target]
        other = partner[target]
        this = scene.names.cells([target], "result")
        if other in scene.standing:
            four = Ref(str(digit), f"{digit} in {scene.grid_name(other)}", (other,), "because")
            yield Plan((say("The {} copies the {} to {}", noun, four, this),), brief, look)
            yield Plan((say("{} mirrors the {}", this, four),), brief, look)
            return
    struck = Struck(scene, [partner[t] for t in targets] + targets)
    clauses = struck.told()
    those = tuple(sorted(partner[t] for t in targets))
    two = scene.names.called(
        tuple(sorted({*those, *targets})), "these two" if len(targets) == 1 else "these pairs", many=True
    )
    same = (
        say("{} match on the {}", two, noun) if len(targets) == 1 else say("the {} pairs these cells", noun)
    )
    if clauses:
        yield Plan((say("{}, and {}: {}", join(clauses), same, conclusion(scene, shown)),), brief, look)
        yield Plan((same, say("{}, so {}", join(clauses), conclusion(scene, shown))), brief, look)
    else:
        yield Plan((say("{}, so {}", same, conclusion(scene, shown)),), brief, look)
