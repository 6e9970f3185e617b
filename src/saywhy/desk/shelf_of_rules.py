"""The rules as the drawing page offers them: how each is drawn and what it takes."""

from __future__ import annotations

import sys

import msgspec

from saywhy.rule import ClueRule, Form, PairRule, Rule
from saywhy.rules import all_rules

_GROUPS = {
    Form.LINE: "Lines",
    Form.AREA: "Areas",
    Form.CELLS: "Areas",
    Form.GROUPS: "Areas",
    Form.CELL: "Single cells",
    Form.PAIR: "Between cells",
    Form.CORNER: "Between cells",
    Form.OUTSIDE: "Outside the grid",
    Form.DIAGONAL: "Outside the grid",
}
_CELLS = (
    "Select the cells, then press Enter. By keyboard: Shift and the arrows; for a cell further off, "
    "Ctrl and the arrows, then Space."
)
_BESIDE = "Press a place beside the grid. By keyboard: Tab from the board, arrows to the place, then Enter."
_HOW = {
    Form.LINE: "Draw through the cells with the pointer. By keyboard: Shift and the arrows; for a diagonal "
    "step, Ctrl and the arrows to the next cell, then Space; at the end, Enter.",
    Form.AREA: _CELLS,
    Form.CELLS: _CELLS,
    Form.GROUPS: "Select the cells of a group and press Enter; again for each group; then finish.",
    Form.CELL: "Press a cell, or go to it and press Enter.",
    Form.PAIR: "Press the border of two cells, or select the two, as by Shift and an arrow, and press Enter.",
    Form.CORNER: "Press a corner, or select the four cells around it and press Enter.",
    Form.OUTSIDE: _BESIDE,
    Form.DIAGONAL: _BESIDE,
}
#: Order of the groups on the page.
ORDER = ("Lines", "Areas", "Between cells", "Single cells", "Outside the grid", "Whole grid")


class RuleCard(msgspec.Struct, frozen=True, kw_only=True):
    """
    One rule.

    Attributes:
        form: How its cells lie (``rule.Form``); ``grid`` for a rule of the whole grid.
        takes: Fields that it can have.
        needs: Fields that it must have.
        fewest: Fewest cells.
        all_given: Whether a puzzle can say that all of them are given.
        meaning: What it means, one sentence or two.
    """

    name: str
    title: str
    group: str
    form: str
    takes: list[str]
    needs: list[str]
    fewest: int
    all_given: bool
    how: str
    meaning: str


def rule_cards() -> list[RuleCard]:
    """Give every rule that can be drawn, group by group."""
    cards = [_card(rule) for rule in all_rules().values() if rule.name != "all-given"]
    return sorted(cards, key=lambda card: (ORDER.index(card.group), card.title))


def _card(rule: type[Rule]) -> RuleCard:
    clue = issubclass(rule, ClueRule)
    form = rule.form if issubclass(rule, ClueRule) else None
    return RuleCard(
        name=rule.name,
        title=rule.title,
        group=_GROUPS[form] if form is not None else "Whole grid",
        form=form.value if form is not None else "grid",
        takes=sorted(rule.takes | rule.needs) if issubclass(rule, ClueRule) else [],
        needs=sorted(rule.needs) if issubclass(rule, ClueRule) else [],
        fewest=rule.fewest if issubclass(rule, ClueRule) else 0,
        all_given=issubclass(rule, PairRule) and not rule.needs,
        how=_HOW[form] if form is not None and clue else "It holds for the whole grid.",
        meaning=_meaning(rule),
    )


def _meaning(rule: type[Rule]) -> str:
    """Give the section *Meaning* of the rule's own file as one line."""
    text = sys.modules[rule.__module__].__doc__ or ""
    _, _, after = text.partition("Meaning:\n")
    lines = []
    for line in after.splitlines():
        if line and not line.startswith("    "):
            break
        lines.append(line.strip())
    return " ".join(" ".join(lines).split())
