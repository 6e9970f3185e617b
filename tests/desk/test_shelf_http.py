"""The shelf by HTTP: what can be asked, what is refused, and nothing that spoils."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from saywhy.desk.store import Store
from saywhy.files import write
from saywhy.shelf import Permission, Said, Shelf, State
from tests.desk.desks import HARBOUR, harbour

GRANTED = {"permission": "granted", "on": "2026-11-20", "words": "Air it, with pleasure"}
PAGES = (
    "/shelf",
    "/shelf?list=setters",
    "/shelf?list=episodes",
    "/shelf?find=harbour",
    "/shelf?permission=granted",
)


@pytest.fixture
def shelf(store: Store) -> Shelf:
    return store.shelf


@pytest.fixture
def number(host: TestClient) -> int:
    """A puzzle that was brought to the shelf."""
    return int(host.post("/api/shelf/puzzles", json={"text": HARBOUR, "source": "monday.toml"}).json()["id"])


@pytest.fixture
def planned(host: TestClient, number: int) -> int:
    """An episode of it."""
    assert host.put(f"/api/shelf/puzzles/{number}/permission", json=GRANTED).status_code == 200
    answer = host.post(f"/api/shelf/puzzles/{number}/episodes", json={"airs": "2026-12-01T18:00+00:00"})
    return int(answer.json()["id"])


def test_a_puzzle_is_brought_judged_and_not_brought_twice(
    host: TestClient, shelf: Shelf, number: int
) -> None:
    held = shelf.puzzles.get(number)
    assert (held.text, held.title, held.source, held.verdict) == (
        HARBOUR,
        "Harbour lights",
        "monday.toml",
        None,
    )
    again = host.post("/api/shelf/puzzles", json={"text": HARBOUR})
    assert again.json() == {"id": number, "already": True}
    assert host.post(f"/api/shelf/puzzles/{number}/judge").status_code == 200
    judged = shelf.puzzles.get(number)
    assert judged.verdict == "unique" and judged.band and judged.same and judged.near


def test_a_puzzle_goes_from_the_desk_to_the_shelf_and_back(
    host: TestClient, store: Store, shelf: Shelf
) -> None:
    key = store.keep_puzzle(harbour())
    number = host.post(f"/api/puzzles/{key}/shelf").json()["id"]
    assert shelf.puzzles.get(number).puzzle == harbour()
    assert host.post(f"/api/shelf/puzzles/{number}/desk").json() == {"key": key}
    store.drop_puzzle(key)
    laid = host.post(f"/api/shelf/puzzles/{number}/desk").json()["key"]
    kept = store.puzzle(laid)
    assert kept is not None and kept.text == write(harbour())


def test_a_permission_is_changed_with_its_words_and_day(host: TestClient, shelf: Shelf, number: int) -> None:
    to = f"/api/shelf/puzzles/{number}/permission"
    assert host.put(to, json={**GRANTED, "words": ""}).status_code == 422
    assert host.put(to, json={**GRANTED, "on": None}).status_code == 422
    assert host.put(to, json={"permission": "perhaps"}).status_code == 400
    assert host.put(to, json=GRANTED).status_code == 200
    held = shelf.puzzles.get(number)
    assert (held.permission, held.permission_on, held.permission_words) == tuple(GRANTED.values())


def test_nothing_is_planned_without_permission(host: TestClient, shelf: Shelf, number: int) -> None:
    answer = host.post(f"/api/shelf/puzzles/{number}/episodes", json={"airs": "2026-12-01"})
    assert answer.status_code == 422
    assert "no permission to air" in answer.json()["problems"][0]["what"]
    assert shelf.episodes.all() == []


def test_an_episode_goes_from_planned_to_published(
    host: TestClient, store: Store, shelf: Shelf, number: int, planned: int
) -> None:
    to = f"/api/shelf/episodes/{planned}"
    changed = {"airs": "2026-12-04", "pinned": True, "title": "The evening of the crabs", "remarks": ""}
    assert host.put(to, json=changed).status_code == 200
    assert (shelf.episodes.get(planned).airs, shelf.episodes.get(planned).pinned) == ("2026-12-04", True)
    assert host.post(f"{to}/published", json={"link": "https://example.org/1"}).status_code == 422
    assert host.post(f"{to}/recorded", json={}).status_code == 422
    kept = store.puzzle(store.lay(harbour()))
    assert kept is not None
    recording = store.begin_recording(kept, blind=False)
    assert host.post(f"{to}/recorded", json={"recording": recording}).status_code == 200
    assert shelf.episodes.get(planned).how == "rehearsed"
    assert [held.episode for held in shelf.recordings.all(puzzle=number)] == [planned]
    assert host.post(f"{to}/published", json={"link": "javascript:x"}).status_code == 422
    assert host.post(f"{to}/published", json={"link": "https://example.org/1"}).status_code == 200
    assert shelf.episodes.get(planned).state is State.PUBLISHED


def test_what_is_removed_is_taken_back(host: TestClient, shelf: Shelf, number: int, planned: int) -> None:
    assert host.delete(f"/api/shelf/puzzles/{number}").status_code == 200
    assert shelf.puzzles.all() == [] and shelf.episodes.all() == []
    assert host.post("/api/shelf/undo").json() == {"words": "Harbour lights was removed"}
    assert [held.id for held in shelf.episodes.all()] == [planned]


def test_a_setter_is_erased_from_the_shelf_and_from_the_desk(
    host: TestClient, store: Store, shelf: Shelf, number: int, planned: int
) -> None:
    key = store.keep_puzzle(harbour())
    kept = store.puzzle(key)
    assert kept is not None
    recording = store.begin_recording(kept, blind=True)
    setter = shelf.setters.named("gulls")[0].id
    told = host.get(f"/api/shelf/setters/{setter}/personal")
    assert told.json()["setter"]["credit"] == "gulls"
    assert told.headers["content-disposition"] == "attachment"
    assert host.post(f"/api/shelf/setters/{setter}/erase", json={"puzzles": "stay"}).status_code == 200
    assert shelf.setters.all() == [] and shelf.puzzles.get(number).cleared
    kept, held = store.puzzle(key), store.recording(recording)
    assert kept is not None and held is not None
    assert kept.setter == "" and kept.puzzle.setter == "" and "gulls" not in held.text
    for path in store.folder.rglob("*"):
        assert not path.is_file() or b"gulls" not in path.read_bytes(), path


def test_a_backup_is_made_into_the_folder(host: TestClient, store: Store, number: int) -> None:
    made = Path(host.post("/api/shelf/backup").json()["path"])
    assert made.parent == store.folder / "backups" and made.stat().st_mode & 0o077 == 0


def test_what_is_not_there_is_told(host: TestClient) -> None:
    asked: list[tuple[str, str, Any]] = [
        ("PUT", "/api/shelf/puzzles/7", {}),
        ("DELETE", "/api/shelf/episodes/7", None),
        ("PUT", "/api/shelf/setters/x/permission", GRANTED),
        ("POST", f"/api/shelf/puzzles/{'9' * 400}/desk", None),
        ("POST", "/api/shelf/puzzles/-1/judge", None),
        ("POST", "/api/puzzles/nothing/shelf", None),
    ]
    for method, path, body in asked:
        assert host.request(method, path, json=body).status_code == 404, path
    for path in ("/shelf/p7", "/shelf/s7", "/shelf/e7", "/shelf/p99999999999999999999", "/shelf/px"):
        assert host.get(path).status_code == 404, path


def test_another_writer_is_told_and_the_page_stays(host: TestClient, store: Store, number: int) -> None:
    store.shelf._wait_s = 0.1
    with Shelf(store.folder) as other, other.deed("a long letter"):
        answer = host.put(f"/api/shelf/puzzles/{number}", json={"title": "Ebb"})
        assert answer.status_code == 422
        assert "writing to the shelf" in answer.json()["problems"][0]["what"]
        assert host.get(f"/shelf/p{number}").status_code == 200


def test_a_shelf_that_cannot_be_opened_leaves_the_desk_open(host: TestClient, store: Store) -> None:
    (store.folder / "shelf.sqlite").write_bytes(b"no shelf at all " * 100)
    answer = host.get("/shelf")
    assert answer.status_code == 404 and "not a shelf" in answer.text
    assert host.get("/").status_code == 200
    assert host.post("/api/shelf/undo").status_code == 422


def test_no_page_of_the_shelf_shows_a_given_a_clue_or_a_solve(
    host: TestClient, shelf: Shelf, number: int
) -> None:
    host.put(f"/api/shelf/puzzles/{number}/permission", json=GRANTED)
    shelf.episodes.plan(number, "2026-12-01")
    setter = shelf.setters.all()[0].id
    host.post(f"/api/shelf/puzzles/{number}/judge")
    for path in (*PAGES, f"/shelf/p{number}", f"/shelf/s{setter}", "/shelf/e1"):
        page = host.get(path)
        assert page.status_code == 200
        assert not re.search(r"r\d+c\d+|givens|<svg", page.text), path


def test_texts_of_strangers_stay_texts(host: TestClient, shelf: Shelf, number: int) -> None:
    mean = "\"><script>alert(1)</script> {{ 713*719 }} ' &amp;"
    said = Said(permission=Permission.ASKED, words="a < b & \"c\" 'd' {{ 713*719 }}")
    shelf.puzzles.permit(number, said)
    for path in (f"/shelf/p{number}", "/shelf"):
        assert "{{ 713*719 }}" in host.get(path).text or path == "/shelf"
    found = host.get("/shelf", params={"find": mean, "list": mean, "permission": mean})
    assert found.status_code == 200 and "<script>alert" not in found.text and "512647" not in found.text
