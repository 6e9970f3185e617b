"""
The program that makes a pack beside the desk, so that it can be stopped at any moment.

It reads a ``Job`` from its standard input and tells on its standard output what it is at, one object a line.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import msgspec
from msgspec import Meta

from saywhy.desk.drafts import DraftProblem, told
from saywhy.errors import Problem, SaywhyError

if TYPE_CHECKING:
    from saywhy.publishing.episode import Entry
    from saywhy.publishing.facts import Facts
    from saywhy.recording.log import Recording

Short = Annotated[str, Meta(max_length=300)]
#: Fields that the description of an episode is expected to have.
EXPECTED = ("credit", "how", "link", "licence", "next")
#: Their names in the template, where these are others.
_OF_TEMPLATE = {"credit": "setter", "how": "blind"}


class Order(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """
    What the host asks for; an empty text is a field that is not filled.

    Attributes:
        title: The episode's own title; empty for the puzzle's.
        credit: The setter's credit.
        how: Blind or rehearsed.
        link: Address of the viewers' page.
        licence: The puzzle's licence.
        next: When the next one airs: a day, or words.
        airs: When this one does: a day, or a time with its offset.
        series: Name of the series.
        without: Which of the expected fields are left out on purpose.
        template: Template of title and description; empty for the usual one.
        recording: Key of the recording that chapters and captions come from; empty for none.
        path: Whether solution and path are printed too.
        films: Kinds of films.
    """

    title: Short = ""
    credit: Short = ""
    how: Literal["blind", "rehearsed", ""] = ""
    link: Annotated[str, Meta(max_length=600)] = ""
    licence: Short = ""
    next: Short = ""
    airs: Annotated[str, Meta(max_length=60)] = ""
    series: Short = ""
    without: Annotated[list[Literal["credit", "how", "link", "licence", "next"]], Meta(max_length=5)] = []
    template: Annotated[str, Meta(max_length=20_000)] = ""
    recording: Annotated[str, Meta(max_length=40)] = ""
    path: bool = False
    films: Annotated[list[Literal["mp4", "webm"]], Meta(max_length=2)] = []


class Job(msgspec.Struct, frozen=True, kw_only=True):
    """
    All that the program needs.

    Attributes:
        text: The puzzle's file.
        order: What was asked for.
        recording: The recording, JSON Lines; empty for none.
        folder: Where the pack goes.
        shelf: Folder of the shelf; empty for none.
        episode: Number of the episode on it.
    """

    text: str
    order: Order
    recording: str = ""
    folder: str
    shelf: str = ""
    episode: int = 0


class News(msgspec.Struct, frozen=True, kw_only=True):
    """What the program is at: a stage, its number from 0 and how many there are; or what is wrong."""

    stage: str = ""
    number: int = 0
    of: int = 1
    problems: list[DraftProblem] = []


def unfilled(order: Order) -> list[Problem]:
    """Give a problem for each expected field that is neither filled nor left out on purpose."""
    lacks = {
        "credit": ("The setter's credit is not filled in", "Fill it in, or tick that nobody is named"),
        "how": (
            "Whether it is solved blind or rehearsed is not said",
            "Choose one, or tick that it is left out",
        ),
        "link": ("The address is not filled in", "Fill it in, or tick that there is none"),
        "licence": ("The licence is not filled in", "Fill it in, or tick that none was given"),
        "next": ("The next date is not filled in", "Fill it in, or tick that it is not known yet"),
    }
    return [
        Problem(*lacks[name], name)
        for name in EXPECTED
        if not getattr(order, name).strip() and name not in order.without
    ]


def problems(order: Order) -> list[Problem]:
    """Give all that can be said to be wrong before the path is worked out, each by its field."""
    from saywhy.publishing.words import ALWAYS, looked_through

    found = unfilled(order) + facts(order).problems()
    if order.template.strip():
        held = dict.fromkeys(ALWAYS, "-") | {
            "setter": order.credit.strip(),
            "by": order.credit.strip(),
            "blind": order.how,
            "link": order.link.strip(),
            "licence": order.licence.strip(),
            "next": order.next.strip(),
            "series": order.series.strip(),
        }
        # What the form asks for by a field of its own is told there alone.
        asked = [_OF_TEMPLATE.get(name, name) for name in EXPECTED]
        said, _ = looked_through(order.template, held, asked, own=True)
        found += [replace(problem, field="template") for problem in said]
    return found


def facts(order: Order, recording: Recording | None = None, others: tuple[Entry, ...] = ()) -> Facts:
    """Give what an order says of the episode."""
    from saywhy.publishing.facts import Facts

    return Facts(
        title=order.title.strip() or None,
        credit="" if "credit" in order.without else order.credit.strip() or None,
        link=order.link.strip() or None,
        blind=None if not order.how else order.how == "blind",
        licence=order.licence.strip() or None,
        airs=order.airs.strip() or None,
        next_date=order.next.strip() or None,
        series=order.series.strip() or None,
        recording=recording,
        others=others,
    )


def make(job: Job) -> None:
    """
    Make a pack.

    Raises:
        SaywhyError: It cannot be made.
    """
    from saywhy.files import read_text
    from saywhy.publishing import Wish, build
    from saywhy.publishing.messages import english
    from saywhy.publishing.pieces import STAGES
    from saywhy.reasoning.explain import explain
    from saywhy.recording import read_bytes
    from saywhy.shelf import Shelf
    from saywhy.terminal.shelved import shelved

    order = job.order
    stages = 1 + len(STAGES) + len(order.films)
    tell(News(stage="path", number=0, of=stages))
    others: tuple[Entry, ...] = ()
    if job.shelf:
        with Shelf(Path(job.shelf)) as shelf:
            others = shelved(shelf, job.episode, english()).facts.others
    recording = read_bytes(job.recording.encode(), salvage=True) if job.recording else None
    puzzle = read_text(job.text)[0]
    path = explain(puzzle)
    wish = Wish(
        order.template or None,
        None,
        order.path,
        tuple(dict.fromkeys(order.films)),
        tuple(_OF_TEMPLATE.get(name, name) for name in order.without),
    )
    episode = facts(order, recording, others).episode(puzzle, path)
    build(
        episode,
        Path(job.folder),
        wish,
        lambda name, number, _: tell(News(stage=name, number=number + 1, of=stages)),
    )
    tell(News(stage="done", number=stages, of=stages))


def tell(news: News) -> None:
    """Say what the program is at."""
    sys.stdout.write(msgspec.json.encode(news).decode() + "\n")
    sys.stdout.flush()


def main() -> None:
    """Make the pack that the standard input asks for."""
    try:
        make(msgspec.json.decode(sys.stdin.buffer.read(), type=Job))
    except SaywhyError as error:
        tell(News(problems=[told(problem) for problem in error.problems]))
    except MemoryError:
        short = Problem("there is not enough memory for this pack", "Close other programs")
        tell(News(problems=[told(short)]))


if __name__ == "__main__":
    main()
