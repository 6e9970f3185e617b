"""
What a rule can say for itself: its own reason for what a clue leaves its cells.

The reasoning finds and proves a step; a rule's thought only words it, and is dropped where it does not
show all that the step concludes.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

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
    found = dict.fromkeys(cells, 0)
    for cell in cells:
        for place in range(digits.bit_length()):
            bit = 1 << place
            if digits & known[cell] & bit and not found[cell] & bit:
                rest = [other for other in cells if other != cell]
                filling = _match(rest, known, digits & ~bit)
                if filling is not None:
                    for other, mask in {**filling, cell: bit}.items():
                        found[other] |= mask
    return found if all(found.values()) else None


def _match(cells: list[int], known: Mapping[int, int], digits: int) -> dict[int, int] | None:
    """Give the cells one digit each by augmenting paths; None if it cannot be done."""
    taken: dict[int, int] = {}

    def give(cell: int, seen: set[int]) -> bool:
        for place in range(digits.bit_length()):
            bit = 1 << place
            if known[cell] & digits & bit and bit not in seen:
                seen.add(bit)
                if bit not in taken or give(taken[bit], seen):
                    taken[bit] = cell
                    return True
        return False

    if not all(give(cell, set()) for cell in cells):
        return None
    return {cell: bit for bit, cell in taken.items()}
