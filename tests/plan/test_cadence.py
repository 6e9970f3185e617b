"""The days and moments of a cadence: skips, leap days, changes of clocks."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from dateutil.rrule import rrulestr
from hypothesis import given, settings
from hypothesis import strategies as st

from saywhy.plan.cadence import Cadence

LISBON = ZoneInfo("Europe/Lisbon")


def test_every_fourth_day_with_days_skipped_that_do_not_shift_the_others() -> None:
    cadence = Cadence(date(2026, 12, 1), every=4, episodes=4, skip=((date(2026, 12, 5), date(2026, 12, 9)),))
    assert cadence.days() == [date(2026, 12, 1), date(2026, 12, 13), date(2026, 12, 17), date(2026, 12, 21)]


def test_weekdays_until_a_day() -> None:
    cadence = Cadence(date(2026, 12, 2), weekdays=(1, 4), until=date(2026, 12, 15))
    # 2 December 2026 is a Wednesday (ISO week 49).
    assert date(2026, 12, 2).isocalendar()[:3] == (2026, 49, 3)
    assert [f"{day:%a %d}" for day in cadence.days()] == ["Fri 04", "Tue 08", "Fri 11", "Tue 15"]


def test_a_leap_day_is_a_day() -> None:
    assert Cadence(date(2028, 2, 28), every=1, episodes=3).days()[1] == date(2028, 2, 29)
    assert Cadence(date(2027, 2, 28), every=1, episodes=2).days()[1] == date(2027, 3, 1)


def test_the_hour_stays_the_hosts_when_clocks_change() -> None:
    """
    Summer time ends on the last Sunday of October, 01:00 UTC.

    Source: Directive 2000/84/EC, articles 2 and 3 (from memory).
    """
    slots = Cadence(date(2026, 10, 24), every=1, episodes=2, at=time(18), zone=LISBON).slots()
    moments = [slot.at.astimezone(UTC) for slot in slots if slot.at is not None]
    assert moments == [datetime(2026, 10, 24, 17, tzinfo=UTC), datetime(2026, 10, 25, 18, tzinfo=UTC)]


def test_an_hour_that_clocks_leave_out_is_moved_on() -> None:
    """
    Summer time begins on the last Sunday of March, 01:00 UTC: in Lisbon there is no 01:30 on that day.

    Source: Directive 2000/84/EC, articles 2 and 3 (from memory).
    """
    [slot] = Cadence(date(2026, 3, 29), every=1, episodes=1, at=time(1, 30), zone=LISBON).slots()
    assert slot.at is not None
    assert (slot.at.hour, slot.at.minute, slot.at.astimezone(UTC).hour) == (2, 30, 1)


def test_what_would_come_before_and_after_is_known() -> None:
    weekly = Cadence(date(2026, 12, 1), weekdays=(1, 4), episodes=3)
    assert (weekly.before(), weekly.after(date(2026, 12, 8))) == (date(2026, 11, 27), date(2026, 12, 11))
    assert Cadence(date(2026, 12, 1), every=4, episodes=3).before() == date(2026, 11, 27)


@settings(deadline=None)
@given(
    st.dates(date(2020, 1, 1), date(2090, 1, 1)), st.integers(1, 40), st.integers(1, 60),
    st.lists(st.tuples(st.dates(date(2020, 1, 1), date(2092, 1, 1)), st.integers(0, 20)), max_size=5),
)  # fmt: skip
def test_days_are_those_of_plain_counting(
    first: date, every: int, episodes: int, gaps: list[tuple[date, int]]
) -> None:
    skip = tuple((day, day + timedelta(days=length)) for day, length in gaps)
    found = Cadence(first, every=every, episodes=episodes, skip=skip).days()
    counted, day = list[date](), first
    while len(counted) < episodes and (day - first).days <= 4000:
        if not any(start <= day <= end for start, end in skip):
            counted.append(day)
        day += timedelta(days=every)
    assert found == counted


def test_weekdays_are_those_of_a_recurrence_rule() -> None:
    rule = rrulestr("DTSTART:20261201T000000\nRRULE:FREQ=WEEKLY;BYDAY=TU,FR;COUNT=30")
    assert Cadence(date(2026, 12, 1), weekdays=(1, 4), episodes=30).days() == [m.date() for m in rule]
