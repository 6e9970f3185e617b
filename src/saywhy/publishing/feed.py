"""
The series as an Atom feed and as a calendar, with ids that never change.

Source:
    RFC 4287 (Atom); RFC 5545 (iCalendar), by the library icalendar.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, time, timedelta
from uuid import UUID, uuid5
from xml.etree import ElementTree

from saywhy.publishing.episode import Entry, Episode, shortened

ATOM = "http://www.w3.org/2005/Atom"
_SERIES = UUID("b6c6a1d5-9c3f-5f0e-8a39-5f3f5d3f7f11")
#: Length of an event where nothing is known of the talk.
USUAL_MINUTES = 20.0


def series(episode: Episode) -> list[Entry]:
    """Give the entries of an episode's series that have a time, the earliest first; each id once."""
    held = {entry.id: entry for entry in episode.others}
    if episode.entry is not None:
        held[episode.uuid] = episode.entry
    return sorted(held.values(), key=lambda entry: (moment(entry.airs), str(entry.id)))


def atom(entries: Sequence[Entry], name: str, language: str = "en") -> bytes:
    """
    Give the feed, the latest first.

    Args:
        entries: At least one.
        name: The series' name, from which the feed's id is made.
        language: Tag of its language.
    """
    dated = sorted(entries, key=lambda entry: moment(entry.airs), reverse=True)
    feed = ElementTree.Element("feed", {"xmlns": ATOM, "xml:lang": language})
    _add(feed, "id", f"urn:uuid:{uuid5(_SERIES, name)}")
    _add(feed, "title", shortened(name))
    _add(feed, "updated", _stamp(dated[0].airs))
    author = ElementTree.SubElement(feed, "author")
    _add(author, "name", shortened(name))
    for held in dated:
        entry = ElementTree.SubElement(feed, "entry")
        _add(entry, "id", f"urn:uuid:{held.id}")
        _add(entry, "title", f"{held.title}, {held.by}" if held.by else held.title)
        _add(entry, "updated", _stamp(held.airs))
        if held.link:
            ElementTree.SubElement(
                entry, "link", {"rel": "alternate", "type": "text/html", "href": held.link}
            )
        content = ElementTree.SubElement(entry, "content", {"type": "text"})
        content.text = "\n".join(held.rules)
    ElementTree.indent(feed)
    made: bytes = ElementTree.tostring(feed, encoding="utf-8", xml_declaration=True)
    return made + b"\n"


def calendar(entries: Sequence[Entry], name: str, texts: Mapping[str, str]) -> bytes:
    """
    Give the calendar, the earliest first: each event as long as its talk, or the day where no time is known.

    Args:
        entries: The entries.
        name: The series' name.
        texts: The published texts.
    """
    from icalendar import Calendar, Event

    made = Calendar()
    made.add("prodid", "-//saywhy//episodes//EN")
    made.add("version", "2.0")
    made.add("name", shortened(name))
    for entry in sorted(entries, key=lambda entry: (moment(entry.airs), str(entry.id))):
        event = Event()
        event.add("uid", str(entry.id))
        event.add("dtstamp", moment(entry.airs))
        if isinstance(entry.airs, datetime):
            event.add("dtstart", moment(entry.airs))
            event.add("duration", timedelta(minutes=max(1, round(entry.minutes or USUAL_MINUTES))))
        else:
            event.add("dtstart", entry.airs)
        event.add("summary", texts["event"].format(title=entry.title))
        event.add("description", "\n".join(filter(None, (entry.by, *entry.rules))))
        if entry.link:
            event.add("url", entry.link)
        made.add_component(event)
    data: bytes = made.to_ical()
    return data


def moment(airs: date) -> datetime:
    """Give a time of airing in UTC; of a day its beginning."""
    return airs.astimezone(UTC) if isinstance(airs, datetime) else datetime.combine(airs, time(), UTC)


def _stamp(airs: date) -> str:
    return moment(airs).strftime("%Y-%m-%dT%H:%M:%SZ")


def _add(parent: ElementTree.Element, name: str, text: str) -> None:
    ElementTree.SubElement(parent, name).text = text
