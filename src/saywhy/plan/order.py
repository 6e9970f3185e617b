"""Among plans of one cost: who has waited longer airs sooner, as far as changing places by twos gives it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from saywhy.plan.demand import Demand
from saywhy.plan.result import demands_of, queue
from saywhy.plan.series import Line, Series
from saywhy.plan.wishes import Wish

#: Most rounds; it seldom takes more than three.
ROUNDS = 8


def older_first(
    series: Series, wishes: Sequence[Wish], line: Line, costs: Mapping[tuple[int, int], int]
) -> Line:
    """
    Give the line with new episodes put in the order of waiting where that breaks no wish and costs nothing.

    Args:
        series: The series.
        wishes: All wishes.
        line: A line; what it keeps of an earlier plan stays where it is.
        costs: What it costs to have a candidate in a slot.
    """
    held = list(line)
    rank = queue(series)
    firm, loose = (
        _by_slot(series, [demand for _, demand in demands_of(series, wishes, firm=firm)])
        for firm in (True, False)
    )
    stays = () if series.fresh else series.planned
    new = [slot for slot in series.free if line[slot] is not None and line[slot] not in stays]
    for _ in range(ROUNDS):
        changed = False
        for place, one in enumerate(new):
            for other in new[place + 1 :]:
                a, b = held[one], held[other]
                assert a is not None and b is not None, "only filled slots are among these"
                if (rank[b], b) >= (rank[a], a):
                    continue
                dearer = sum(costs.get(at, 0) for at in ((b, one), (a, other)))
                dearer -= sum(costs.get(at, 0) for at in ((a, one), (b, other)))
                if dearer <= 0 and _can_change(held, one, other, firm, loose):
                    held[one], held[other] = b, a
                    changed = True
        if not changed:
            break
    return tuple(held)


def _by_slot(series: Series, demands: Sequence[Demand]) -> list[list[Demand]]:
    found: list[list[Demand]] = [[] for _ in series.slots]
    for demand in demands:
        for slot in demand.slots:
            found[slot].append(demand)
    return found


def _can_change(
    held: Sequence[int | None],
    one: int,
    other: int,
    firm: Sequence[Sequence[Demand]],
    loose: Sequence[Sequence[Demand]],
) -> bool:
    """Say whether two slots can change places: no firm demand is missed by more, nor the others together."""
    a, b = held[one], held[other]
    before = tuple(held)
    after = tuple(b if slot == one else a if slot == other else n for slot, n in enumerate(held))

    def telling(demands: Sequence[Sequence[Demand]]) -> list[Demand]:
        both = {id(demand): demand for slot in (one, other) for demand in demands[slot]}
        return [
            demand
            for demand in both.values()
            if any((a in block.candidates) != (b in block.candidates) for block in demand.blocks)
        ]

    if any(demand.shortfall(after) > demand.shortfall(before) for demand in telling(firm)):
        return False
    return sum(demand.shortfall(after) - demand.shortfall(before) for demand in telling(loose)) <= 0
