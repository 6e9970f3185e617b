"""What a new plan changes of an earlier one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from saywhy.plan.series import Line, Series, day_words


@dataclass(frozen=True)
class Change:
    """
    What becomes of one puzzle.

    Attributes:
        candidate: Its number.
        kind: ``kept`` stays on its day; ``moved``; ``new`` was not planned; ``off`` is not any more.
        before: Its day in the earlier plan; None where it had none.
        after: Its day now; None where it has none.
    """

    candidate: int
    kind: Literal["kept", "moved", "new", "off"]
    before: date | None
    after: date | None

    def words(self, series: Series) -> str:
        """Say it in a sentence without its full stop."""
        called = series.candidates[self.candidate].called
        if self.kind == "off" and self.before is not None:
            return f"{called} leaves the plan, where it had {day_words(self.before)}"
        if self.kind == "moved" and self.before is not None and self.after is not None:
            return f"{called} moves from {day_words(self.before)} to {day_words(self.after)}"
        return f"{called} {'is new' if self.kind == 'new' else 'stays'}: {day_words(self.after or date.min)}"


def changes(series: Series, line: Line) -> list[Change]:
    """Give what becomes of every puzzle that was planned or is, by day."""
    after = {
        number: series.slots[slot].day
        for slot, number in enumerate(line)
        if number is not None and slot not in series.fixed
    }
    found = []
    for number in sorted({*after, *series.planned}):
        old, new = series.planned.get(number), after.get(number)
        kind: Literal["kept", "moved", "new", "off"] = (
            "new" if old is None else "off" if new is None else "kept" if old == new else "moved"
        )
        found.append(Change(number, kind, old, new))
    return sorted(found, key=lambda held: (held.after or held.before or date.max, held.candidate))
