"""What can be asked of the desk by HTTP: answers, refusals, and nothing that spoils."""

from __future__ import annotations

import json
from typing import Any

import pytest
from starlette.testclient import TestClient

from saywhy.desk.drafts import draft_of
from saywhy.desk.store import Store
from saywhy.engine import prove
from saywhy.files import read_text, write
from tests.desk.desks import HARBOUR, harbour

MANY = HARBOUR.partition("[[clue]]")[0]
NONE = HARBOUR + '[[clue]]\nrule = "even"\ncells = "r1c4"\n[[clue]]\nrule = "odd"\ncells = "r1c4"\n'


@pytest.fixture
def key(store: Store) -> str:
    return store.keep_puzzle(harbour())


def test_what_is_saved_is_what_is_read_again(host: TestClient) -> None:
    draft = host.post("/api/read", json={"text": HARBOUR}).json()["draft"]
    key = host.post("/api/puzzles", json=draft).json()["key"]
    text = host.get(f"/api/puzzles/{key}/file").text
    assert read_text(text) == [harbour()]
    assert text == write(harbour())
    assert host.get(f"/api/puzzles/{key}").json()["draft"] == draft


def test_a_puzzle_that_was_saved_meanwhile_is_not_written_over_unasked(host: TestClient) -> None:
    first = host.post("/api/puzzles", json={"size": 4, "givens": [1] + 15 * [0]}).json()
    one = f"/api/puzzles/{first['key']}"
    draft = host.get(one).json()["draft"]
    second = host.put(one, json={**draft, "title": "Low tide", "form": first["form"]}).json()
    late = host.put(one, json={**draft, "title": "High tide", "form": first["form"]})
    assert late.status_code == 409
    assert "from another window" in late.json()["problems"][0]["what"]
    assert host.get(one).json()["draft"]["title"] == "Low tide"
    assert host.put(one, json={**draft, "title": "High tide", "form": second["form"]}).status_code == 200
    assert host.put(one, json={**draft, "title": "Ebb"}).status_code == 200


def test_a_saved_puzzle_can_be_mended_and_taken_off(host: TestClient, store: Store, key: str) -> None:
    draft = host.get(f"/api/puzzles/{key}").json()["draft"]
    mended = host.put(f"/api/puzzles/{key}", json={**draft, "title": "Harbour lamps"})
    assert mended.json()["key"] == key
    assert [kept.title for kept in store.puzzles()] == ["Harbour lamps"]
    assert host.delete(f"/api/puzzles/{key}").json() == {"key": key}
    assert store.puzzles() == []
    assert host.get(f"/api/puzzles/{key}").status_code == 404


def test_a_bad_file_is_told_with_line_field_and_mend(host: TestClient) -> None:
    answer = host.post("/api/read", json={"text": HARBOUR.replace("r1c4", "r1c5")})
    assert answer.status_code == 422
    problem = answer.json()["problems"][0]
    assert "off the grid" in problem["what"] and problem["mend"] and problem["clue"] == 0


@pytest.mark.parametrize(("text", "verdict"), [(HARBOUR, "unique"), (MANY, "many"), (NONE, "none")])
def test_verdicts_are_the_engines_and_show_no_solution(
    host: TestClient, store: Store, text: str, verdict: str
) -> None:
    puzzle = read_text(text)[0]
    assert prove(puzzle).verdict == verdict
    told = host.get(f"/api/puzzles/{store.keep_puzzle(puzzle)}/verdict").json()
    assert told.pop("seconds") >= 0
    assert told == {"verdict": verdict}


def test_the_card_spoils_nothing(host: TestClient, key: str) -> None:
    fit = host.get(f"/api/puzzles/{key}/fit").json()
    assert fit["verdict"] == "unique" and fit["effort"]["beats"] >= 1
    assert len(fit["climb"]) == fit["effort"]["beats"]
    rules = fit.pop("rules")
    assert [rule["cells"] for rule in rules] == [[], [3, 6, 10, 15]]
    assert not _cells_named(fit)


def test_the_path_is_given_only_where_reveal_is_asked_for(host: TestClient, key: str) -> None:
    for query in ("", "?reveal=no"):
        refused = host.get(f"/api/puzzles/{key}/path{query}")
        assert refused.status_code == 403 and not _cells_named(refused.json())
    assert host.get(f"/api/puzzles/{key}/path?reveal=1").status_code == 400
    path = host.get(f"/api/puzzles/{key}/path?reveal=yes").json()
    assert path["complete"] and _cells_named(path)
    digits = [0] * 16
    for step in path["steps"]:
        for place in step["places"]:
            digits[harbour().grid.cell(place["cell"])] = place["digit"]
    solution = prove(harbour()).solution
    assert solution is not None
    assert [given or digit for given, digit in zip(harbour().givens, digits, strict=True)] == list(solution)


def test_no_page_before_a_recording_holds_the_solution(host: TestClient, key: str) -> None:
    solution = prove(harbour()).solution
    assert solution is not None
    rows = ["".join(map(str, solution[row : row + 4])) for row in range(0, 16, 4)]
    recording = host.post("/api/recordings", json={"puzzle": key, "blind": True}).json()["key"]
    for path in (f"/fit/{key}", f"/rehearse/{key}", f"/record/{key}", f"/stage/{recording}", f"/draw/{key}"):
        page = host.get(path).text
        for text in (json.dumps(solution), ",".join(map(str, solution)), *rows[1:]):
            assert text not in page, path


def test_breaks_are_told_by_the_rules_own_definitions(host: TestClient, key: str) -> None:
    def told(**digits: int) -> list[int]:
        sent = [0] * 16
        for name, digit in digits.items():
            sent[harbour().grid.cell(name)] = digit
        answer = host.post(f"/api/puzzles/{key}/breaks", json={"digits": sent})
        found: list[int] = answer.json()["cells"]
        return found

    assert told() == []
    assert told(r2c2=4) == []
    assert told(r1c2=3) == [1, 2, 4]  # the 3s of row 1 and of the box
    assert told(r1c4=4, r2c3=1, r3c3=2, r4c4=3) == [3, 6, 10, 15]  # 4 and 3 make 7, 1 and 2 do not
    assert told(r1c4=4, r2c3=1, r3c3=4, r4c4=1) == []
    wrong = host.post(f"/api/puzzles/{key}/breaks", json={"digits": [1, 2]})
    assert wrong.status_code == 422


def test_a_recording_goes_out_and_comes_in_again(host: TestClient, store: Store, key: str) -> None:
    begun = host.post("/api/recordings", json={"puzzle": key, "blind": True}).json()["key"]
    text = host.get(f"/api/recordings/{begun}/file").text
    assert json.loads(text)["blind"] is True
    text += '{"t": 1.5, "do": "place", "cell": "r1c2", "digit": 2}\n'
    again = host.post("/api/recordings/import", json={"puzzle": key, "text": text}).json()["key"]
    assert [act.t for act in store.read_recording(again).acts] == [1.5]
    assert host.get(f"/review/{again}").status_code == 200
    exported = host.get(f"/api/recordings/{again}/file").text
    assert [json.loads(line) for line in exported.splitlines()] == [
        json.loads(line) for line in text.splitlines()
    ]


@pytest.mark.parametrize(
    "change",
    [
        lambda text: text.replace('"puzzle":"', '"puzzle":"f')[:-1],
        lambda text: text + '{"t": 1, "do": "place", "cell": "r9c9", "digit": 1}\n',
        lambda text: text + '{"t": 1, "do": "place", "cell": "r1c1", "digit": 9}\n',
        lambda text: text + "hello\n",
        lambda _: "",
    ],
)
def test_a_recording_that_does_not_belong_is_refused(
    host: TestClient, store: Store, key: str, change: Any
) -> None:
    begun = host.post("/api/recordings", json={"puzzle": key, "blind": False}).json()["key"]
    text = change(host.get(f"/api/recordings/{begun}/file").text)
    answer = host.post("/api/recordings/import", json={"puzzle": key, "text": text})
    assert answer.status_code == 422 and answer.json()["problems"]
    assert len(store.all_recordings()) == 1


def test_what_is_wrong_with_a_text_names_its_line(host: TestClient) -> None:
    text = 'format = 1\nsize = 9\n[[clue]]\nrule = "killer-cage"\ncells = "r1c1-r1c3"\nvalue = 99\n'
    for path, body in (("/api/read", {}), ("/api/shelf/puzzles", {"source": "tide.toml"})):
        answer = host.post(path, json={"text": text, **body})
        [problem] = answer.json()["problems"]
        assert answer.status_code == 422
        assert (problem["line"], problem["field"], problem["clue"]) == (6, "clue 1 (killer-cage), value", 0)


def test_nobody_is_told_a_line_of_a_draft(host: TestClient) -> None:
    [problem] = host.post("/api/puzzles", json={"title": "<b>"}).json()["problems"]
    assert problem["field"] == "title" and problem["line"] is None


@pytest.mark.parametrize("path", ["/api/read", "/api/shelf/puzzles"])
def test_a_text_of_several_puzzles_or_without_end_is_refused_with_a_way_out(
    host: TestClient, path: str
) -> None:
    for text, said in (
        (("." * 81 + "\n") * 3, "holds 3 puzzles"),
        (("." * 81 + "\n") * 9_000, "longer than 256"),
    ):
        answer = host.post(path, json={"text": text})
        [problem] = answer.json()["problems"]
        assert answer.status_code == 422 and said in problem["what"] and "saywhy desk FILE" in problem["mend"]


def test_a_draft_is_drawn_with_its_key(host: TestClient) -> None:
    answer = host.post("/api/draw", json={"size": 4, "clues": [{"rule": "odd", "cells": ["r1c1"]}]}).json()
    assert answer["problems"] == []
    assert answer["picture"]["svg"].startswith("<svg ")
    assert [part["rule"] for part in answer["picture"]["key"]] == ["odd"]
    assert answer["picture"]["givens"] == [0] * 16


@pytest.mark.parametrize(
    "body", [b"", b"{", b"[]", b"null", b'{"size":"9"}', b'{"nope":1}', b"[" * 100_000, b"\xff"]
)
def test_a_body_that_is_not_as_described_is_refused(host: TestClient, body: bytes) -> None:
    answer = host.post("/api/puzzles", content=body, headers={"Content-Type": "application/json"})
    assert answer.status_code == 400 and answer.json()["problems"][0]["what"]


def test_a_body_without_end_is_refused(host: TestClient) -> None:
    def endless() -> Any:
        for _ in range(40):
            yield b" " * 1024 * 1024

    answer = host.post("/api/read", content=endless(), headers={"Content-Type": "application/json"})
    assert answer.status_code == 413


def test_every_page_is_there(host: TestClient, key: str) -> None:
    begun = host.post("/api/recordings", json={"puzzle": key, "blind": True}).json()["key"]
    pages = ["/", "/draw", *(f"/{name}/{key}" for name in ("draw", "fit", "rehearse", "record"))]
    for path in (
        *pages,
        f"/rehearse/{key}/notes",
        f"/stage/{begun}",
        f"/stage/{begun}?ground=clear",
        f"/review/{begun}",
    ):
        answer = host.get(path)
        assert answer.status_code == 200 and "<main" in answer.text, path
    for path in ("/fit/nothing", "/stage/nothing", "/review/nothing", "/nothing"):
        assert host.get(path).status_code == 404


def test_a_draft_of_the_shipped_reader_keeps_its_size(host: TestClient) -> None:
    puzzle = read_text("format = 1\nsize = 16\n")[0]
    assert host.post("/api/draw", json=json.loads(_json(puzzle))).json()["picture"]["size"] == 16


def _json(puzzle: Any) -> bytes:
    import msgspec

    return msgspec.json.encode(draft_of(puzzle))


def _cells_named(held: object) -> bool:
    import re

    return re.search(r"r\d+c\d+", json.dumps(held)) is not None
