"""The plan by HTTP: proposed, taken, taken back; nothing is written before it is taken."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from icalendar import Calendar
from starlette.testclient import TestClient

from saywhy.desk.store import Store
from saywhy.plan.outcome import make_plan
from saywhy.plan.sheet import read_sheet
from saywhy.plan.shelving import stock_of
from saywhy.shelf import Permission, Said, State

YES = Said(permission=Permission.GRANTED, on="2026-11-01", words="Gladly.")
FIRST = date.today() + timedelta(days=7)
SHEET = f"""
format = 1
[cadence]
first = {FIRST}
every = 4
episodes = 3
at = 18:00:00
[rest]
setter = 1
"""


@pytest.fixture(autouse=True)
def town(store: Store) -> Store:
    """Five puzzles that may air and one that may not; and a sheet."""
    for number in range(1, 7):
        text = f'format = 1\nsize = 4\ntitle = "Pier {number}"\n'
        day = f"2026-10-0{number}"
        setter = "gulls" if number % 2 else "quay cat"
        store.shelf.puzzles.add(text, setter=setter, received=day, said=YES if number < 6 else None)
    (store.folder / "plan.toml").write_text(SHEET, encoding="utf-8")
    return store


def propose(host: TestClient, **how: Any) -> dict[str, Any]:
    answer = host.post("/api/plan/propose", json=how)
    assert answer.status_code == 200, answer.text
    return dict(answer.json())


def names(told: dict[str, Any]) -> list[str]:
    return [place["puzzle"] for place in told["places"]]


def test_a_plan_is_proposed_taken_and_taken_back(host: TestClient, store: Store) -> None:
    told = propose(host)
    assert names(told) == ["p1", "p2", "p3"]
    assert all(place["why"] for place in told["places"])
    assert store.shelf.episodes.all() == []
    assert host.post("/api/plan/take", json={"key": told["key"]}).json()["episodes"] == 3
    assert [held.puzzle for held in store.shelf.episodes.all(state=State.PLANNED)] == [1, 2, 3]
    assert names(host.get("/api/plan").json()) == ["p1", "p2", "p3"]
    assert host.post("/api/plan/undo").json()["words"] == "a plan was taken"
    assert store.shelf.episodes.all() == []


def test_a_pin_by_hand_is_planned_around_and_kept(host: TestClient, store: Store) -> None:
    host.post("/api/plan/take", json={"key": propose(host)["key"]})
    day = str(FIRST + timedelta(days=4))
    told = propose(host, pins=[{"puzzle": "p4", "day": day}])
    assert names(told) == ["p1", "p4", "p3"]
    assert {change["puzzle"]: change["kind"] for change in told["changed"]} == {
        **{"p1": "kept", "p2": "off", "p3": "kept", "p4": "new"}
    }
    host.post("/api/plan/take", json={"key": told["key"]})
    assert [held.pinned for held in store.shelf.episodes.all()] == [False, True, False]
    assert [place["pinned"] for place in propose(host)["places"]] == [False, True, False]
    told = propose(host, loose=["p4"])
    assert [place["pinned"] for place in told["places"]] == [False, False, False]


def test_a_clash_is_told_and_can_give_way(host: TestClient) -> None:
    pins = [{"puzzle": "p1", "day": str(FIRST)}, {"puzzle": "p3", "day": str(FIRST + timedelta(days=4))}]
    told = propose(host, pins=pins)
    assert not told["made"]
    assert len(told["clash"]["wishes"]) == 3
    assert any("setter = 0" in mend for mend in told["clash"]["mends"])
    answer = host.post("/api/plan/take", json={"key": told["key"]})
    assert (answer.status_code, answer.json()["problems"][0]["what"]) == (422, "there is no plan to take")
    assert propose(host, pins=pins, give_way=True)["made"]


def test_what_would_break_elsewhere_is_told_by_day(host: TestClient) -> None:
    told = propose(host)
    breaks = host.post("/api/plan/elsewhere", json={"key": told["key"], "day": str(FIRST)}).json()["breaks"]
    days = [str(FIRST + timedelta(days=n)) for n in (4, 8)]
    assert sorted(breaks) == days
    assert "gulls at most once" in breaks[days[0]], "p1 would follow p3"
    assert breaks[days[1]] == ""


def test_a_sheet_that_was_tried_is_kept_when_its_plan_is_taken_and_undone_with_it(
    host: TestClient, store: Store
) -> None:
    sheet = SHEET.replace("episodes = 3", "episodes = 2")
    told = propose(host, sheet=sheet)
    assert (store.folder / "plan.toml").read_text() == SHEET
    host.post("/api/plan/take", json={"key": told["key"]})
    assert (store.folder / "plan.toml").read_text() == sheet
    host.post("/api/plan/undo")
    assert (store.folder / "plan.toml").read_text() == SHEET


def test_a_first_plan_of_few_puzzles_needs_no_sheet_and_leaves_none_when_it_is_undone(
    host: TestClient, store: Store
) -> None:
    (store.folder / "plan.toml").unlink()
    told = propose(host)
    assert told["made"] and told["clash"] is None
    assert 1 < sum(bool(name) for name in names(told)) < len(told["places"])
    assert not any("has an episode" in words for words in told["missed"]), "what may stay open is not missed"
    host.post("/api/plan/take", json={"key": told["key"]})
    assert (store.folder / "plan.toml").read_text() == told["sheet"]
    host.post("/api/plan/undo")
    assert not (store.folder / "plan.toml").exists()


def test_days_that_stay_empty_and_wishes_not_kept_are_told_as_at_the_terminal(
    host: TestClient, store: Store
) -> None:
    sheet = SHEET.replace("episodes = 3", "episodes = 9\ngaps = true").replace("setter = 1", "setter = 3")
    told = propose(host, sheet=sheet)
    made = make_plan(stock_of(store.shelf), read_sheet(sheet, "plan.toml"), date.today())
    [words] = told["empty"]
    assert "stay empty before the last episode" in words
    assert words.endswith(": a setter rests for 3 episodes; 5 puzzles by 2 setters may air")
    assert told["empty"] == made.empty and told["missed"] == made.reasons.not_kept() == []
    assert [place["why"] for place in told["places"]] == [made.reasons.why(slot) for slot in range(9)]
    soft = sheet.replace("setter = 3", 'setter = 3\ngive-way = ["setter"]')
    told = propose(host, sheet=soft)
    assert told["empty"] == [
        "4 days after the last episode stay empty: all puzzles that may air have their day"
    ]
    [missed] = told["missed"]
    assert missed.startswith("a setter rests for 3 episodes: gulls on ") and "; quay cat on " in missed


def test_what_stands_and_a_plan_without_gaps_have_no_line_about_empty_days(host: TestClient) -> None:
    told = propose(host)
    assert told["empty"] == [] and all(place["why"] for place in told["places"])
    assert host.get("/api/plan").json()["empty"] == []
    assert not any(place["why"] for place in host.get("/api/plan").json()["places"])


def test_a_day_that_was_given_up_is_told_as_empty(host: TestClient) -> None:
    sheet = SHEET.replace("episodes = 3", "episodes = 7")
    told = propose(host, sheet=sheet)
    assert not told["made"] and told["empty"] == told["missed"] == []
    told = propose(host, sheet=sheet, give_way=True)
    assert told["empty"] == [
        "2 days after the last episode stay empty: all puzzles that may air have their day"
    ]
    assert told["missed"] == []


def test_undo_is_refused_where_something_else_was_done_since(host: TestClient, store: Store) -> None:
    host.post("/api/plan/take", json={"key": propose(host)["key"]})
    store.shelf.puzzles.add("format = 1\nsize = 4\n")
    answer = host.post("/api/plan/undo")
    assert answer.status_code == 422
    assert "something else was done since" in answer.json()["problems"][0]["what"]


@pytest.mark.parametrize(
    ("body", "what"),
    [
        ({"sheet": "[["}, "not TOML"),
        ({"sheet": "format = 1\n[cadence]\nepisodes = 3\nevery = 0\n"}, "whole number from 1"),
        ({"pins": [{"puzzle": "p99", "day": str(FIRST)}]}, "there is no puzzle 'p99'"),
        ({"pins": [{"puzzle": "p1", "day": "2026-02-31"}]}, "is not a day"),
    ],
)
def test_what_is_wrong_is_told(host: TestClient, body: dict[str, Any], what: str) -> None:
    answer = host.post("/api/plan/propose", json=body)
    assert answer.status_code == 422
    assert any(what in problem["what"] for problem in answer.json()["problems"])


def test_a_proposal_that_is_not_there_is_refused(host: TestClient) -> None:
    assert host.post("/api/plan/take", json={"key": "nothing"}).status_code == 404
    assert host.post("/api/plan/elsewhere", json={"key": "nothing", "day": str(FIRST)}).status_code == 404


def test_the_page_and_the_calendar_show_what_stands_and_nothing_of_a_grid(host: TestClient) -> None:
    host.post("/api/plan/take", json={"key": propose(host)["key"]})
    page = host.get("/plan")
    assert page.status_code == 200
    assert "Pier 2" in page.text
    assert "givens" not in page.text and "r1c1" not in page.text
    answer = host.get("/api/plan/calendar")
    assert answer.headers["content-type"].startswith("text/calendar")
    events = Calendar.from_ical(answer.content).walk("VEVENT")
    assert str(events[0]["SUMMARY"]) == "Pier 1, set by gulls"


def test_a_sheet_that_does_not_read_leaves_the_page_standing(host: TestClient, store: Store) -> None:
    (store.folder / "plan.toml").write_text("nonsense", encoding="utf-8")
    page = host.get("/plan")
    assert page.status_code == 200
    assert "nonsense" in page.text


FULL = """
format = 1
# A remark.
[cadence]
first = 2026-12-01
weekdays = ["tue", "friday"]
until = 2027-03-31
at = 18:30:00
zone = "Europe/Lisbon"
skip = [2026-12-25, "2026-12-31 to 2027-01-02"]
gaps = true
[rest]
setter = 3
give-way = ["setter"]
[[effort]]
in = "first 3"
bands = ["a stroll"]
only = true
[[effort]]
goes = "up"
firm = false
[[request]]
puzzle = 'Quay "cat" \\ 7'
not-before = 2026-12-10
by = 2027-01-31
[[request]]
setter = "gulls"
around = 2026-12-24
within = 4
[[pin]]
puzzle = "p3"
on = 2026-12-29
"""


def test_a_form_says_all_that_a_sheet_says(host: TestClient) -> None:
    form = host.post("/api/plan/form", json={"sheet": FULL}).json()
    assert form["cadence"]["weekdays"] == ["tuesday", "friday"]
    assert form["cadence"]["skip"] == ["2026-12-25", "2026-12-31 to 2027-01-02"]
    assert form["request"][0]["puzzle"] == 'Quay "cat" \\ 7'
    text = host.post("/api/plan/sheet", json=form).json()["sheet"]
    assert read_sheet(text) == read_sheet(FULL)
    assert host.post("/api/plan/form", json={"sheet": text}).json() == form


def test_a_text_that_is_no_sheet_has_no_form(host: TestClient) -> None:
    refused = host.post("/api/plan/form", json={"sheet": "format = 1\n[cadense]\n"})
    assert refused.status_code == 422
    assert "cadense" in refused.text
    hostile: dict[str, Any] = {
        "request": [{"puzzle": 'a\x7f\n]\u2028["\\', "by": "2026-12-01"}],
        "cadence": {"episodes": 2},
    }
    text = host.post("/api/plan/sheet", json=hostile).json()["sheet"]
    held = host.post("/api/plan/form", json={"sheet": text})
    assert held.status_code == 422 or held.json()["request"][0]["puzzle"] == hostile["request"][0]["puzzle"]
