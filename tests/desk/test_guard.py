"""Who may speak to the desk: the attacks that a local web app meets, tried."""

from __future__ import annotations

import asyncio
import json
import re
from typing import Any

import pytest
from starlette.testclient import TestClient
from starlette.types import Message
from starlette.websockets import WebSocketDisconnect

from saywhy.desk.store import Store
from tests.desk.desks import KEY, LINE, PORT, ROOT, harbour

COOKIE = f"saywhy-desk-{PORT}"


def test_without_the_key_nothing_is_told(stranger: TestClient, store: Store) -> None:
    store.keep_puzzle(harbour())
    for path in ("/", "/draw", "/openapi.json", "/static/x/style.css", "/nothing", "/api/puzzles/x"):
        answer = stranger.get(path)
        assert answer.status_code == 401, path
        assert "Harbour" not in answer.text


def test_the_address_with_the_key_opens_the_desk_and_leaves_the_address(stranger: TestClient) -> None:
    answer = stranger.get(f"/draw?key={KEY}&more=1")
    assert (answer.status_code, answer.headers["location"]) == (303, "/draw?more=1")
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie and "samesite=strict" in cookie
    assert stranger.get("/draw").status_code == 200


@pytest.mark.parametrize("key", ["", "wrong", KEY[:-1], KEY + "x", "\N{SNOWMAN}", "%00"])
def test_a_wrong_key_opens_nothing(stranger: TestClient, key: str) -> None:
    assert stranger.get("/", params={"key": key}).status_code == 401
    stranger.headers["Cookie"] = f"{COOKIE}={key.encode('ascii', 'replace').decode()}; a=b=c; ;;"
    assert stranger.get("/").status_code == 401


def test_the_redirect_stays_on_the_desk(stranger: TestClient) -> None:
    status, headers = _raw(stranger, "//elsewhere.example/%5c..", f"key={KEY}")
    assert (status, headers["location"]) == (303, "/elsewhere.example/%5c..")


@pytest.mark.parametrize(
    "name", ["elsewhere.example", "127.0.0.1", "127.0.0.1:1", f"0.0.0.0:{PORT}", f"localhost.:{PORT}", ""]
)
def test_another_host_name_is_refused(host: TestClient, name: str) -> None:
    """A name that a stranger makes to point at this machine (DNS rebinding) is still another name."""
    assert host.get("/", headers={"Host": name}).status_code == 421


def test_localhost_is_this_machine_too(host: TestClient) -> None:
    origin = f"http://localhost:{PORT}"
    assert host.get("/", headers={"Host": f"localhost:{PORT}", "Origin": origin}).status_code == 200


FOREIGN = [
    "http://elsewhere.example",
    "null",
    f"https://127.0.0.1:{PORT}",
    "http://127.0.0.1:1",
    "file://",
    "",
]


@pytest.mark.parametrize("origin", FOREIGN)
def test_a_page_from_elsewhere_can_change_and_read_nothing(
    host: TestClient, store: Store, origin: str
) -> None:
    key = store.keep_puzzle(harbour())
    foreign = {"Origin": origin}
    assert host.get(f"/api/puzzles/{key}", headers=foreign).status_code == 403
    assert host.delete(f"/api/puzzles/{key}", headers=foreign).status_code == 403
    assert host.post("/api/puzzles", json={"size": 4}, headers=foreign).status_code == 403
    assert len(store.puzzles()) == 1


def test_a_change_without_origin_is_refused(host: TestClient, store: Store) -> None:
    key = store.keep_puzzle(harbour())
    del host.headers["Origin"]
    assert host.delete(f"/api/puzzles/{key}").status_code == 403
    assert host.get(f"/api/puzzles/{key}").status_code == 200


def test_a_subresource_from_elsewhere_is_refused_and_a_link_is_not(host: TestClient) -> None:
    del host.headers["Origin"]
    image = {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors"}
    assert host.get("/openapi.json", headers=image).status_code == 403
    assert host.get("/", headers={**image, "Sec-Fetch-Mode": "navigate"}).status_code == 200


@pytest.mark.parametrize("origin", [*FOREIGN, None])
@pytest.mark.parametrize("path", ["/live/drawing", "/live/recordings/abc"])
def test_a_socket_from_elsewhere_is_refused(host: TestClient, origin: str | None, path: str) -> None:
    del host.headers["Origin"]
    headers = {} if origin is None else {"Origin": origin}
    assert _closed(host, path, headers) == 1008


def test_a_socket_without_key_or_with_another_host_is_refused(host: TestClient) -> None:
    with host.websocket_connect(f"{LINE}/live/drawing"):
        pass  # the host's own page is let in
    assert _closed(host, "/live/drawing", {"Host": "elsewhere.example"}) == 1008
    host.cookies.clear()
    assert _closed(host, "/live/drawing", {}) == 1008


def test_a_form_cannot_reach_an_endpoint(host: TestClient) -> None:
    for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data", ""):
        answer = host.post("/api/puzzles", content=b'{"size":4}', headers={"Content-Type": kind})
        assert answer.status_code == 415


def test_every_answer_carries_the_policy(host: TestClient) -> None:
    for path in ("/", "/nothing", "/api/puzzles/nothing", "/openapi.json"):
        headers = host.get(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert "frame-ancestors 'none'" in policy and "base-uri 'none'" in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["cache-control"] == "no-store"


def test_pages_hold_no_script_but_data_and_the_import_map(host: TestClient, store: Store) -> None:
    key = store.keep_puzzle(harbour())
    for path in ("/", "/draw", f"/fit/{key}", f"/rehearse/{key}", f"/rehearse/{key}/notes", f"/record/{key}"):
        page = host.get(path).text
        inline = re.findall(r"<script(?![^>]*\bsrc=)([^>]*)>", page)
        assert all("importmap" in kind or "application/json" in kind for kind in inline), path
        assert not re.search(r"\son\w+\s*=|style\s*=|javascript:", page), path


HOSTILE = "</script><script>alert(1)</script><img src=x onerror=alert(2)>&quot;'\"{{7*7}}"


def test_words_from_strangers_stay_words(host: TestClient, store: Store) -> None:
    """Such titles are refused by the reader; what got into the store some other way is still only text."""
    assert host.post("/api/puzzles", json={"size": 4, "title": HOSTILE}).status_code == 422
    key = store.keep_puzzle(harbour())
    store._base.execute("UPDATE puzzle SET title = ?, setter = ?", (HOSTILE, HOSTILE))
    for path in ("/", f"/fit/{key}", f"/rehearse/{key}", f"/record/{key}", f"/draw/{key}"):
        answer = host.get(path)
        if answer.status_code == 200:
            assert "<script>alert" not in answer.text and "<img src=x" not in answer.text, path
            assert "49" not in re.sub(r"\d{3,}|[0-9a-f]{12}", "", _heading(answer.text)), path


def test_words_of_a_strangers_recording_stay_words(host: TestClient, store: Store) -> None:
    key = store.keep_puzzle(harbour())
    begun = host.post("/api/recordings", json={"puzzle": key, "blind": True}).json()["key"]
    text = host.get(f"/api/recordings/{begun}/file").text
    text += json.dumps({"t": 1, "do": "marker", "name": HOSTILE}) + "\n"
    taken = host.post("/api/recordings/import", json={"puzzle": key, "text": text}).json()["key"]
    page = host.get(f"/review/{taken}").text
    assert "<script>alert" not in page and "<img src=x" not in page
    assert "&lt;/script&gt;" in page
    facts = re.search(r'<script type="application/json" id="facts">(.*?)</script>', page, re.DOTALL)
    assert facts is not None and json.loads(facts[1])["acts"][0]["name"] == HOSTILE


def test_no_address_reaches_a_file_outside(host: TestClient) -> None:
    version = re.search(r"/static/([0-9a-f]{12})/", host.get("/").text)
    assert version is not None
    base = f"/static/{version[1]}/"
    assert host.get(base + "style.css").status_code == 200
    for name in (
        "../store.py",
        "..%2fstore.py",
        "%2e%2e/store.py",
        "/etc/passwd",
        "fonts/../../store.py",
        "x\0",
    ):
        assert _raw(host, base + name)[0] == 404, name
    for key in ("..", "../../etc/passwd", "..%2f..%2fx", "a/b", "%00", "x" * 4000):
        for path in ("/api/recordings/{}/file", "/stage/{}", "/review/{}", "/draw/{}"):
            assert _raw(host, path.format(key))[0] == 404, key


def _raw(client: TestClient, path: str, query: str = "") -> tuple[int, dict[str, str]]:
    """Ask with a path that no tidy client would send."""
    told: list[Message] = []
    cookie = "; ".join(f"{name}={value}" for name, value in client.cookies.items())
    headers = {"host": ROOT.removeprefix("http://"), "cookie": cookie}
    scope = {
        "type": "http",
        "asgi": {"version": "3.0"},
        "http_version": "1.1",
        "method": "GET",
        "scheme": "http",
        "path": path,
        "raw_path": path.encode(),
        "query_string": query.encode(),
        "root_path": "",
        "headers": [(name.encode(), value.encode()) for name, value in headers.items()],
    }

    async def receive() -> Message:
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message: Message) -> None:
        told.append(message)

    async def run() -> None:
        await client.app(scope, receive, send)

    asyncio.run(run())
    found = {name.decode(): value.decode() for name, value in told[0]["headers"]}
    return told[0]["status"], found


def _heading(page: str) -> str:
    found = re.search(r"<h1[^>]*>(.*?)</h1>", page, re.DOTALL)
    return found[1] if found else ""


def _closed(client: TestClient, path: str, headers: dict[str, str]) -> Any:
    with pytest.raises(WebSocketDisconnect) as closed, client.websocket_connect(LINE + path, headers=headers):
        pass
    return closed.value.code
