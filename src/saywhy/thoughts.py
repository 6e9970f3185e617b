"""
What a rule can say for itself: its own reason for what a clue leaves its cells.

The reasoning finds and proves a step; a rule's thought only words it, and is dropped where it does not
show all that the step concludes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

#: A clause: text, and tuples of cells that are pointed at where they stand.
Said = tuple["str | tuple[int, ...]", ...]


@dataclass(frozen=True)
class Thought:
    """
    A clue's own reason.

    Attributes:
        said: One or two clauses, in the order a listener needs them; what follows is said after them.
        left: For each cell of the clue that it speaks of, the mask of digits that it leaves.
        whole: Whether the clauses say what follows as well.
    """

    said: tuple[Said, ...]
    left: Mapping[int, int]
    whole: bool = False


COUNTS = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)
PLACES = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")


def counted(number: int) -> str:
    """Give a small number as a word; above twelve as a numeral."""
    return COUNTS[number] if 0 <= number < len(COUNTS) else str(number)


def placed(number: int) -> str:
    """Give ``first``, ``second`` ... ``ninth``, then ``10th``."""
    return PLACES[number - 1] if 1 <= number <= len(PLACES) else f"{number}th"


def a_digit(number: int) -> str:
    """Give ``a 5``, ``an 8``."""
    return f"{'an' if str(number).startswith('8') or number in (11, 18) else 'a'} {number}"


def lone(known: Mapping[int, int], cells: Iterable[int]) -> list[int]:
    """List the digits of those cells that have one digit left, ascending."""
    return sorted(
        known[cell].bit_length() for cell in cells if known[cell] and not known[cell] & (known[cell] - 1)
    )


def listed(items: Iterable[object], word: str = "and") -> str:
    """Give ``2``, ``2 and 5`` or ``2, 5 and 7``."""
    shown = [str(item) for item in items]
    if len(shown) < 2:
        return "".join(shown)
    return f"{', '.join(shown[:-1])} {word} {shown[-1]}"


def turns(
    cells: Sequence[int], known: Mapping[int, int], kinds: tuple[tuple[str, int], tuple[str, int]]
) -> list[Thought]:
    """
    Give what follows along a line on which two kinds of digits take turns, once a cell shows its kind.

    Args:
        cells: The line, in order.
        known: For each cell the mask of digits known to be left.
        kinds: The two kinds, each by its name and the mask of its digits; other digits are on no such line.
    """
    found = []
    (one, _), (other, _) = kinds
    for first in (0, 1):
        shown = [cell for place, cell in enumerate(cells) if not known[cell] & kinds[(place + first) % 2][1]]
        for cell in shown[:2]:
            # Not this way round, because of this cell: so the other way.
            left = {c: known[c] & kinds[(place + first + 1) % 2][1] for place, c in enumerate(cells)}
            name = kinds[(cells.index(cell) + first + 1) % 2][0]
            if all(left.values()):
                found.append(
                    Thought(
                        ((f"{one} and {other} take turns along the line, and ", (cell,), f" is {name}"),),
                        left,
                    )
                )
    return found


def outdone(  # noqa: PLR0913 - one question, said in full
    spot: int,
    neighbours: Sequence[int],
    known: Mapping[int, int],
    gone: Mapping[int, int],
    size: int,
    *,
    higher: bool,
) -> list[Thought]:
    """
    Give what follows where one cell, a high or a low spot, is higher or lower than all its neighbours.

    Args:
        spot: The cell.
        neighbours: The cells beside it.
        known: For each cell the mask of digits known to be left.
        gone: For the cells concluded on, the mask of digits that go.
        size: The largest digit.
        higher: Whether it is higher than they are; else it is lower.
    """

    def nearest(mask: int) -> int:  # the digit of a mask that is hardest to outdo
        return (mask & -mask).bit_length() if higher else mask.bit_length()

    def beyond(digit: int, mask: int, *, above: bool) -> int:  # the digits of a mask above or below a digit
        low = (1 << digit) - 1
        return mask & ~low if above else mask & low >> 1

    if not all(known[cell] for cell in (spot, *neighbours)):
        return []
    beaten = [nearest(known[cell]) for cell in neighbours]
    best = max(beaten) if higher else min(beaten)
    rival = neighbours[beaten.index(best)]
    its = beyond(best, known[spot], above=higher)
    edge = known[spot].bit_length() if higher else (known[spot] & -known[spot]).bit_length()
    theirs = {cell: beyond(edge, known[cell], above=not higher) for cell in neighbours}
    more, less, spot_name = ("higher", "lower", "high spot") if higher else ("lower", "higher", "low spot")
    settled = not known[rival] & (known[rival] - 1)
    than: Said = (f"the {best} beside it",) if settled else ((rival,),)
    if spot not in gone:
        what = f"what stands beside the {spot_name} is {less}"
        if not known[spot] & (known[spot] - 1):
            what = f"the {spot_name} is {edge}, and what stands beside it is {less}"
        elif edge != (size if higher else 1):
            limit = "at most" if higher else "or more"
            what = f"the {spot_name} is {edge} {limit}, and what stands beside it is {less}"
        return [Thought(((what,),), theirs)]
    if gone.keys() == {spot}:
        return [Thought(((f"the {spot_name} is {more} than ", *than),), {spot: its})]
    rest = (f"the {spot_name} is {more} than ", *than, " and all its other neighbours")
    every = (f"the {spot_name} is {more} than all its neighbours",)
    return [Thought((rest if settled and len(neighbours) > 1 else every,), {spot: its, **theirs})]


def thirds(
    cells: Sequence[int], known: Mapping[int, int], kinds: Sequence[tuple[str, str, int]]
) -> list[Thought]:
    """
    Give what follows along a line on which every third cell is of one kind, once a cell shows its kind.

    Args:
        cells: The line, in order.
        known: For each cell the mask of digits known to be left.
        kinds: Each kind by what a cell of it is, what its digits are called, and their mask; three successive
            cells are of different ones.
    """
    found = []
    for place, cell in enumerate(cells):
        for name, _, kind in kinds:
            if known[cell] and not known[cell] & ~kind:
                left = {
                    other: known[other] & (kind if (at - place) % 3 == 0 else ~kind)
                    for at, other in enumerate(cells)
                }
                said = (
                    f" is {name}, so every third cell from there is as well, and no other cell of the line is"
                )
                found.append(Thought((((cell,), said),), left, whole=True))
    return found


def thirds_fail(  # noqa: PLR0912 - a list of cases
    cells: Sequence[int],
    known: Mapping[int, int],
    kinds: Sequence[tuple[str, str, int]],
    differ: Callable[[int, int], bool] | None = None,
) -> Said | None:
    """
    Say on what such a line fails: two cells that would be of one kind and are not, or the other way round.

    Args:
        cells: The line, in order.
        known: For each cell the mask of digits left.
        kinds: As for ``thirds``.
        differ: Whether two cells differ; None where that is not asked.
    """
    turns = [cells[start::3] for start in range(3)]
    can = [[(name, k) for name, _, k in kinds if all(known[c] & k for c in turn)] for turn in turns]
    for turn, fit in zip(turns, can, strict=True):
        if not fit:
            for a, b in combinations(turn, 2):
                if not any(known[a] & k and known[b] & k for *_, k in kinds):
                    return (
                        (a,),
                        " and ",
                        (b,),
                        " would be of one kind, as every third cell is, and share none",
                    )
            return None
    for (one, fit), (other, beside) in combinations(zip(turns, can, strict=True), 2):
        if len(fit) == 1 and fit == beside:
            name, kind = fit[0]
            a, b = (next((c for c in turn if not known[c] & ~kind), turn[0]) for turn in (one, other))
            return ((a,), " and ", (b,), f" would both be {name}, out of turn")
    for name, noun, kind in kinds:
        if not any((name, kind) in fit for fit in can):
            return (f"three cells in a row would have no {noun}",)
    for turn, fit in zip(turns, can, strict=True) if differ else ():
        if len(fit) == 1:
            for count in (2, 3):
                for some in combinations(turn, count):
                    left = 0
                    for cell in some:
                        left |= known[cell] & fit[0][1]
                    apart = all(differ(a, b) for a, b in combinations(some, 2)) if differ else False
                    if apart and left.bit_count() < count:
                        digits = [place + 1 for place in range(left.bit_length()) if left >> place & 1]
                        return (some, f" would be {fit[0][0]}, and share only {listed(digits)}")
    return None


def spread(cells: Sequence[int], known: Mapping[int, int], digits: int) -> dict[int, int] | None:
    """
    Give what each cell may hold if these cells take these digits, each once.

    Args:
        cells: As many as the digits are.
        known: For each cell the mask of digits known to be left.
        digits: The mask of digits.

    Returns:
        The digits that each cell has in some such filling; None if there is none.
    """
    found = _spread(tuple([known[cell] & digits for cell in cells]), digits)
    return None if found is None else dict(zip(cells, found, strict=True))


@lru_cache(maxsize=1 << 15)
def _spread(left: tuple[int, ...], digits: int) -> tuple[int, ...] | None:
    """Give the same for cells by their places; what is asked for once is asked for again in other words."""
    found = [0] * len(left)
    for place, mask in enumerate(left):
        for bit in _bits(mask):
            if found[place] & bit:
                continue
            rest = [other for other in range(len(left)) if other != place]
            filling = _match(rest, left, digits & ~bit)
            if filling is not None:
                for other, given in {**filling, place: bit}.items():
                    found[other] |= given
    return tuple(found) if all(found) else None


def _bits(mask: int) -> list[int]:
    return [1 << place for place in range(mask.bit_length()) if mask >> place & 1]


def _match(places: Sequence[int], left: Sequence[int], digits: int) -> dict[int, int] | None:
    """Give the places one digit each by augmenting paths; None if it cannot be done."""
    taken: dict[int, int] = {}

    def give(place: int, seen: set[int]) -> bool:
        for bit in _bits(left[place] & digits):
            if bit not in seen:
                seen.add(bit)
                if bit not in taken or give(taken[bit], seen):
                    taken[bit] = place
                    return True
        return False

    if not all(give(place, set()) for place in places):
        return None
    return {place: bit for bit, place in taken.items()}
