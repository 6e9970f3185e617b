"""The calendar file, read back by a reader of its own and held against the standard."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from icalendar import Calendar

from saywhy.plan.cadence import Cadence
from saywhy.plan.calendar import calendar
from saywhy.plan.series import Candidate, Series

MADE = datetime(2026, 11, 25, 20, tzinfo=UTC)
LONG = "A quay, a gull; and the long way round, " * 4


def series(at: bool) -> Series:
    from datetime import time

    zone = ZoneInfo("Europe/Lisbon")
    cadence = Cadence(date(2027, 3, 27), every=1, episodes=3, at=time(18) if at else None, zone=zone)
    puzzles = (Candidate("p1", LONG.strip(), "Möwe, quay", minutes=24.4), Candidate("p2", "Low tide"))
    return Series(puzzles, tuple(cadence.slots()))


def test_events_have_their_moments_in_utc_and_what_is_said_of_them() -> None:
    data = calendar(series(at=True), (0, 1, None), MADE)
    events = Calendar.from_ical(data).walk("VEVENT")
    # Lisbon's clocks go on at 01:00 UTC on 28 March 2027, the last Sunday of March.
    assert [event.decoded("DTSTART") for event in events] == [
        datetime(2027, 3, 27, 18, tzinfo=UTC),
        datetime(2027, 3, 28, 17, tzinfo=UTC),
    ]
    assert str(events[0]["SUMMARY"]) == f"{LONG.strip()}, set by Möwe, quay"
    assert [event.decoded("DURATION") for event in events] == [timedelta(minutes=24), timedelta(minutes=30)]


def test_lines_are_as_rfc_5545_asks() -> None:
    """RFC 5545, 3.1: lines end in CRLF and have 75 octets at most, letters whole; 3.3.11: commas escaped."""
    data = calendar(series(at=False), (0, 1, None), MADE)
    lines = data.split(b"\r\n")
    assert lines[-1] == b"" and not any(b"\n" in line or b"\r" in line for line in lines)
    assert max(map(len, lines)) <= 75
    for line in lines:
        line.decode()
    assert data.count(b"BEGIN:VEVENT") == 2
    assert b"DTSTART;VALUE=DATE:20270327" in data
    assert b"\\," in data


def test_an_episode_that_moves_keeps_its_id() -> None:
    held = series(at=True)
    one = calendar(held, (0, 1, None), MADE)
    other = calendar(replace(held), (None, 1, 0), MADE)
    uids = [
        {str(e["UID"]): str(e["SUMMARY"]) for e in Calendar.from_ical(d).walk("VEVENT")} for d in (one, other)
    ]
    assert uids[0] == uids[1]
    assert len(uids[0]) == 2
