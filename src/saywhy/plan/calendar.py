"""
A plan as a calendar file.

Source:
    RFC 5545 (iCalendar) and RFC 7986 (UID, NAME), by the library icalendar.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from uuid import UUID, uuid5

from saywhy.plan.series import Line, Series

#: The name under which ids of planned episodes are made; never to be changed.
_SPACE = UUID("5b0b4a5e-93a4-5a4b-8f0c-0d6c1d6a3f52")
#: How long an episode is taken to be where that is not known.
USUAL_MINUTES = 30.0


def calendar(series: Series, line: Line, made: datetime, name: str = "Saywhy") -> bytes:
    """
    Give the episodes as events: titles, setters and lengths, nothing of a solve.

    Args:
        series: The series.
        line: What stands in each slot.
        made: When the plan was made, with its zone.
        name: What the calendar is called.
    """
    from icalendar import Calendar, Event

    held = Calendar()
    held.add("prodid", "-//saywhy//plan//EN")
    held.add("version", "2.0")
    held.add("name", name)
    for slot, number in enumerate(line):
        if number is None:
            continue
        candidate, place = series.candidates[number], series.slots[slot]
        event = Event()
        event.add("uid", str(uuid5(_SPACE, candidate.name)))
        event.add("dtstamp", made.astimezone(UTC))
        if place.at is None:
            event.add("dtstart", place.day)
        else:
            event.add("dtstart", place.at.astimezone(UTC))
            minutes = USUAL_MINUTES if candidate.minutes is None else candidate.minutes
            event.add("duration", timedelta(minutes=max(1, round(minutes))))
        by = f", set by {candidate.setter}" if candidate.setter else ""
        event.add("summary", f"{candidate.called}{by}")
        told = [f"effort: {candidate.band}"] if candidate.band else []
        told += [f"rules: {', '.join(sorted(candidate.families))}"] if candidate.families else []
        if told:
            event.add("description", "\n".join(told))
        event.add("status", "CONFIRMED" if slot in series.fixed else "TENTATIVE")
        held.add_component(event)
    data: bytes = held.to_ical()
    return data
