"""The live line of setting: drawings mended and trimmed, one piece of work at a time, stopped at a word."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import msgspec
import pytest
from starlette.testclient import TestClient, WebSocketTestSession
from starlette.websockets import WebSocketDisconnect

from saywhy.desk.drafts import Draft, draft_of, look
from saywhy.engine import prove
from saywhy.examples import path
from saywhy.files import read
from saywhy.grid import Grid
from saywhy.puzzle import Puzzle
from tests.desk.desks import LINE, harbour


def drawn(puzzle: Puzzle) -> Any:
    """Give a puzzle as the page sends it."""
    return msgspec.to_builtins(draft_of(puzzle))


def outcome(line: WebSocketTestSession, n: int) -> dict[str, Any]:
    """Give the answer to a question, progress left out."""
    while True:
        told: dict[str, Any] = line.receive_json()
        if "stopped" in told and told["n"] == n:
            return told


def loose() -> Puzzle:
    whole = harbour()
    return replace(whole, givens=(1, *(0,) * 15))


def test_a_drawing_is_mended_and_every_offer_has_one_solution(host: TestClient) -> None:
    with host.websocket_connect(f"{LINE}/live/setting") as line:
        line.send_json({"n": 1, "ask": "repair", "draft": drawn(loose())})
        answer = outcome(line, 1)["answer"]
    assert "fewer are proved not to do" in answer["head"]
    assert answer["offers"]
    for offer in answer["offers"]:
        puzzle = look(msgspec.convert(offer["draft"], Draft)).puzzle
        assert puzzle is not None and prove(puzzle).verdict == "unique"
        assert offer["cells"] and offer["words"] and offer["picture"]["svg"].startswith("<svg")


def test_the_solution_that_was_meant_is_led_to(host: TestClient) -> None:
    meant = prove(harbour()).solution
    assert meant is not None
    with host.websocket_connect(f"{LINE}/live/setting") as line:
        digits = "".join(map(str, meant))
        line.send_json({"n": 1, "ask": "repair", "draft": drawn(loose()), "solution": digits})
        for offer in outcome(line, 1)["answer"]["offers"]:
            puzzle = look(msgspec.convert(offer["draft"], Draft)).puzzle
            assert puzzle is not None and prove(puzzle).solution == meant
        line.send_json({"n": 2, "ask": "repair", "draft": drawn(loose()), "solution": "1" * 16})
        assert "breaks row 1" in outcome(line, 2)["answer"]["head"]
        line.send_json({"n": 3, "ask": "repair", "draft": drawn(loose()), "solution": "/etc/hostname"})
        assert outcome(line, 3)["answer"]["offers"] == []


def test_a_drawing_is_trimmed(host: TestClient) -> None:
    solution = prove(harbour()).solution
    assert solution is not None
    full = replace(harbour(), givens=solution)
    with host.websocket_connect(f"{LINE}/live/setting") as line:
        line.send_json({"n": 1, "ask": "trim", "draft": drawn(full)})
        [offer] = outcome(line, 1)["answer"]["offers"]
        puzzle = look(msgspec.convert(offer["draft"], Draft)).puzzle
        assert puzzle is not None and prove(puzzle).solution == solution
        cells = offer["words"][0].removeprefix("Without the givens in ").removesuffix(".").split()
        assert len(cells) == sum(map(bool, full.givens)) - sum(map(bool, puzzle.givens)) > 1
        line.send_json({"n": 2, "ask": "trim", "draft": drawn(loose())})
        assert "one solution" in outcome(line, 2)["answer"]["head"]


def test_a_clue_that_may_go_is_named_as_the_list_names_it(host: TestClient) -> None:
    [dinghy] = read(path("dinghy"))
    givens = list(dinghy.givens)
    givens[0], givens[30] = 1, 0
    with host.websocket_connect(f"{LINE}/live/setting") as line:
        line.send_json({"n": 1, "ask": "trim", "draft": drawn(replace(dinghy, givens=tuple(givens)))})
        [offer] = outcome(line, 1)["answer"]["offers"]
    assert offer["words"] == ["Without the given in r1c6.", "Without clue 2, the renban at r6c2."]


def test_others_like_a_drawing_are_composed_and_each_is_offered_when_it_is_found(host: TestClient) -> None:
    [dinghy] = read(path("dinghy"))
    with host.websocket_connect(f"{LINE}/live/setting") as line:
        line.send_json({"n": 1, "ask": "compose", "anew": "same", "draft": drawn(dinghy), "seed": 3})
        told = line.receive_json()
        while "answer" not in told:
            told = line.receive_json()
        assert told["working"] is True
        line.send_json({"n": 1, "ask": "stop"})
        last = told
        while "stopped" not in last:
            last = line.receive_json()
    for offer in last["answer"]["offers"]:
        puzzle = look(msgspec.convert(offer["draft"], Draft)).puzzle
        assert puzzle is not None and prove(puzzle).verdict == "unique"
        assert [clue.rule for clue in puzzle.clues] == [clue.rule for clue in dinghy.clues]
        assert [clue.cells for clue in puzzle.clues] == [clue.cells for clue in dinghy.clues]
        assert puzzle.givens != dinghy.givens


def test_new_numbers_on_the_shapes_are_as_wished(host: TestClient) -> None:
    [dinghy] = read(path("dinghy"))
    wished = {"givens": "at most 9", "symmetry": "a half turn", "effort": ["a stroll", "a steady walk"]}
    question = {"ask": "compose", "anew": "shapes", "draft": drawn(dinghy), "seed": 5}
    with host.websocket_connect(f"{LINE}/live/setting") as line:
        line.send_json({"n": 1, **question, "wished": wished})
        told = line.receive_json()
        while "answer" not in told:
            told = line.receive_json()
        assert told["answer"]["offers"], told["answer"]
        for offer in told["answer"]["offers"]:
            puzzle = look(msgspec.convert(offer["draft"], Draft)).puzzle
            assert puzzle is not None and prove(puzzle).verdict == "unique"
            held = {cell for cell, digit in enumerate(puzzle.givens) if digit}
            assert len(held) <= 9
            assert held == {35 - cell for cell in held}
            assert offer["note"].startswith(("a stroll", "a steady walk"))
        line.send_json({"n": 1, "ask": "stop"})
        while "stopped" not in told:
            told = line.receive_json()


@pytest.mark.parametrize(
    ("wished", "said"),
    [
        ({"pattern": "region 99 in order"}, "99"),
        ({"givens": "some"}, "givens"),
        ({"symmetry": "a spiral"}, "symmetry"),
        ({"effort": ["a scramble up the mast"]}, "band"),
    ],
)
def test_a_wish_that_cannot_be_is_told(host: TestClient, wished: dict[str, object], said: str) -> None:
    [dinghy] = read(path("dinghy"))
    with host.websocket_connect(f"{LINE}/live/setting") as line:
        line.send_json({"n": 1, "ask": "compose", "anew": "shapes", "draft": drawn(dinghy), "wished": wished})
        answer = outcome(line, 1)["answer"]
    assert said in answer["head"] and answer["lines"] and not answer["offers"]


def test_a_sketch_that_does_not_read_is_told(host: TestClient) -> None:
    with host.websocket_connect(f"{LINE}/live/setting") as line:
        line.send_json({"n": 1, "ask": "compose", "anew": "sketch", "sketch": "format = 1\nsize = 99"})
        answer = outcome(line, 1)["answer"]
        assert answer["offers"] == [] and "99" in answer["head"]
        line.send_json({"n": 2, "ask": "compose", "anew": "gentler", "draft": drawn(loose())})
        assert "path" in outcome(line, 2)["answer"]["head"]


def test_work_is_stopped_at_a_word_and_by_the_next_question(host: TestClient) -> None:
    empty = Puzzle(Grid.standard(9), (0,) * 81)
    with host.websocket_connect(f"{LINE}/live/setting") as line:
        line.send_json({"n": 1, "ask": "repair", "draft": drawn(empty)})
        assert "progress" in line.receive_json()
        line.send_json({"n": 1, "ask": "stop"})
        assert outcome(line, 1)["stopped"] is True
        line.send_json({"n": 2, "ask": "repair", "draft": drawn(empty)})
        line.send_json({"n": 3, "ask": "repair", "draft": drawn(harbour())})
        assert outcome(line, 3)["answer"]["head"] == "There is nothing to mend."


def test_a_drawing_that_is_no_puzzle_yet_is_told_so(host: TestClient) -> None:
    draft = drawn(harbour())
    draft["clues"].append({"rule": "sandwich", "cells": ["r1c1", "r1c2", "r1c3", "r1c4"]})
    with host.websocket_connect(f"{LINE}/live/setting") as line:
        line.send_json({"n": 1, "ask": "repair", "draft": draft})
        assert outcome(line, 1)["answer"]["head"] == "Not a puzzle yet."


@pytest.mark.parametrize("text", ["", "{", '{"n": 1, "ask": "compute"}', "[" * 100_000])
def test_what_is_no_question_ends_the_line(host: TestClient, text: str) -> None:
    with host.websocket_connect(f"{LINE}/live/setting") as line:
        line.send_text(text)
        with pytest.raises(WebSocketDisconnect):
            line.receive_json()
