"""
Title and description from a template that the host can edit.

A template is a text file: its first line makes the title, what follows makes the description. ``{name}``
stands for a field. A line that begins with ``? `` is left out where one of its fields has no value; elsewhere
a field without value is an error.

Source:
    Video sites: a title of at most 100 characters, a description of at most 5,000 bytes, no angle brackets.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from saywhy.errors import NotAllowedError, Problem
from saywhy.publishing.chapters import chapters
from saywhy.publishing.episode import Episode, shortened
from saywhy.publishing.talk import talk
from saywhy.recording.chapters import description

LONGEST_TITLE = 100
LONGEST_DESCRIPTION = 5_000
LONGEST_TEMPLATE = 20_000
_FIELD = re.compile(r"\{([^{}\n]{0,40})\}")
_FROM = {
    "link": "Give --link", "blind": "Give --blind or --rehearsed", "licence": "Give --licence",
    "next": "Give --next", "setter": "Give --setter-credit", "by": "Give --setter-credit",
    "series": "Give --series", "chapters": "The talk is too short for three chapters",
}  # fmt: skip


@dataclass(frozen=True)
class Words:
    """Title and description, within the limits of sites, and the fields whose lines were left out."""

    title: str
    description: str
    left_out: tuple[str, ...] = ()


def fields(episode: Episode) -> dict[str, str]:
    """Give the fields that a template may name; those that are not known are empty."""
    said = {None: "", True: episode.texts["blind"], False: episode.texts["rehearsed"]}
    return {
        "title": episode.title,
        "setter": episode.setter,
        "by": episode.by,
        "size": str(episode.puzzle.grid.size),
        "rules": "\n".join(episode.rules.written),
        "spoken-rules": episode.rules.spoken,
        "link": episode.link or "",
        "blind": said[episode.blind],
        "licence": shortened(episode.licence or ""),
        "next": episode.next_said,
        "series": shortened(episode.series or ""),
        "chapters": description(chapters(episode, talk(episode))).strip(),
    }


def words(episode: Episode, template: str | None = None, source: str | None = None) -> Words:
    """
    Fill a template.

    Raises:
        NotAllowedError: A field is not known or has no value, or the outcome is longer than sites allow; all
            problems at once.
    """
    text = episode.texts["template"] if template is None else template
    if len(text) > LONGEST_TEMPLATE:
        raise NotAllowedError(
            Problem("the template is too long", f"{LONGEST_TEMPLATE} characters do"), source
        )
    held = fields(episode)
    problems: list[Problem] = []
    lines: list[str] = []
    absent: list[str] = []
    for number, line in enumerate(text.splitlines(), 1):
        names = _FIELD.findall(line)
        optional = line.startswith("? ")
        fair = True
        absent += [name for name in names if optional and not held.get(name, name)]
        for name in names:
            if name not in held:
                known = ", ".join(held)
                problems.append(
                    Problem(f"there is no field {name!r}", f"The fields are {known}", line=number)
                )
                fair = False
            elif not held[name]:
                fair = False
                # The credit of a puzzle that has no setter is nothing to be asked for in our own template.
                if not optional and not (template is None and name == "by"):
                    mend = f"{_FROM.get(name, 'Give it')}, or begin the line with '? '"
                    problems.append(Problem(f"the field {name!r} has no value", mend, line=number))
        if fair or not optional:
            filled = _FIELD.sub(lambda found: held.get(found[1], ""), line.removeprefix("? "))
            lines.append(re.sub(r",? +([.,]|$)", r"\1", filled + " ").rstrip())
    if problems:
        raise NotAllowedError(problems, source)
    title = shortened(_plain(lines[0] if lines else ""), LONGEST_TITLE)
    description = re.sub(r"\n{3,}", "\n\n", _plain("\n".join(lines[1:]).strip())) + "\n"
    size = len(description.encode())
    if size > LONGEST_DESCRIPTION:
        what = f"the description has {size} bytes, and sites take {LONGEST_DESCRIPTION}"
        raise NotAllowedError(Problem(what, "Shorten the template, or leave {rules} out"), source)
    if not title:
        raise NotAllowedError(Problem("the title is empty", "Write it on the first line", line=1), source)
    return Words(title, description, tuple(dict.fromkeys(absent)))


def _plain(text: str) -> str:
    """Take out what sites refuse."""
    return text.replace("<", "\u2039").replace(">", "\u203a")
