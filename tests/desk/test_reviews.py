"""Reviews on the desk by HTTP and by its live line: given, stopped, refused, and summed up in habits."""

from __future__ import annotations

import json
from threading import Event

import pytest
from starlette.testclient import TestClient

from saywhy.desk.exchange import NotHereError
from saywhy.desk.reviews import Reviews, StoppedError
from saywhy.desk.store import Store
from saywhy.engine import prove
from saywhy.errors import NotAllowedError
from saywhy.files import read_text
from saywhy.recording.acts import AnyAct, Finish, Place
from saywhy.recording.log import Recording
from tests.desk.desks import HARBOUR, LINE, ROOT, harbour
from tests.recording.test_fuzz import HEADER


def solved(store: Store, pace: float = 20.0) -> str:
    """Keep a recording of a whole solve and give its key."""
    solution = prove(harbour()).solution
    assert solution is not None
    empty = [cell for cell, digit in enumerate(harbour().givens) if not digit]
    acts: list[AnyAct] = [
        Place(t=pace * k, cell=harbour().grid.name(cell), digit=solution[cell])
        for k, cell in enumerate(empty, 1)
    ]
    kept = store.puzzle(store.same_puzzle(harbour()) or store.keep_puzzle(harbour()))
    assert kept is not None
    return store.keep_recording(kept, Recording(HEADER, (*acts, Finish(t=acts[-1].t))))


def test_downloads_are_made_for_the_host_and_for_viewers(host: TestClient, store: Store) -> None:
    key = solved(store)
    one = f"/api/recordings/{key}"
    told = host.get(f"{one}/review.json").json()
    assert told["finished"] and len(told["moves"]) == sum(not given for given in harbour().givens)
    quiet = host.get(f"{one}/review.json?viewers=yes").text
    assert "r1c" not in quiet and '"digit"' not in quiet and json.loads(quiet)["counts"] == told["counts"]
    assert host.get(f"{one}/chapters.txt").text.startswith("0:00 Rules\n")
    assert host.get(f"{one}/chapters.vtt").text.startswith("WEBVTT\n")
    assert "attachment" in host.get(f"{one}/report.html").headers["content-disposition"]
    page = host.get(f"{one}/report.html?viewers=yes").text
    assert page.count("<h2") == page.count("<section>") == 3, (
        "each part has its rule above it, as in the host's"
    )
    assert host.get(f"{one}/errata.txt").status_code == 404  # nothing was wrong
    assert host.get(f"{one}/report.html?viewers=perhaps").status_code == 400
    assert host.get("/api/recordings/abcdefghijkm/review.json").status_code == 404


def test_the_page_waits_for_a_review_and_then_has_it(host: TestClient, store: Store) -> None:
    key = solved(store)
    before = host.get(f"/review/{key}").text
    assert 'id="judge"' in before and 'id="moves"' not in before
    assert "Nothing has been reviewed yet" in before
    with host.websocket_connect(f"{LINE}/live/reviews/{key}", headers={"origin": ROOT}) as line:
        assert line.receive_json() == {"done": True}
    after = host.get(f"/review/{key}").text
    assert 'id="judge"' not in after and 'id="moves"' in after
    assert "1 solve reviewed" in after


def test_a_recording_that_has_grown_is_reviewed_anew(store: Store) -> None:
    key = solved(store)
    reviews = Reviews(store)
    reviews.review(key)
    assert reviews.kept(key) is not None
    with store.file(key).open("a", encoding="utf-8") as file:
        file.write('{"do":"marker","t":9999,"name":"later"}\n')
    assert reviews.kept(key) is None


def test_a_review_that_nobody_waits_for_is_stopped(store: Store) -> None:
    key = solved(store)
    stop = Event()
    stop.set()
    reviews = Reviews(store)
    with pytest.raises(StoppedError):
        reviews.review(key, stop)
    assert reviews.kept(key) is None
    assert reviews.review(key).facts["moves"]


def test_what_cannot_be_reviewed_says_why(store: Store, host: TestClient) -> None:
    many = store.puzzle(store.keep_puzzle(read_text(HARBOUR.partition("[[clue]]")[0])[0]))
    assert many is not None
    key = store.begin_recording(many, blind=True)
    with pytest.raises(NotAllowedError, match="verdict is many"):
        Reviews(store).review(key)
    with pytest.raises(NotHereError):
        Reviews(store).review("abcdefghijkm")
    with host.websocket_connect(f"{LINE}/live/reviews/{key}", headers={"origin": ROOT}) as line:
        assert "verdict is many" in line.receive_json()["problem"]
    with host.websocket_connect(f"{LINE}/live/reviews/abcdefghijkm", headers={"origin": ROOT}) as line:
        assert "not on the desk" in line.receive_json()["problem"]


def test_habits_are_summed_up_and_from_ten_solves_on_fitted(store: Store, host: TestClient) -> None:
    reviews = Reviews(store)
    key = solved(store)
    held = reviews.review(key).evening
    assert held.estimate_s is not None and held.length_s > 0
    others = [solved(store, pace=20.0 + k) for k in range(9)]
    found, waiting = reviews.habits()
    assert (found.recordings, found.fit, len(waiting)) == (1, None, 9)
    # What a review leaves on disk is all that habits need: written here as nine more reviews would.
    data = (reviews.folder / f"{key}.json").read_bytes()
    for other in others:
        (reviews.folder / f"{other}.json").write_bytes(data)
    found, waiting = Reviews(store).habits()
    assert found.fit is not None and found.recordings == 10 and not waiting
    assert found.fit.factor == pytest.approx(held.length_s / held.estimate_s) and found.fit.error == 0
    assert "times the speaking time" in host.get(f"/review/{key}").text
