"""
The series as an Atom feed and as a calendar, with ids that never change.

Source:
    RFC 4287 (Atom); RFC 5545 (iCalendar), by the library icalendar.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, timedelta
from uuid import UUID, uuid5
from xml.etree import ElementTree

from saywhy.publishing.episode import Episode, shortened

ATOM = "http://www.w3.org/2005/Atom"
_SERIES = UUID("b6c6a1d5-9c3f-5f0e-8a39-5f3f5d3f7f11")


def atom(episodes: Sequence[Episode], series: str = "Saywhy") -> bytes:
    """
    Give the feed of episodes that have a time of airing, the latest first.

    Args:
        episodes: At least one with ``airs``.
        series: Its name, from which the feed's id is made.
    """
    dated = sorted((e for e in episodes if e.airs is not None), key=_time, reverse=True)
    feed = ElementTree.Element("feed", {"xmlns": ATOM, "xml:lang": dated[0].language})
    _add(feed, "id", f"urn:uuid:{uuid5(_SERIES, series)}")
    _add(feed, "title", shortened(series))
    _add(feed, "updated", _time(dated[0]))
    author = ElementTree.SubElement(feed, "author")
    _add(author, "name", shortened(series))
    for episode in dated:
        entry = ElementTree.SubElement(feed, "entry")
        _add(entry, "id", f"urn:uuid:{episode.uuid}")
        _add(entry, "title", f"{episode.title}, {episode.by}" if episode.by else episode.title)
        _add(entry, "updated", _time(episode))
        if episode.link:
            ElementTree.SubElement(
                entry, "link", {"rel": "alternate", "type": "text/html", "href": episode.link}
            )
        content = ElementTree.SubElement(entry, "content", {"type": "text"})
        content.text = "\n".join(episode.rules.written)
    ElementTree.indent(feed)
    made: bytes = ElementTree.tostring(feed, encoding="utf-8", xml_declaration=True)
    return made + b"\n"


def calendar(episodes: Sequence[Episode], series: str = "Saywhy") -> bytes:
    """Give the calendar of episodes that have a time of airing, each as long as its talk."""
    from icalendar import Calendar, Event

    made = Calendar()
    made.add("prodid", "-//saywhy//episodes//EN")
    made.add("version", "2.0")
    made.add("name", shortened(series))
    for episode in sorted((e for e in episodes if e.airs is not None), key=_time):
        if episode.airs is None:
            continue
        airs = episode.airs.astimezone(UTC)
        event = Event()
        event.add("uid", str(episode.uuid))
        event.add("dtstamp", airs)
        event.add("dtstart", airs)
        minutes = episode.path.effort.minutes[1] if episode.path.effort else 20.0
        event.add("duration", timedelta(minutes=max(1, round(minutes))))
        event.add("summary", episode.texts["event"].format(title=episode.title))
        event.add("description", "\n".join(filter(None, (episode.by, *episode.rules.written))))
        if episode.link:
            event.add("url", episode.link)
        made.add_component(event)
    data: bytes = made.to_ical()
    return data


def _time(episode: Episode) -> str:
    assert episode.airs is not None, "only dated episodes come here"
    return episode.airs.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def _add(parent: ElementTree.Element, name: str, text: str) -> None:
    ElementTree.SubElement(parent, name).text = text
