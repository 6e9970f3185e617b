"""What the review says of solves whose behaviour is known."""

from __future__ import annotations

import json
import random
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from msgspec import structs

from saywhy.cli import run
from saywhy.errors import NotAllowedError
from saywhy.files import read
from saywhy.recording.acts import (
    AnyAct,
    Erase,
    Header,
    Options,
    Pause,
    Place,
    Redo,
    Resume,
    Sum,
    Tie,
    Trait,
    Undo,
)
from saywhy.recording.log import Recording, read_bytes, written
from saywhy.recording.review import Review, review, steps_json
from saywhy.second_opinion import certify
from tests.recording.figures import PUZZLES, compare, confirmed
from tests.recording.simulated import Simulated, Solver

HARBOUR = Path(__file__).parents[2] / "examples" / "harbour-lights.toml"


@cache
def solver(name: str = "harbour") -> Solver:
    path = HARBOUR if name == "harbour" else PUZZLES / f"{name}.toml"
    return Solver(read(path)[0])


def reviewed(by: Solver, acts: list[AnyAct]) -> Review:
    return review(by.puzzle, by.recording(Simulated("by hand", acts)))


@cache
def followed() -> Review:
    return review(solver().puzzle, solver().recording(solver().follower()))


def test_all_of_a_perfect_solve_is_forced_and_nothing_was_late() -> None:
    assert {move.verdict for move in followed().moves} == {"forced"}
    assert not followed().late
    assert followed().finished


@pytest.mark.parametrize("name", ["thermometer", "skyscraper"])
def test_what_was_planted_is_found_and_no_more(name: str) -> None:
    by, chance = solver(name), random.Random(name)
    for solve in (
        by.follower(),
        by.note_taker(),
        by.errs(chance),
        by.guesser(chance, 1),
        by.misses(chance),
        by.rests(chance),
    ):
        if solve is None:
            continue
        counts = compare(solve, review(by.puzzle, by.recording(solve)))
        for sort in ("guess", "error", "late", "rest"):
            assert counts[f"{sort} found"] == counts[f"{sort} planted"], (solve.kind, sort)
            assert not counts[f"{sort} false"], (solve.kind, sort)


def test_a_rest_before_the_next_move_is_a_stall_and_no_missed_opening() -> None:
    by = solver()
    name = by.puzzle.grid.name
    for number in range(2, len(by.of_path), 6):
        acts: list[AnyAct] = [
            Place(t=4.0 * k + 100.0 * (k >= number), cell=name(cell), digit=digit)
            for k, (cell, digit, _) in enumerate(by.of_path, 1)
        ]
        found = reviewed(by, acts)
        assert found.stalls[0].broken_by.t == acts[number - 1].t
        assert not found.late


def test_standing_still_is_charged_to_a_digit_that_was_passed_over_and_a_pause_is_not() -> None:
    by = solver("skyscraper")
    solve = by.misses(random.Random(1))
    assert solve is not None
    [(cell, (_, placed))] = solve.missed.items()
    assert cell in {item.move.cells[0] for item in reviewed(by, solve.acts).late}
    at = next(k for k, act in enumerate(solve.acts) if act.t == placed)
    begun = solve.acts[at - 1].t
    rested = [*solve.acts[:at], Pause(t=begun + 0.5), Resume(t=placed - 0.5), *solve.acts[at:]]
    found = reviewed(by, rested)
    assert cell not in {item.move.cells[0] for item in found.late}
    assert not any(stall.broken_by.t == placed for stall in found.stalls)


def test_waits_are_told_without_pauses() -> None:
    by = solver("thermometer")
    solve = by.misses(random.Random(1))
    assert solve is not None
    [(cell, (since, placed))] = solve.missed.items()
    shift = [structs.replace(act, t=act.t + (1000.0 if act.t > since else 0.0)) for act in solve.acts]
    at = next(k for k, act in enumerate(shift) if act.t > since)
    shift[at:at] = [Pause(t=since + 0.5), Resume(t=since + 1000.5)]
    late = {item.move.cells[0]: item for item in reviewed(by, shift).late}
    plain = {item.move.cells[0]: item for item in reviewed(by, solve.acts).late}
    assert late[cell].move.t == placed + 1000.0
    assert late[cell].wait_s == pytest.approx(plain[cell].wait_s)


def test_every_reason_is_confirmed_by_the_independent_solver() -> None:
    found = followed()
    for move in found.moves[::4]:
        assert move.steps
        for step in steps_json(move, found.puzzle.grid):
            assert certify(found.puzzle, step).holds, step["written"]
        assert move.cells[0] in move.steps[-1][0].places


def test_what_was_open_holds_on_the_digits_of_that_moment() -> None:
    found = followed()
    for opening in list(found.judged.openings.values())[::5]:
        assert confirmed(found, opening)


def test_a_wrong_digit_says_what_it_contradicts_and_when_it_went() -> None:
    by = solver()
    cell, digit, _ = by.moves[0]
    grid = by.puzzle.grid
    seen = {by.puzzle.givens[c] for h in grid.houses if cell in h.cells for c in h.cells} - {0, digit}
    name, wrong = grid.name(cell), min(seen)
    acts: list[AnyAct] = [Place(t=5, cell=name, digit=wrong), Erase(t=9, cell=name)]
    (move,) = reviewed(by, acts).moves
    assert (move.verdict, move.taken_s) == ("wrong", 9)
    assert f"has its {wrong} in" in move.reason


def test_what_rests_on_a_wrong_digit_alone_is_not_called_forced() -> None:
    by = solver()
    found = followed()
    for number, move in enumerate(found.moves):
        # Leave out one digit that a later reason uses, and place the later one without it and all after it.
        facts = {cell for step, _ in move.steps for cell in step.reason.facts}
        used = [m for m in found.moves[:number] if m.cells[0] in facts]
        if not used or number < 10:
            continue
        without = used[0]
        acts: list[AnyAct] = [
            Place(t=m.t, cell=by.puzzle.grid.name(m.cells[0]), digit=m.digit or 0)
            for m in found.moves[: number + 1]
            if m is not without
        ]
        last = reviewed(by, acts).moves[-1]
        stood = {by.puzzle.grid.cell(a.cell) for a in acts[:-1] if isinstance(a, Place)}
        stood |= {cell for cell, given in enumerate(by.puzzle.givens) if given}
        made: set[int] = set()
        for step, _ in last.steps:
            placed = {c for c, mask in step.reason.facts.items() if not mask & (mask - 1)}
            assert without.cells[0] not in placed - made
            made |= set(step.places)
        return
    pytest.fail("no reason used an earlier digit")


def test_a_true_digit_taken_back_is_undone_and_brought_back_it_stays() -> None:
    by = solver()
    cell, digit, _ = by.moves[0]
    name = by.puzzle.grid.name(cell)
    acts: list[AnyAct] = [Place(t=3, cell=name, digit=digit), Undo(t=4)]
    assert reviewed(by, acts).moves[0].verdict == "undone"
    assert reviewed(by, [*acts, Redo(t=6)]).moves[0].verdict == "forced"


def test_notes_are_judged() -> None:
    by = solver("killer-cage")
    puzzle = by.puzzle
    solution = review(puzzle, by.recording(Simulated("none"))).solution
    cage = max((clue for clue in puzzle.clues if clue.value), key=lambda clue: -len(clue.cells))
    names = puzzle.grid.names(cage.cells)
    cell = next(c for c in puzzle.grid.cells if not puzzle.givens[c])
    name, digit, n = puzzle.grid.name(cell), solution[cell], puzzle.grid.size
    row = puzzle.grid.houses[cell // n].cells
    acts: list[AnyAct] = [
        Sum(t=1, cells=names, total=cage.value),
        Sum(t=2, cells=names, total=(cage.value or 0) + 1),
        Options(t=3, cell=name, digits=list(puzzle.grid.digits)),
        Options(t=14, cell=name, digits=[d for d in puzzle.grid.digits if d != digit]),
        Tie(t=15, cells=puzzle.grid.names(row), digit=digit),
        Trait(t=16, cells=[name], trait="even" if digit % 2 else "odd"),
    ]
    found = reviewed(by, acts)
    assert [move.verdict for move in found.moves] == ["forced", "wrong", "forced", "wrong", "forced", "wrong"]
    assert "cage" in found.moves[0].reason and "cage" in found.moves[1].reason


def test_the_json_keeps_its_contract() -> None:
    told = followed().as_json("x.jsonl")
    assert told["file"] == "x.jsonl"
    for move in told["moves"]:
        assert {"t", "cell", "digit", "verdict", "reason", "open_since"} <= set(move)
        assert move["verdict"] in {"forced", "guessed", "wrong", "undone"}
        assert move["reason"]
        assert move["open_since"] is None or move["open_since"] <= move["t"]
    json.dumps(told)


def test_a_recording_of_another_puzzle_is_refused() -> None:
    recording = solver().recording(solver().follower())
    with pytest.raises(NotAllowedError, match="another puzzle"):
        review(solver("thermometer").puzzle, recording)


def test_a_cell_off_the_grid_is_refused() -> None:
    by = solver("skyscraper")
    with pytest.raises(NotAllowedError, match="off the grid"):
        reviewed(by, [Place(t=1, cell="r9c9", digit=1)])


def test_a_truncated_recording_is_reviewed_up_to_the_damage() -> None:
    data = written(solver().recording(solver().follower()))
    cut = data[: data.index(b"\n", len(data) // 2) - 7]
    recording = read_bytes(cut, salvage=True)
    assert recording.damage is not None
    found = review(solver().puzzle, recording)
    assert len(found.moves) == cut.count(b"\n") - 1
    assert found.as_json("x")["damage"]


def test_reordered_lines_are_damage(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    lines = written(solver().recording(solver().follower())).splitlines(keepends=True)
    lines[3], lines[9] = lines[9], lines[3]
    file = tmp_path / "solve.jsonl"
    file.write_bytes(b"".join(lines))
    assert run(["review", str(HARBOUR), str(file), "--json"]) == 0
    out, err = capsys.readouterr()
    assert "the time goes back" in err and "line 5" in err
    assert len(json.loads(out)["moves"]) == 3


@pytest.mark.parametrize("content", [b"", b"\0" * 100, b"[1, 2]\n", b'{"format": 1}\n', b"<html>"])
def test_what_is_no_recording_is_refused(
    content: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "solve.jsonl"
    file.write_bytes(content)
    assert run(["review", str(HARBOUR), str(file)]) == 2
    assert "line 1" in capsys.readouterr().err


def test_an_empty_solve_is_reviewed() -> None:
    found = reviewed(solver(), [])
    assert not found.moves and not found.finished and not found.chapters
    found.as_json("x")


def test_hostile_titles_and_markers_do_no_harm_in_the_report() -> None:
    from saywhy.files import puzzle_id
    from saywhy.recording.acts import Marker
    from saywhy.recording.exports import chapter_lines, html, webvtt

    puzzle = replace(solver("skyscraper").puzzle, title="<script>alert(1)</script>", setter='"><img src=x>')
    name = '</script><b onclick="x">-->\n0:00 bad'
    acts = [Marker(t=0.0, name=name), Marker(t=20, name="two"), Marker(t=40, name="three")]
    last = Place(t=60, cell="r1c1", digit=1)
    header = Header(format=1, puzzle=puzzle_id(puzzle), blind=False, started="2026-11-25T20:00:00+00:00")
    found = review(puzzle, Recording(header, (*acts, last)))
    for page in (html(found), html(found, viewers=True)):
        assert "<script>alert" not in page and "<img" not in page and "<b on" not in page
    assert chapter_lines(found).count("\n") == 3
    assert webvtt(found).count("-->") == 3


def test_viewers_see_no_digit_and_no_cell() -> None:
    from saywhy.recording.exports import errata, html

    by = solver()
    cell, digit, _ = by.moves[0]
    found = reviewed(by, [Place(t=70, cell=by.puzzle.grid.name(cell), digit=digit % 9 + 1)])
    assert by.puzzle.grid.name(cell) in errata(found)
    assert "1:10" in errata(found, viewers=True)
    for text in (errata(found, viewers=True), html(found, viewers=True)):
        assert by.puzzle.grid.name(cell) not in text


def test_the_speaking_time_is_fitted_from_ten_recordings_on() -> None:
    from saywhy.recording.host import fitted

    assert fitted([(100.0, 150.0)] * 9) is None
    fit = fitted([(100.0 + k, 1.5 * (100.0 + k)) for k in range(10)])
    assert fit is not None and fit.factor == pytest.approx(1.5) and fit.error == pytest.approx(0)
