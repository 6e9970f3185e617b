"""Packs on the desk: made beside it, told of, stopped, and taken away without what spoils."""

from __future__ import annotations

import io
import time
import zipfile
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace
from starlette.testclient import TestClient

from saywhy import examples
from saywhy.desk.store import Store
from saywhy.files import read
from saywhy.publishing.pack import MANIFEST, mend
from saywhy.recording.acts import Finish
from saywhy.recording.log import Recording
from tests.recording.test_fuzz import HEADER

LEFT_OUT = {"without": ["credit", "how", "link", "licence", "next"]}


@pytest.fixture
def key(store: Store) -> str:
    return store.keep_puzzle(read(examples.path("dinghy"))[0])


def until_over(host: TestClient, key: str, seconds: float = 90) -> dict[str, Any]:
    """Wait until no pack is made any more and give how it stands."""
    end = time.monotonic() + seconds
    seen = []
    while time.monotonic() < end:
        state: dict[str, Any] = host.get(f"/api/packs/{key}").json()
        seen.append((state["stage"], state["number"]))
        if state["state"] != "making":
            numbers = [number for _, number in seen[:-1]]
            assert numbers == sorted(numbers), "progress never goes back"
            return state
        time.sleep(0.1)
    raise AssertionError(f"the pack was not done: {seen[-1]}")


def test_unfilled_fields_are_errors_each_by_its_name(host: TestClient, key: str, store: Store) -> None:
    answer = host.post(f"/api/packs/{key}", json={"credit": "  ", "without": ["next"]})
    assert answer.status_code == 422
    problems = answer.json()["problems"]
    assert [problem["field"] for problem in problems] == ["credit", "how", "link", "licence"]
    assert host.get(f"/api/packs/{key}").json()["state"] == "none"
    assert not (store.folder / "packs").exists()


def test_the_newest_recording_is_chosen_at_first_and_says_how_it_was_solved(
    host: TestClient, key: str, store: Store
) -> None:
    assert "checked" not in host.get(f"/pack/{key}").text
    kept = store.puzzle(key)
    assert kept is not None
    older, newer = (
        Recording(replace(HEADER, started=f"2026-11-0{n}T20:00:00Z", blind=n == 1), ()) for n in (1, 2)
    )
    store.keep_recording(kept, older)
    made = store.keep_recording(kept, newer)
    page = host.get(f"/pack/{key}").text
    assert f'<option value="{made}" selected>' in page
    assert 'value="rehearsed" checked' in page and 'value="blind" checked' not in page


def test_a_finished_recording_is_chosen_before_a_newer_one_that_is_not(
    host: TestClient, key: str, store: Store
) -> None:
    kept = store.puzzle(key)
    assert kept is not None
    done = Recording(replace(HEADER, started="2026-11-01T20:00:00Z", blind=True), (Finish(t=700.0),))
    made = store.keep_recording(kept, done)
    store.keep_recording(kept, Recording(replace(HEADER, started="2026-11-02T20:00:00Z"), ()))
    page = host.get(f"/pack/{key}").text
    assert f'<option value="{made}" selected>' in page
    assert "blind, 11:40 long, finished" in page
    assert "nothing written yet" in page


def test_a_pack_is_made_and_its_parts_can_be_seen(host: TestClient, key: str, store: Store) -> None:
    order = {
        "credit": "gulls",
        "how": "blind",
        "licence": "CC 0",
        "airs": "2026-12-01",
        "without": ["link", "next"],
    }
    begun = host.post(f"/api/packs/{key}", json=order)
    assert (begun.status_code, begun.json()["state"]) == (200, "making")
    busy = host.post(f"/api/packs/{key}", json=order)
    assert busy.status_code == 422
    assert "is being made" in busy.json()["problems"][0]["what"]
    state = until_over(host, key)
    assert state["state"] == "made", state
    names = {part["name"] for part in state["parts"]}
    assert {"index.html", "words/title.txt", "print/a4.pdf", "feed.atom", "spoilers/walk.webp"} <= names
    assert host.get(f"/packs/{key}/words/title.txt").text == "Dinghy, set by gulls\n"
    # What spoils is given only where reveal is asked for.
    assert host.get(f"/packs/{key}/spoilers/transcript.txt").status_code == 403
    assert host.get(f"/packs/{key}/spoilers/transcript.txt?reveal=yes").status_code == 200
    for path in (
        "nothing.txt",
        "../desk.sqlite",
        "%2e%2e/desk.sqlite",
        "..%2f..%2fdesk.sqlite",
        MANIFEST + "/x",
    ):
        assert host.get(f"/packs/{key}/{path}").status_code == 404, path
    # The viewers' page runs in a sandbox, apart from the desk.
    page = host.get(f"/packs/{key}/index.html")
    assert page.headers["content-security-policy"] == "sandbox allow-scripts allow-modals"
    assert "sandbox" in host.get(f"/packs/{key}/pictures/board-light.svg").headers["content-security-policy"]
    assert "script-src 'self'" in host.get(f"/packs/{key}/print/a4.pdf").headers["content-security-policy"]
    # The archive: whole, or without what spoils; the same bytes each time.
    shown = host.get(f"/api/packs/{key}/zip")
    assert shown.headers["content-type"] == "application/zip"
    with zipfile.ZipFile(io.BytesIO(shown.content)) as held:
        assert held.testzip() is None
        assert not any("spoilers" in name for name in held.namelist())
    whole = host.get(f"/api/packs/{key}/zip?reveal=yes").content
    with zipfile.ZipFile(io.BytesIO(whole)) as held:
        assert {name.removeprefix("pack/") for name in held.namelist()} == names | {MANIFEST}
    assert whole == host.get(f"/api/packs/{key}/zip?reveal=yes").content
    # What was asked for is there again on the page.
    assert 'value="CC 0"' in host.get(f"/pack/{key}").text


def test_what_is_wrong_with_a_template_is_told_by_its_lines(host: TestClient, key: str) -> None:
    order = {**LEFT_OUT, "template": "{title}\n\n{colour} {series}\n{licence} {link}\n"}
    answer = host.post(f"/api/packs/{key}", json=order)
    assert answer.status_code == 422
    said = [(problem["what"], problem["field"], problem["line"]) for problem in answer.json()["problems"]]
    assert said == [
        ("there is no field 'colour'", "template", 3),
        ("{series} has no value: the name of the series", "template", 3),
    ]


def test_a_template_that_needs_more_than_the_talk_has_is_told_when_it_is_filled(
    host: TestClient, key: str
) -> None:
    host.post(f"/api/packs/{key}", json={**LEFT_OUT, "template": "{title}\n\n{rules}\n" + 900 * "{rules}\n"})
    state = until_over(host, key)
    assert state["state"] == "failed"
    assert "bytes" in state["problems"][0]["what"]
    assert state["parts"] == []


def test_all_that_is_wrong_is_told_at_once_each_by_its_field(
    host: TestClient, key: str, store: Store
) -> None:
    order = {"credit": "gulls", "link": "javascript:alert(1)", "airs": "soon", "without": ["how"]}
    answer = host.post(f"/api/packs/{key}", json={**order, "template": "{title}\n{colour}\n"})
    assert answer.status_code == 422
    problems = answer.json()["problems"]
    assert [problem["field"] for problem in problems] == ["licence", "next", "--link", "--airs", "template"]
    assert not (store.folder / "packs").exists()
    for airs in ("2026-12-01T18:00", "2026-13-01"):
        answer = host.post(f"/api/packs/{key}", json={**LEFT_OUT, "link": "http://[x", "airs": airs})
        assert [problem["field"] for problem in answer.json()["problems"]] == ["--link", "--airs"]


def test_stopping_leaves_nothing_and_keeps_an_earlier_pack(host: TestClient, key: str, store: Store) -> None:
    host.post(f"/api/packs/{key}", json={**LEFT_OUT, "films": ["mp4"]})
    time.sleep(0.5)
    assert host.delete(f"/api/packs/{key}").json()["state"] == "stopped"
    packs = store.folder / "packs"
    assert [file.name for file in packs.iterdir()] == [f"{key}.order.json"]
    host.post(f"/api/packs/{key}", json=LEFT_OUT)
    assert until_over(host, key)["state"] == "made"
    before = (packs / key / MANIFEST).read_bytes()
    host.post(f"/api/packs/{key}", json={**LEFT_OUT, "films": ["mp4"], "title": "Another"})
    time.sleep(0.5)
    stopped = host.delete(f"/api/packs/{key}").json()
    assert (stopped["state"], len(stopped["parts"]) > 10) == ("stopped", True)
    assert (packs / key / MANIFEST).read_bytes() == before
    assert sorted(file.name for file in packs.iterdir()) == [key, f"{key}.order.json"]


def test_a_build_killed_while_it_changed_places_loses_no_earlier_pack(tmp_path: Path) -> None:
    workshop = tmp_path / ".pack-abc"
    (workshop / "old").mkdir(parents=True)
    (workshop / "old" / MANIFEST).write_text("{}")
    (workshop / "new").mkdir()
    mend(tmp_path / "pack")
    assert [file.name for file in tmp_path.iterdir()] == ["pack"]
    assert (tmp_path / "pack" / MANIFEST).read_text() == "{}"


def test_a_puzzle_without_one_solution_has_no_pack(host: TestClient, store: Store) -> None:
    from saywhy.files import read_text

    key = store.keep_puzzle(read_text("format = 1\nsize = 4\n")[0])
    host.post(f"/api/packs/{key}", json=LEFT_OUT)
    state = until_over(host, key)
    assert state["state"] == "failed"
    assert "verdict is many" in state["problems"][0]["what"]


def test_packs_of_unknown_puzzles_are_not_here(host: TestClient) -> None:
    for path in (
        "/api/packs/nothing",
        "/api/packs/nothing/zip",
        "/packs/nothing/index.html",
        "/pack/nothing",
    ):
        assert host.get(path).status_code == 404, path
    assert host.post("/api/packs/nothing", json=LEFT_OUT).status_code == 404
