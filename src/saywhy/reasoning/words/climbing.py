"""Digits that climb along a line: the least and the most that each cell can be."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from saywhy.primitives import digits_of
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.pairs import Tie, kind
from saywhy.reasoning.words.plan import Phrase, Plan, Ref, join, say
from saywhy.reasoning.words.results import conclusion, enough, result_ref
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck
from saywhy.rule import ClueRule


def plans(scene: Scene, found: Sequence[Tie]) -> Iterator[Plan]:
    """Give the plans of a step at cells in climbing order."""
    order = _order(found)
    reach = _reach(scene, *order) if order is not None else None
    if order is None or reach is None or _has_own_words(scene):
        return
    cells, rises = order
    lows, highs = reach
    shown = {
        cell: scene.domain(cell) & ((1 << high) - 1) & ~((1 << (low - 1)) - 1)
        for cell, low, high in zip(cells, lows, highs, strict=True)
    }
    if not enough(scene, shown):
        return
    targets = [cell for cell in cells if cell in scene.step.removes or cell in scene.step.places]
    opener = Struck(scene, cells).opener(cells)
    standing = [scene.standing[cell] for cell in cells if cell in scene.standing]
    look, ends = tuple(cells), conclusion(scene, shown)
    brief = say("{}.", ends)
    run = _run(scene, cells, targets, lows, highs)
    if not opener and not standing:
        head = f"{grammar.count(len(cells))} cells {'climbing' if all(rises) else 'never falling'}"
        steps = _stairs(scene, cells, rises, lows, highs)
        if steps:
            yield Plan((say("{}: {}", head, steps), say("so {}", ends)), brief, look)
            yield Plan((say("{}: {}", head, steps),), brief, look, vague=0.4)
        for text in (_ends_only(scene, cells, targets, shown), run, ends):
            if text:
                yield Plan((say("{}: {}", head, text),), brief, look, vague=0.3 if text is ends else 0)
        return
    why = _neighbour(scene, cells, cells.index(targets[0]), lows, highs) if len(targets) == 1 else ()
    if why:
        yield Plan((*opener, say("{}: {}", why, ends)), brief, look)
        yield Plan((*opener, say("{}, so {}", why, ends)), brief, look)
    if opener:
        climbs = "the line climbs" if all(rises) else "the line never falls"
        yield Plan((*opener, say("{}, so {}", climbs, ends)), brief, look)
    else:
        stands = grammar.listed([f"the {digit}" for digit in standing])
        yield Plan((say("with {} on the line, {}", stands, ends),), brief, look)
    if run:
        yield Plan((*opener, say("climbing, {}", run)), brief, look)


def _has_own_words(scene: Scene) -> bool:
    """Say whether what is looked at is no line but a clue with words of its own."""
    return any(type(scene.clue(source)).thoughts is not ClueRule.thoughts for source in scene.clue_sources)


def _stairs(
    scene: Scene, cells: Sequence[int], rises: Sequence[int], lows: Sequence[int], highs: Sequence[int]
) -> Phrase:
    """Say of many cells what each may be by the first and the last: "1 to 5 for the bulb, 2 to 6 next"."""
    if len(scene.results) < 3 or not all(rise == 1 for rise in rises):
        return ()
    first, last = result_ref(scene, (cells[0],)), result_ref(scene, (cells[-1],))
    return say(
        "{} to {} for {}, {} to {} next, and so on to {} to {} for {}",
        lows[0],
        highs[0],
        first,
        lows[1],
        highs[1],
        lows[-1],
        highs[-1],
        last,
    )


def _reach(scene: Scene, cells: list[int], rises: list[int]) -> tuple[list[int], list[int]] | None:
    """Give the least and the most of each cell; None where some cell has nothing left."""
    lows: list[int] = []
    highs = [0] * len(cells)
    for place, cell in enumerate(cells):
        after = lows[-1] + rises[place - 1] if place else 1
        options = [digit for digit in digits_of(scene.domain(cell)) if digit >= after]
        if not options:
            return None
        lows.append(options[0])
    for place in range(len(cells) - 1, -1, -1):
        before = highs[place + 1] - rises[place] if place + 1 < len(cells) else scene.n
        options = [digit for digit in digits_of(scene.domain(cells[place])) if digit <= before]
        if not options:
            return None
        highs[place] = options[-1]
    return lows, highs


def _order(found: Sequence[Tie]) -> tuple[list[int], list[int]] | None:
    """Give the cells from the lowest to the highest, with the least rise of each step; None if no line."""
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


def _run(scene: Scene, cells: list[int], targets: list[int], lows: list[int], highs: list[int]) -> Phrase:
    """Say bounds of a run of cells in turn: "climbing on, these three are at least 4, 5 and 6"."""
    lower: list[int] = []
    upper: list[int] = []
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
    return join(parts)


def _neighbour(scene: Scene, cells: list[int], place: int, lows: list[int], highs: list[int]) -> Phrase:
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
    return join(parts) if parts else ()
