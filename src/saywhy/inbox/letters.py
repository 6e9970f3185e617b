"""
A reply draft to each setter, in plain text for any mail program.

A letter about a puzzle with one solution says nothing of how it solves. One about a puzzle that is not fit
names cells, so it goes into a folder of its own, and a host who may still want to solve the mended puzzle
sends it unread.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from textwrap import fill

from saywhy.files.titles import plain
from saywhy.inbox.judgement import MOST_CELLS, Judgement
from saywhy.inbox.likeness import Likeness
from saywhy.reasoning.profile import whole_minutes

WIDTH = 78


@dataclass(frozen=True)
class Letter:
    """
    A reply draft.

    Attributes:
        kind: ``for a look``, ``not unique``, ``no solution``, ``to mend``, ``not decided`` or ``again``.
        text: What it says.
        spoils: Whether it names cells.
    """

    kind: str
    text: str
    spoils: bool = False


def letter(held: Judgement, like: Likeness) -> Letter | None:
    """Give the reply draft; None where the host has to settle first whose puzzle it is."""
    if not like.own:
        return None
    if like.again:
        return Letter("again", _whole(held, _again(like)))
    kind, spoils, paragraphs = _KINDS[held.verdict]
    return Letter(kind, _whole(held, paragraphs(held)), spoils)


def _whole(held: Judgement, paragraphs: Sequence[str]) -> str:
    hello = f"Hello {plain(held.setter)}," if held.setter else "Hello,"
    return "\n\n".join([f"About: {plain(held.name)}", hello, *paragraphs]) + "\n"


def _said(text: str) -> str:
    return fill(text, WIDTH, break_long_words=False, break_on_hyphens=False)


def _listed(items: Sequence[str]) -> str:
    """Give items one a line, long ones hanging."""
    return "\n".join(
        fill(item, WIDTH, initial_indent="  - ", subsequent_indent="    ", break_long_words=False)
        for item in items
    )


def _thanks(held: Judgement) -> str:
    return f'Thank you for "{plain(held.title)}".' if held.title else "Thank you for your puzzle."


def _fit(held: Judgement) -> list[str]:
    said = "It has exactly one solution, so it goes on the pile for a look."
    if held.effort is not None:
        likely = whole_minutes(held.effort["minutes"]["likely"])
        minutes = "1 minute" if likely == 1 else f"{likely} minutes"
        said += f" By our measure it is {held.effort['band']}, with about {minutes} to talk through."
    return [
        _said(f"{_thanks(held)} {said}"),
        _said("This is no promise yet that it will air. If it may, please say so in your answer, and how you "
              "would like to be credited."),
    ]  # fmt: skip


def _not_unique(held: Judgement) -> list[str]:
    spoils = held.spoils
    cells = "one cell" if held.differ == 1 else f"{held.differ} cells"
    parts = [
        _said(f"{_thanks(held)} It does not have one solution only: at least two fillings keep every rule. "
              f"The two that we found differ in {cells}:"),
        _listed(_in_rows(spoils.differ)),
    ]  # fmt: skip
    if held.differ > MOST_CELLS:
        parts[-1] += f"\n  - and {held.differ - MOST_CELLS} more"
    if spoils.repair:
        one = len(spoils.repair) == 1
        start = "One change settles it" if one else f"These {len(spoils.repair)} changes together settle it"
        fewest = "" if one or not spoils.proved else " (fewer are proved not to do)"
        parts += [
            f"{start}{fewest}:",
            _listed(spoils.repair),
            _said("There may be others that you like better. We would be glad to have it again."),
        ]
    else:
        parts.append(_said("We found no small change that settles it. We would be glad to have it again."))
    return parts


def _in_rows(differ: Sequence[str]) -> list[str]:
    """Put the cells of a row of the grid on one line."""
    rows: dict[str, list[str]] = {}
    for said in differ:
        rows.setdefault(said.partition("c")[0], []).append(said)
    return [", ".join(said) for said in rows.values()]


def _no_solution(held: Judgement) -> list[str]:
    spoils = held.spoils
    if not spoils.clash:
        return [
            _said(f"{_thanks(held)} No filling keeps every rule. We could not narrow down what clashes; "
                  "please check it against your solution, and send it again."),
        ]  # fmt: skip
    parts = [
        _said(f"{_thanks(held)} No filling keeps every rule: these cannot all hold together."),
        _listed(spoils.clash),
    ]
    if spoils.smallest:
        parts.append("No smaller clash is there.")
    parts.append(_said("Please check them against your solution, and send it again."))
    return parts


def _to_mend(held: Judgement) -> list[str]:
    this = "this" if len(held.problems) == 1 else "these things"
    return [
        _said("Thank you for your file. It does not read as a puzzle yet. "
              f"Please mend {this}, and send it again:"),
        _listed([plain(str(problem)) for problem in held.problems]),
    ]  # fmt: skip


def _not_decided(held: Judgement) -> list[str]:
    return [
        _said(f"{_thanks(held)} Our check did not come to an end in the time that it gives each puzzle, so "
              "we cannot say yet whether it has exactly one solution. That need not be a fault of it: we "
              "will give it more time. If you know that a given or clue was left out, please send it again."),
    ]  # fmt: skip


def _again(like: Likeness) -> list[str]:
    before = f"the file {plain(like.same.name)}" if like.same is not None else like.shelf[0]
    return [
        _said(f"Thank you for this puzzle. We have it already: it is the same as {before}, perhaps turned, "
              "mirrored, relabelled or told in another order. There is nothing that you need do."),
    ]  # fmt: skip


#: For each verdict the kind of letter, whether it names cells, and what it says.
_KINDS: dict[str, tuple[str, bool, Callable[[Judgement], list[str]]]] = {
    "unique": ("for a look", False, _fit),
    "many": ("not unique", True, _not_unique),
    "none": ("no solution", True, _no_solution),
    "unreadable": ("to mend", False, _to_mend),
    "undecided": ("not decided", False, _not_decided),
}
