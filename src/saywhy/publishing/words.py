"""
Title and description from a template that the host can edit.

A template is a text file: its first line makes the title, what follows makes the description. ``{name}``
stands for a field. A line that begins with ``? `` is left out where one of its fields has no value; elsewhere
a field without value is an error, unless the host leaves it out on purpose or wants a draft.

Source:
    Video sites: a title of at most 100 characters, a description of at most 5,000 bytes, no angle brackets.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass

from saywhy.errors import NotAllowedError, Problem
from saywhy.publishing.chapters import chapters
from saywhy.publishing.episode import Episode, shortened
from saywhy.publishing.talk import talk
from saywhy.recording.chapters import description

LONGEST_TITLE = 100
LONGEST_DESCRIPTION = 5_000
LONGEST_TEMPLATE = 20_000
#: Fields that may be left out on purpose; the setter's credit takes its clause along.
LEAVABLE = ("setter", "blind", "link", "licence", "next", "series", "chapters")
_CREDIT = ("setter", "by")
_FIELD = re.compile(r"\{([^{}\n]{0,40})\}")
_NAMED = (
    "the setter's credit",
    "Name the setter (--setter-credit TEXT; in the puzzle file: setter; on the shelf: shelf note --setter)",
)
#: What each field is, and how its value is given; what stands in parentheses is for the command line.
_LACKED = {
    "setter": _NAMED,
    "by": _NAMED,
    "blind": (
        "whether it is solved blind or rehearsed",
        "Say which (--blind or --rehearsed; --recording FILE says it too; on the shelf: shelf recorded)",
    ),
    "link": ("the address of the viewers' page", "Give it (--link URL)"),
    "licence": (
        "the licence of the puzzle",
        "Give it in the setter's words (--licence TEXT; on the shelf: shelf note --licence)",
    ),
    "next": (
        "when the next one airs",
        "Give a day or words (--next TEXT; on the shelf: plan a later episode by shelf air)",
    ),
    "series": ("the name of the series", "Give it (--series TEXT)"),
    "chapters": ("the list of chapters, since the talk is too short for three", "Go without"),
}


class UnfilledError(NotAllowedError):
    """Fields of a template have no value."""


@dataclass(frozen=True)
class Words:
    """
    Title and description, within the limits of sites.

    Attributes:
        title: The title.
        description: The description.
        left_out: The fields whose lines were left out, for want of a value or on purpose.
        unfilled: The fields that a draft lacks; the description names them.
    """

    title: str
    description: str
    left_out: tuple[str, ...] = ()
    unfilled: tuple[str, ...] = ()


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


#: Fields that every episode has a value of, but for the list of chapters, which a short talk lacks.
ALWAYS = ("title", "size", "rules", "spoken-rules", "chapters")


def words(
    episode: Episode,
    template: str | None = None,
    source: str | None = None,
    *,
    without: Collection[str] = (),
    draft: bool = False,
) -> Words:
    """
    Fill a template.

    Args:
        episode: The episode.
        template: The template; None for the catalogue's own.
        source: Its file name, for errors.
        without: Fields of ``LEAVABLE`` that are left out on purpose; a line goes with the last of its fields.
        draft: Whether fields without a value are shown as such and told above the description, instead of
            being errors.

    Raises:
        UnfilledError: A field has no value.
        NotAllowedError: A field is not known, or the outcome is longer than sites allow; with the fields
            that have no value, all problems at once.
    """
    text = episode.texts["template"] if template is None else template
    held = fields(episode)
    problems, unfilled = looked_through(text, held, without, own=template is not None)
    if draft:
        problems = [problem for problem in problems if problem not in unfilled.values()]
    if problems:
        raise (UnfilledError if unfilled and not draft else NotAllowedError)(problems, source)
    left = _left(without)
    held |= dict.fromkeys(left, "")
    blanks = {name: episode.texts["blank"].format(field=name) for name in unfilled}
    lines: list[str] = []
    absent: list[str] = []
    for line in text.splitlines():
        names = _FIELD.findall(line)
        empty = [name for name in names if not held[name]]
        optional = line.startswith("? ")
        absent += [_given_as(name) for name in empty if optional or name in left]
        if empty and (optional or left.issuperset(names)):
            continue
        filled = _FIELD.sub(lambda found: blanks.get(found[1]) or held[found[1]], line.removeprefix("? "))
        lines.append(re.sub(r",? +([.,]|$)", r"\1", filled + " ").rstrip())
    title = shortened(_plain(lines[0] if lines else ""), LONGEST_TITLE)
    body = "\n".join(lines[1:]).strip()
    if draft:
        body = f"{_marked(episode, unfilled)}\n\n{body}"
    description = re.sub(r"\n{3,}", "\n\n", _plain(body)) + "\n"
    size = len(description.encode())
    if size > LONGEST_DESCRIPTION:
        what = f"the description has {size} bytes, and sites take {LONGEST_DESCRIPTION}"
        raise NotAllowedError(Problem(what, "Shorten the template, or leave {rules} out"), source)
    if not title:
        raise NotAllowedError(Problem("the title is empty", "Write it on the first line", line=1), source)
    return Words(title, description, tuple(dict.fromkeys(absent)), tuple(unfilled))


def looked_through(
    text: str, held: Mapping[str, str], without: Collection[str], *, own: bool
) -> tuple[list[Problem], dict[str, Problem]]:
    """
    Look through a template before it is filled.

    Args:
        text: The template.
        held: The fields by name, empty where they have no value.
        without: Fields that are left out on purpose.
        own: Whether the template is the host's own, so that problems name its lines.

    Returns:
        All problems in the order of the lines; and, of these, what is said of each field without a value.
    """
    if len(text) > LONGEST_TEMPLATE:
        return [Problem("the template is too long", f"{LONGEST_TEMPLATE} characters do")], {}
    left = _left(without)
    problems: list[Problem] = []
    unfilled: dict[str, Problem] = {}
    for number, line in enumerate(text.splitlines(), 1):
        names = _FIELD.findall(line)
        problems += [
            Problem(f"there is no field {name!r}", f"The fields are {', '.join(held)}", line=number)
            for name in names
            if name not in held
        ]
        if line.startswith("? ") or left.issuperset(names):
            continue
        for name in names:
            if held.get(name) == "" and name not in left and name not in unfilled:
                unfilled[name] = _lack(name, number if own else None)
                problems.append(unfilled[name])
    return problems, unfilled


def _left(without: Collection[str]) -> set[str]:
    """Give all names of the fields that are left out on purpose."""
    return set(without) | (set(_CREDIT) if "setter" in without else set())


def _lack(name: str, line: int | None) -> Problem:
    """Say that a field has no value; the line is given where the template is the host's own."""
    lacked, mend = _LACKED.get(name, (f"the field {{{name}}}", "Give it"))
    leave = _given_as(name)
    if leave in LEAVABLE:
        mend += f", or leave it out on purpose (--without {leave})"
    if line is not None:
        mend += "; or begin the line with '? ', and it goes where the field has no value"
    field = "description" if line is None else None
    return Problem(f"{{{name}}} has no value: {lacked}", mend, field, line=line)


def _given_as(name: str) -> str:
    """Give the name under which a field is given or left out."""
    return "setter" if name == "by" else name


def _marked(episode: Episode, unfilled: Collection[str]) -> str:
    """Say above a description that it is a draft, and what it lacks."""
    texts = episode.texts
    lacks = [texts["draft_lacks"].format(fields=", ".join(unfilled))] if unfilled else []
    return " ".join([texts["draft"], *lacks])


def _plain(text: str) -> str:
    """Take out what sites refuse."""
    return text.replace("<", "\u2039").replace(">", "\u203a")
