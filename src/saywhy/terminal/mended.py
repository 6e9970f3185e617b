"""The cards and objects of ``repair`` and ``trim``: without reveal they name neither cell nor digit."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

from saywhy.files import write
from saywhy.setting.changes import Change, shown, told
from saywhy.setting.trim_parts import Trimmed, Trimming
from saywhy.terminal.about import counted, heading, measures
from saywhy.terminal.card import Card
from saywhy.terminal.verdict import VERDICTS

if TYPE_CHECKING:
    from saywhy.puzzle import Puzzle
    from saywhy.reasoning.profile import Profile
    from saywhy.setting.repair import Mending, Repair

#: Ways of mending, and sets to alter, that stand on a card that reveals.
MOST = 12


def repair_card(found: Repair, source: str, *, reveal: bool, certified: bool | None) -> Card:
    """Give the card of a repair."""
    puzzle = found.puzzle
    card = Card(heading(puzzle, source), True if found.fine or found.mendings else None)
    card.add("verdict", VERDICTS[found.verdict])
    if found.verdict == "unique" and not found.fine:
        card.add("", "but it is not the solution that was meant")
    card.add("size", measures(puzzle))
    if found.wrong:
        card.add("wrong", wrong_words(found))
    if found.size is not None:
        card.add("mending", [fewest(found), *ways(found)])
    elif found.fine:
        card.add("mending", "there is nothing to mend")
    elif found.hopeless:
        card.add("mending", "the rules of the grid alone leave no solution: no clue or given is to blame")
    else:
        at_least = f"; it takes {found.least} changes or more" if found.least > 1 else ""
        card.add("mending", f"none was found in the time allowed{at_least}")
    for number, mending in enumerate(found.proposals, 1):
        card.add("proposals" if number == 1 else "", _proposal(number, mending, puzzle, reveal=reveal))
    if certified is not None:
        good = "every proposal has one solution by an independent solver too"
        card.add("certified", good if certified else "an independent solver could not confirm every proposal")
    if reveal and found.wrong:
        card.add("to alter", _wrong_shown(found))
    if found.mendings and not reveal:
        card.add("", "No cell or digit is named here. If the puzzle is yours, --reveal shows the changes.")
    return card


def fewest(found: Repair) -> str:
    """Say how many changes it takes, and whether that is proved."""
    size = counted(found.size or 0, "change")
    if found.proved:
        return f"{size}: fewer are proved not to do"
    return f"{size}: the fewest found; {found.least} at least are needed"


def ways(found: Repair) -> list[str]:
    """Say in how many ways, by sort: no cell, no digit."""
    counts = Counter(told(m.changes) for m in found.mendings if len(m.changes) == found.size)
    lines = [
        f"{text} ({many} ways)" if many > 1 else f"{text} (1 way)" for text, many in counts.most_common(8)
    ]
    return lines if found.all_found else [*lines, "there may be more ways"]


def _proposal(number: int, mending: Mending, puzzle: Puzzle, *, reveal: bool) -> list[str]:
    parts = [told(mending.changes)]
    if mending.foreign:
        parts.append("though the puzzle had no givens")
    if mending.lacks:
        parts.append("the pattern of the givens is left uneven")
    parts.append(effort_words(mending.effort))
    lines = [f"{number}. {'; '.join(part for part in parts if part)}"]
    if reveal:
        lines += [f"   {shown(change, puzzle)}" for change in mending.changes]
    return lines


def effort_words(effort: Profile | None) -> str:
    """Say an effort in a few words; nothing where it is not known."""
    if effort is None:
        return ""
    what_ifs = f", {counted(effort.what_ifs, 'what-if')}" if effort.what_ifs else ""
    return f"{effort.band}, {counted(effort.beats, 'beat')}{what_ifs}"


def wrong_words(found: Repair) -> list[str]:
    """Say how much has to be altered where there is no solution."""
    first = found.wrong[0]
    parts = []
    if first.clues:
        parts.append(counted(len(first.clues), "clue"))
    if first.givens:
        parts.append(counted(len(first.givens), "given"))
    many = len(found.wrong)
    if many == 1:
        only = "; no other so small set would do" if found.wrong_all else ""
        return [f"{' and '.join(parts)} to alter{only}"]
    size = counted(len(first.clues) + len(first.givens), "clue or given")
    size = size.replace("clue or givens", "clues or givens")
    return [f"{size} to alter, which can be chosen in {many}{'' if found.wrong_all else ' or more'} ways"]


def _wrong_shown(found: Repair) -> list[str]:
    lines = []
    for wrong in found.wrong[:MOST]:
        names = [f"clue {index + 1}{_line(found.puzzle, index)}" for index in wrong.clues]
        names += [
            f"the given {found.puzzle.givens[cell]} in {found.puzzle.grid.name(cell)}"
            for cell in wrong.givens
        ]
        text = " and ".join(names)
        if wrong.unique:
            text += f": one solution with {_said(wrong.unique)}"
        elif wrong.many:
            text += f": several solutions with {_said(wrong.many)}, one with none"
        lines.append(text)
    if len(found.wrong) > MOST:
        lines.append(f"and {len(found.wrong) - MOST} other ways")
    return lines


def _line(puzzle: Puzzle, index: int) -> str:
    line = puzzle.clues[index].line
    return "" if line is None else f" (line {line})"


def _said(changes: tuple[Change, ...]) -> str:
    """Say what a clue or given would have to say: ``12 or 15``."""
    words = []
    for change in changes:
        if change.givens:
            words.append(str(change.givens[0][1]))
        elif change.clues and (clue := change.clues[0][1]) is not None:
            digits = " ".join(map(str, clue.digits))
            turned = "it turned round" if change.kind == "turn-clue" else clue.rule
            words.append(digits or (turned if clue.value is None else str(clue.value)))
    words = list(dict.fromkeys(words))
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"


def repair_json(found: Repair, source: str, *, reveal: bool, certified: bool | None) -> dict[str, Any]:
    """Give the object that ``repair --json`` prints."""
    counts = Counter(
        tuple(sorted(change.kind for change in mending.changes))
        for mending in found.mendings
        if len(mending.changes) == found.size
    )
    held: dict[str, Any] = {
        "file": source,
        "verdict": found.verdict,
        "changes": found.size,
        "proved": found.proved,
        "at_least": found.least,
        "ways": [{"kinds": list(kinds), "count": many} for kinds, many in counts.most_common()],
        "all_ways": found.all_found,
        "proposals": [_mending_json(mending, found.puzzle, reveal=reveal) for mending in found.proposals],
    }
    if found.verdict == "none":
        first = found.wrong[0] if found.wrong else None
        size = None if first is None else len(first.clues) + len(first.givens)
        held["to_alter"] = {"size": size, "sets": len(found.wrong), "all": found.wrong_all}
    if reveal:
        held["mendings"] = [
            [shown(change, found.puzzle) for change in mending.changes] for mending in found.mendings
        ]
        held["wrong"] = [
            {
                "clues": list(wrong.clues),
                "givens": found.puzzle.grid.names(wrong.givens),
                "one_solution": [shown(change, found.puzzle) for change in wrong.unique],
                "several": [shown(change, found.puzzle) for change in wrong.many],
            }
            for wrong in found.wrong
        ]
    if certified is not None:
        held["certified"] = certified
    return held


def _mending_json(mending: Mending, puzzle: Puzzle, *, reveal: bool) -> dict[str, Any]:
    held: dict[str, Any] = {
        "kinds": [change.kind for change in mending.changes],
        "keeps_pattern": not mending.lacks,
        "new_sort": mending.foreign > 0,
        "effort": None if mending.effort is None else mending.effort.as_json(),
    }
    if reveal:
        held["changes"] = [shown(change, puzzle) for change in mending.changes]
        held["puzzle"] = write(mending.puzzle)
    return held


def trim_card(found: Trimmed, source: str, *, reveal: bool, certified: bool | None) -> Card:
    """Give the card of a trimming."""
    puzzle = found.puzzle
    card = Card(heading(puzzle, source), {"unique": True, "undecided": None}.get(found.verdict, False))
    card.add("verdict", VERDICTS[found.verdict])
    card.add("size", measures(puzzle))
    if found.verdict != "unique":
        card.add(
            "trimming", "only a puzzle with one solution can be trimmed: mend it first with saywhy repair"
        )
        return card
    spare = [counted(len(found.spare_givens), "given"), counted(len(found.spare_clues), "clue")]
    card.add("to spare", f"{spare[0]} and {spare[1]}, each taken alone")
    if found.spare_rules:
        card.add("", f"not needed at all, and left: {', '.join(found.spare_rules)}")
    if found.effort is not None:
        card.add("effort", f"{effort_words(found.effort)} as it stands")
    if found.unmet:
        card.add("wish", found.unmet)
    shown = found.trimmings[: MOST if reveal else 5]
    for number, trimming in enumerate(shown, 1):
        card.add("trimmed" if number == 1 else "", _trimming(number, trimming, puzzle, reveal=reveal))
    if len(found.trimmings) > len(shown):
        many = f"{'' if found.proved else 'at least '}{len(found.trimmings)} ways in all"
        card.add("", f"{many}; --json lists them{'' if reveal else ', --reveal the first 12'}")
    measured = [trimming.effort is not None for trimming in found.trimmings]
    if found.effort is not None and not all(measured):
        first = sum(measured)
        those = (
            "of none of them"
            if not first
            else "of the first alone"
            if first == 1
            else f"of the first {first}"
        )
        card.add("", f"The effort is measured {those}. For way N: -o OUT --take N, then saywhy check OUT.")
    elif not found.trimmings and not found.unmet:
        unsure = "" if found.proved else " so far as was seen in the time allowed"
        card.add("trimmed", f"nothing may go{unsure}")
    if found.trimmings and not found.proved:
        card.add("", "That no more may go was not proved.")
    if certified is not None:
        good = "every trimming has the same one solution by an independent solver"
        card.add("certified", good if certified else "an independent solver could not confirm every trimming")
    if found.trimmings and not reveal:
        card.add("", "No cell is named here. If the puzzle is yours, --reveal shows what goes.")
    return card


def _trimming(number: int, trimming: Trimming, puzzle: Puzzle, *, reveal: bool) -> list[str]:
    left = sum(digit > 0 for digit in trimming.puzzle.givens)
    taken = [("given", len(trimming.givens)), ("clue", len(trimming.clues))]
    gone = f"without {' and '.join(counted(many, noun) for noun, many in taken if many)}"
    parts = [gone, f"{counted(left, 'given')} left", trimming.pattern, effort_words(trimming.effort)]
    lines = [f"{number}. {'; '.join(part for part in parts if part)}"]
    if reveal and trimming.givens:
        lines.append(f"   givens: {' '.join(puzzle.grid.names(trimming.givens))}")
    if reveal and trimming.clues:
        names = (f"{index + 1}{_line(puzzle, index)}" for index in trimming.clues)
        lines.append(f"   clues: {', '.join(names)}")
    return lines


def trim_json(found: Trimmed, source: str, *, reveal: bool, certified: bool | None) -> dict[str, Any]:
    """Give the object that ``trim --json`` prints."""
    held: dict[str, Any] = {
        "file": source,
        "verdict": found.verdict,
        "spare": {"givens": len(found.spare_givens), "clues": len(found.spare_clues)},
        "spare_rules": list(found.spare_rules),
        "effort": None if found.effort is None else found.effort.as_json(),
        "proved": found.proved,
        "unmet": found.unmet,
        "trimmings": [_trimming_json(trimming, found.puzzle, reveal=reveal) for trimming in found.trimmings],
    }
    if reveal:
        held["spare"] = {
            "givens": found.puzzle.grid.names(found.spare_givens),
            "clues": list(found.spare_clues),
        }
    if certified is not None:
        held["certified"] = certified
    return held


def _trimming_json(trimming: Trimming, puzzle: Puzzle, *, reveal: bool) -> dict[str, Any]:
    held: dict[str, Any] = {
        "gone": {"givens": len(trimming.givens), "clues": len(trimming.clues)},
        "left": {
            "givens": sum(digit > 0 for digit in trimming.puzzle.givens),
            "clues": len(trimming.puzzle.clues),
        },
        "pattern": trimming.pattern,
        "effort": None if trimming.effort is None else trimming.effort.as_json(),
    }
    if reveal:
        held["gone"] = {"givens": puzzle.grid.names(trimming.givens), "clues": list(trimming.clues)}
        held["puzzle"] = write(trimming.puzzle)
    return held
