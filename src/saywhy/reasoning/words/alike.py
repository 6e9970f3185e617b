"""Stories that are alike, taken together so that one is told and the others are named after it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from saywhy.primitives import digits_of
from saywhy.reasoning.words.chains import told
from saywhy.reasoning.words.clauses import clauses
from saywhy.reasoning.words.denials import Denial
from saywhy.reasoning.words.failing import LEFT
from saywhy.reasoning.words.plan import Phrase, Ref, spoken, written
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.trying import reach_of


@dataclass
class Group:
    """Stories that are alike: told once, and the other cells or digits after it."""

    denial: Denial
    body: list[Phrase]
    shape: tuple[object, ...]
    same: list[Denial]
    alike: list[Denial]
    digits: int = 0


def grouped(scene: Scene, denials: Sequence[Denial]) -> list[Group]:
    """Take stories together that are word for word the same, and those that differ only in their cells."""
    found: list[Group] = []
    bodies = [clauses(scene, [d.link for d in told(denial.links)]) for denial in denials]
    for denial, body in _by_body(denials, bodies):
        shape = (denial.digits, *map(_shape, body))
        single = len(denial.cells) == 1
        like = next((g for g in found if g.shape == shape and single and len(g.denial.cells) == 1), None)
        if like is None or denial.cells in [other.cells for other in (like.denial, *like.same, *like.alike)]:
            found.append(Group(denial, body, shape, [], []))
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


def fewer(groups: Sequence[Group]) -> list[Group]:
    """Take stories of one cell together that go the same way by other digits: "and 7 fails the same way"."""
    found: list[Group] = []
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


def left_over(group: Group) -> bool:
    """Say whether what fails is only that something is left over once the others are gone."""
    return len(group.body) == 1 and spoken(group.body[0]).startswith(LEFT)


def _alike(scene: Scene, a: Denial, b: Denial) -> bool:
    """Say whether a supposition can be told of both cells at once."""
    digits = digits_of(a.digits)
    if len(digits) == 1 and not scene.step.places:
        return True
    left = [scene.results[denial.cells[0]] for denial in (a, b)]
    ranges = [reach_of(scene, denial, mask) for denial, mask in zip((a, b), left, strict=True)]
    return ranges[0] == ranges[1] and bool(ranges[0])


def _cells_of(body: Sequence[Phrase]) -> list[frozenset[int]]:
    return [frozenset(p.cells) for phrase in body for p in phrase if isinstance(p, Ref) and p.cells]


def _shape(phrase: Phrase) -> str:
    """Give a clause without what it points at, to see whether two are alike."""
    return "".join(
        piece
        if isinstance(piece, str)
        else ("\N{WHITE SQUARE}" if piece.cells or piece.source else piece.spoken)
        for piece in phrase
    )
