"""
A link as a clause: what happens next in a story, or what breaks there.

It says its conclusion and hardly why: the listener sees the clue that it lights.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from saywhy.primitives import digits_of
from saywhy.reasoning.words import ends, grammar
from saywhy.reasoning.words.links import Link, far
from saywhy.reasoning.words.plan import Phrase, Ref, join, say, spoken
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import says


def clauses(scene: Scene, links: Iterable[Link]) -> list[Phrase]:
    """Say links one after another, nothing twice."""
    found: list[Phrase] = []
    said: set[tuple[tuple[int, ...], int]] = set()
    told = taken_together(links)
    emptied = _emptied(told)
    for link in told[:-2] if emptied else told:
        if link.primitive == "set":
            cells = tuple(sorted(link.known))
            if (cells, next(iter(link.known.values()))) in said:
                found += _after_set(scene, link)
                continue
        found.append(clause(scene, link))
        said |= set(_groups(link.known if link.primitive in ("set", "hidden") else link.left))
    if emptied:
        cell, mask = emptied
        must = f"would have to be {grammar.digits(digits_of(mask))}"
        short = grammar.number_count(spoken(found[-1])) + mask.bit_count() <= ends.MANY
        if short and told[-3].left.keys() == {cell} and _plain(told[-3]):
            found[-1] = say("{} and {}", found[-1], must)
        else:
            found.append(say("{} {}", _ref(scene, told[-2], (cell,)), must))
    return found


def _emptied(links: list[Link]) -> tuple[int, int] | None:
    """
    Give the cell that two links leave nothing to, and the few digits that the later one leaves it.

    Where only the earlier one leaves few digits the two are told the other way round.
    """
    if len(links) < 3 or not links[-1].breaks or links[-1].empty is None or links[-1].both:
        return None
    cell, (before, last) = links[-1].empty, links[-3:-1]
    if last.left.keys() != {cell} or not _plain(last):
        return None
    if last.left[cell].bit_count() >= ends.MANY:
        if before.left.keys() != {cell} or not _plain(before) or before.left[cell].bit_count() >= ends.MANY:
            return None
        links[-3:-1] = last, before
        return cell, before.left[cell]
    return (cell, last.left[cell]) if any(cell in link.left for link in links[:-2]) else None


def taken_together(links: Iterable[Link]) -> list[Link]:
    """
    Take neighbouring links together.

    Those that say the same of different cells are one: "these four cells have no 5"; so are those that strike
    digits out of the same cells one after another.
    """
    found: list[Link] = []
    links = list(links)
    end = links[-1].empty if links and links[-1].breaks else None
    for place, link in enumerate(links):
        before = found[-1] if found else None
        emptied = end is not None and end in link.left and place == len(links) - 2
        if (
            before is not None
            and not emptied
            and _plain(before)
            and _plain(link)
            and before.left.keys() == link.left.keys()
        ):
            lost = {cell: before.lost[cell] | mask for cell, mask in link.lost.items()}
            found[-1] = replace(link, lost=lost)  # What is left at last is all that matters.
            continue
        if (
            before is not None
            and _plain(before)
            and _plain(link)
            and not before.left.keys() & link.left.keys()
        ):
            few = [
                {mask if _few(one.left[cell], mask) else -one.left[cell] for cell, mask in one.lost.items()}
                for one in (before, link)
            ]
            if few[0] == few[1] and len(few[0]) == 1:
                found[-1] = Link(None, {**before.left, **link.left}, lost={**before.lost, **link.lost})
                continue
        found.append(link)
    return found


def _plain(link: Link) -> bool:
    """Say whether a link is of cells of a clue that lose some digits."""
    of_clue = link.source is None or link.source.kind == "clue"
    special = link.breaks or link.house is not None or link.must or link.primitive in ("set", "hidden")
    return of_clue and not special and bool(link.lost) and link.lost.keys() == link.left.keys()


def clause(scene: Scene, link: Link) -> Phrase:  # noqa: PLR0911 - a list of cases
    """Say a link: "the circle is then 7", "this box has nowhere for its 4"."""
    if link.breaks:
        return ends.broken(scene, link)
    if link.house is not None and link.digit and not link.must:
        (cell,) = link.left
        source = scene.frame.houses[link.house][1]
        if link.last:
            return say(
                "{} is left with its {} {}",
                far(scene, link.house),
                link.digit,
                scene.names.spot(cell, source),
            )
        return say("the {} of {} goes {}", link.digit, far(scene, link.house), scene.names.spot(cell, source))
    if link.primitive == "set":
        return _set(scene, link)
    if link.primitive == "hidden" and link.house is not None:
        digits = grammar.listed(digits_of(next(iter(link.known.values()))))
        cells = tuple(sorted(link.known))
        return say("the {} of {} go in {}", digits, far(scene, link.house), scene.names.cells(cells))
    if link.must and link.source is not None:
        verb = "take" if scene.names.clue(link.source).many else "takes"
        plain = clause(scene, replace(link, must=0, house=None))
        return say("{}, so {}", ends.taken(scene, link, link.source, verb), plain)
    few = {cell: mask for cell, mask in link.lost.items() if _few(link.left[cell], mask)}
    parts = []
    for cells, mask in _groups({cell: mask for cell, mask in link.left.items() if cell not in few}):
        ref = _ref(scene, link, cells)
        parts.append(say("{} {}", ref, _verdict(scene, cells, mask, many=ref.many)))
    for cells, mask in _groups(few):
        ref = _ref(scene, link, cells)
        parts.append(say("{} {} no {}", ref, ref.verb("has", "have"), grammar.listed(digits_of(mask), "or")))
    return join(parts)


def _few(left: int, lost: int) -> bool:
    """Say whether the digits that matter of those lost are fewer than those left."""
    return lost.bit_count() <= 2 and left.bit_count() > lost.bit_count() + 1


def _set(scene: Scene, link: Link) -> Phrase:
    """Say that some cells share as many digits as they are, and the digit that it leaves another."""
    cells = tuple(sorted(link.known))
    ref = scene.names.cells(cells)
    shared = say("{} are {}", ref, grammar.listed(digits_of(next(iter(link.known.values())))))
    after = _after_set(scene, link)
    return say("{}, so {}", shared, after[0]) if after else shared


def _after_set(scene: Scene, link: Link) -> list[Phrase]:
    """Say what the digits of such cells leave for others, where that is one digit or none."""
    if link.empty is not None:
        return [say("nothing is left for {}", scene.names.cells([link.empty]))]
    if link.breaks:
        return [ends.broken(scene, link)]
    single = {cell: mask for cell, mask in link.left.items() if not mask & (mask - 1)}
    parts = []
    for cells, mask in _groups(single):
        ref = _ref(scene, link, cells)
        parts.append(say("{} {}", ref, _verdict(scene, cells, mask, many=ref.many)))
    return [join(parts)] if parts else []


def _groups(left: Mapping[int, int]) -> list[tuple[tuple[int, ...], int]]:
    found: dict[int, list[int]] = {}
    for cell, mask in left.items():
        found.setdefault(mask, []).append(cell)
    return sorted(
        ((tuple(sorted(cells)), mask) for mask, cells in found.items()),
        key=lambda item: (item[1].bit_count(), item[0]),
    )


def _verdict(scene: Scene, cells: tuple[int, ...], mask: int, *, many: bool) -> str:
    left = digits_of(mask)
    if len(cells) > 1 and len(left) == len(cells) and scene.different(cells):
        return f"{'are' if many else 'is'} {grammar.listed(left)}"
    if many and len(left) == 1:
        return f"are {'both' if len(cells) == 2 else 'all'} {left[0]}"
    return says(mask, scene.full, many=many)


def _ref(scene: Scene, link: Link, cells: tuple[int, ...]) -> Ref:
    if link.source is not None and link.source.kind == "clue":
        return scene.names.within(scene.clue(link.source), cells, "look")
    return scene.names.cells(cells, "look")
