"""Runs the contenders side by side, puzzle by puzzle, so that a busy machine troubles all alike."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from benchmarks.contenders import CONTENDERS, Run
from saywhy.puzzle import Puzzle


@dataclass(frozen=True)
class Measured:
    """What one puzzle took: a run for each contender, the engine's being the middle one of several."""

    name: str
    family: str
    runs: dict[str, Run]


def family(puzzle: Puzzle) -> str:
    """Name a puzzle's family: its one kind of clue or rule, ``classic`` or ``mixed``."""
    kinds = sorted({clue.rule for clue in puzzle.clues} | set(puzzle.rules))
    return {0: "classic", 1: kinds[0] if kinds else ""}.get(len(kinds), "mixed")


def measure(
    name: str, puzzle: Puzzle, contenders: Sequence[str], repeats: int = 5, seconds: float = 120
) -> Measured:
    """
    Measure one puzzle.

    Raises:
        RuntimeError: Two contenders differ on the number of solutions.
    """
    runs = {}
    for contender in contenders:
        call = CONTENDERS[contender]
        times = repeats if contender == "engine" else 1
        several = sorted((call(puzzle, seconds) for _ in range(times)), key=lambda run: run.solve_s)
        runs[contender] = several[len(several) // 2]
    told = {run.solutions for run in runs.values() if run.solutions >= 0}
    if len(told) > 1:
        raise RuntimeError(f"{name}: the solvers differ: { {c: r.solutions for c, r in runs.items()} }")
    return Measured(name, family(puzzle), runs)


def geometric_mean(values: Sequence[float]) -> float:
    """Give the geometric mean; values of 0 count as a microsecond."""
    return math.exp(sum(math.log(max(value, 1e-6)) for value in values) / len(values))


def report(measured: Sequence[Measured], contenders: Sequence[str]) -> str:
    """Give the tables: times of each contender, how many times slower than the engine, and by family."""
    parts = [
        "CPU milliseconds to prove",
        _head("", ("mean*", "median", "p90", "worst", "with model: mean*", "worst")),
    ]
    for contender in contenders:
        solve = sorted(1e3 * one.runs[contender].solve_s for one in measured)
        whole = [1e3 * (one.runs[contender].solve_s + one.runs[contender].build_s) for one in measured]
        p90 = solve[min(len(solve) - 1, int(len(solve) * 0.9))]
        row = (
            geometric_mean(solve),
            solve[len(solve) // 2],
            p90,
            solve[-1],
            geometric_mean(whole),
            max(whole),
        )
        parts.append(_row(contender, row, "{:.2f}"))
    others = [contender for contender in contenders if contender != "engine"]
    for title, time in (
        ("Times slower than the engine, solving alone", lambda run: run.solve_s),
        ("Times slower than the engine, models built by both", lambda run: run.build_s + run.solve_s),
        ("Times slower than the engine solving, the other's model built as well", None),
    ):
        parts += ["", title, _head("", ("mean*", "median", "least", "least on"))]
        for contender in others:
            parts.append(_ratios(measured, contender, time))
    parts += ["", "By family, mean* of CPU milliseconds solving", _head("", contenders)]
    for kind in sorted({one.family for one in measured}):
        of_kind = [one for one in measured if one.family == kind]
        row = [geometric_mean([1e3 * one.runs[c].solve_s for one in of_kind]) for c in contenders]
        parts.append(_row(f"{kind} ({len(of_kind)})", row, "{:.2f}"))
    parts += ["", "* geometric"]
    return "\n".join(parts)


def _ratios(measured: Sequence[Measured], contender: str, time: Callable[[Run], float] | None) -> str:
    def ratio(one: Measured) -> float:
        ours, theirs = one.runs["engine"], one.runs[contender]
        if time is None:
            return (theirs.build_s + theirs.solve_s) / max(ours.solve_s, 1e-6)
        return time(theirs) / max(time(ours), 1e-6)

    ratios = sorted((ratio(one), one.name) for one in measured)
    values = [value for value, _ in ratios]
    row = _row(contender, (geometric_mean(values), values[len(values) // 2], values[0]), "{:.1f}")
    return f"{row}  {ratios[0][1]}"


def _head(first: str, names: Sequence[str]) -> str:
    return f"{first:<22}" + "".join(f"{name:>19}" for name in names)


def _row(name: str, values: Sequence[float], form: str) -> str:
    return f"{name:<22}" + "".join(f"{form.format(value):>19}" for value in values)
