"""Read a clue that has no cells yet."""

from __future__ import annotations

from typing import Any

from msgspec import UnsetType

from saywhy.errors import Problem
from saywhy.files import limits
from saywhy.files.boards import shown
from saywhy.files.fields import convert, meant
from saywhy.files.layout import Layout
from saywhy.rule import ClueRule, PairRule
from saywhy.rules import clue_rules, find
from saywhy.setting.compose.fields import MOST_SHAPES, OpenFields, Wrong, problems_of, span, symmetry
from saywhy.setting.compose.sketch import LENGTHS, LONG, OpenClue
from saywhy.setting.compose.values import can_be_open

#: Why a number cannot be read off a grid, and how to mend it.
USUAL = ("this number is part of what the rule means, so it cannot be read off a grid", "Write the number")
MOST_DIGITS = 4  #: of a quadruple


def read_open_clue(
    number: int, table: dict[str, Any], size: int, layout: Layout, problems: list[Problem]
) -> OpenClue | None:
    """
    Read one clue with ``cells = "?"``; what is wrong is added to ``problems``.

    Args:
        number: Its place among the file's clues, from 0.
        table: As the TOML parser gives it.
        size: Of the grid.
        layout: The lines.
        problems: Added to.
    """

    def line(field: str) -> int | None:
        return layout.clue(number, field)

    fields, wrong_fields = convert(table, OpenFields, f"clue {number + 1}", line)
    problems += wrong_fields
    if fields is None:
        return None
    rule = find(fields.rule)
    name = fields.rule if rule is not None else shown(fields.rule)
    wrong = problems_of(f"clue {number + 1} ({name})", line, problems)
    if rule is None or not issubclass(rule, ClueRule):
        mend = meant(fields.rule, clue_rules(), "Name a rule of the rules page")
        wrong("rule", f"there is no rule {shown(fields.rule)} for a clue", mend)
        return None
    if rule.form not in LENGTHS:
        wrong("cells", f"no places can be made up for a {rule.title.lower()}", "Draw its cells")
        return None
    told = len(problems)
    least, most = _length(fields.length, rule, 2 * size, wrong)
    value, value_open = _value(fields.value, rule, wrong)
    made = OpenClue(
        rule.name,
        _shapes(fields.shapes, rule, wrong),
        least,
        most,
        symmetry(fields.symmetry, wrong),
        value,
        value_open,
        _digits(fields.digits, rule, wrong),
    )
    return made if len(problems) == told else None


def _length(held: int | str | UnsetType, rule: type[ClueRule], longest: int, wrong: Wrong) -> tuple[int, int]:
    least, most = (max(length, rule.fewest) for length in LENGTHS[rule.form])
    if isinstance(held, UnsetType):
        return least, most
    if rule.form not in LONG:
        wrong("length", "it has one length only", "Remove length")
        return least, most
    found = span(held)
    if found is None or not rule.fewest <= found[0] <= found[1] <= longest:
        wrong("length", f"a length from {rule.fewest} to {longest} was expected", 'Write length = "3-5"')
        return least, most
    return found


def _shapes(held: int | str, rule: type[ClueRule], wrong: Wrong) -> int:
    if held == "all" and issubclass(rule, PairRule) and not rule.needs:
        return 0
    if isinstance(held, int) and 1 <= held <= MOST_SHAPES:
        return held
    either = ', or "all",' if issubclass(rule, PairRule) else ""
    what = f"a number of shapes from 1 to {MOST_SHAPES}{either} was expected"
    wrong("shapes", what, "Write shapes = 4, for example")
    return 1


def _value(held: int | str | UnsetType, rule: type[ClueRule], wrong: Wrong) -> tuple[int | None, bool]:
    if isinstance(held, UnsetType):
        return None, "value" in rule.needs
    if "value" not in rule.takes | rule.needs:
        wrong("value", f"{rule.name} takes no value", "Remove value")
    elif held == "?":
        if not can_be_open(rule):
            wrong("value", *USUAL)
        return None, True
    elif isinstance(held, int) and 0 <= held <= limits.LARGEST_NUMBER:
        return held, False
    else:
        wrong("value", "it is no number", 'Write a number, or "?"')
    return None, False


def _digits(held: str, rule: type[ClueRule], wrong: Wrong) -> int:
    if "digits" not in rule.needs:
        if held:
            wrong("digits", f"{rule.name} takes no digits", "Remove digits")
    elif not held or held.strip("?") or len(held) > MOST_DIGITS:
        wrong("digits", f"a text of one to {MOST_DIGITS} ? was expected", 'Write digits = "??"')
    return len(held)
