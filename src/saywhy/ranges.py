"""What sums are possible at all, and the error for a printed number that is not."""

from __future__ import annotations

from saywhy.rule import RuleError


def distinct_range(count: int, size: int) -> tuple[int, int]:
    """Give the least and the most that this many different digits of 1 to size sum to."""
    return count * (count + 1) // 2, count * (2 * size - count + 1) // 2


def loose_range(count: int, size: int) -> tuple[int, int]:
    """
    Give the least and the most that this many cells of a grid sum to.

    Digits may repeat, but a grid holds each of them only ``size`` times.
    """
    whole, left = divmod(count, size)
    least = size * whole * (whole + 1) // 2 + left * (whole + 1)
    return least, count * (size + 1) - least


def shown(number: int) -> str:
    """Give a stranger's number as text, one of monstrous length cut short."""
    return str(number) if abs(number) < 10**12 else "a number of more than twelve figures"


def check_range(field: str, number: int, least: int, most: int, what: str) -> None:
    """
    Check a printed number.

    Args:
        field: The field it came from.
        number: The number.
        least: Smallest allowed.
        most: Greatest allowed; may be below ``least``, and then nothing is allowed.
        what: What the number is, with its article: ``the total of 3 cells``.

    Raises:
        RuleError: It is out of range; the message names the range.
    """
    if least <= number <= most:
        return
    if least > most:
        raise RuleError(field, f"{what} has no possible value on this grid", "Remove the clue")
    room = f"{least} to {most}" if least < most else f"{least} and nothing else"
    mend = f"Write a number from {least} to {most}" if least < most else f"Write {least}"
    raise RuleError(field, f"{what} can be {room}, and {shown(number)} came", mend)


def check_length(rule: str, count: int, most: int, why: str) -> None:
    """
    Check that a clue has no more cells than its rule can fill.

    Raises:
        RuleError: It has.
    """
    if count > most:
        what = f"{rule} has {count} cells, and {most} is the most on this grid: {why}"
        raise RuleError("cells", what, "Name fewer cells")
