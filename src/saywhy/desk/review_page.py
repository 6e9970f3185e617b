"""The page of a review: the solve again, what was so and what was missed, and what goes out of it."""

from __future__ import annotations

from typing import Any

import msgspec
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from saywhy.desk.pages import Pages
from saywhy.desk.picture import picture
from saywhy.desk.reviewing import Reviewed
from saywhy.desk.reviews import Reviews
from saywhy.desk.store import Store
from saywhy.errors import SaywhyError
from saywhy.files import read_text
from saywhy.recording.acts import Finish, Marker
from saywhy.recording.host import FEWEST

#: What a download is called for people.
NAMES = {
    "report.html": "Report",
    "chapters.txt": "Chapters",
    "chapters.vtt": "Chapters, WebVTT",
    "errata.txt": "Errata",
    "review.json": "JSON",
}
#: So many habits of each sort are shown.
SHOWN = 5


class ReviewPages:
    """The review pages of one store."""

    def __init__(self, store: Store, reviews: Reviews, pages: Pages) -> None:
        self.store, self.reviews, self.pages = store, reviews, pages

    def routes(self) -> list[Route]:
        """Give the page."""
        return [Route("/review/{key}", self.review)]

    def review(self, request: Request) -> Response:
        """A recording played again, and its review once that has been worked out."""
        held = self.store.recording(request.path_params["key"])
        if held is None:
            return self.pages.gone("This recording is not on the desk.")
        try:
            recording = self.store.read_recording(held.key)
        except SaywhyError as error:
            return self.pages.gone(str(error))
        made = picture(read_text(held.text)[0])
        found = self.reviews.kept(held.key)
        habits, others = self.reviews.habits()
        waiting = [other for other in others if other.key != held.key]
        light = {
            name: value
            for name, value in msgspec.to_builtins(made).items()
            if name not in {"svg", "key", "ground"}
        }
        facts: dict[str, Any] = {
            "acts": recording.acts,
            "length": recording.acts[-1].t if recording.acts else 0.0,
            **({} if found is None else found.facts),
            "key": held.key,
            "picture": light,
            "finished": any(isinstance(act, Finish) for act in recording.acts),
            "others": [{"key": other.key, "title": other.title or "Untitled"} for other in waiting],
        }
        return self.pages.page(
            "review",
            held=held,
            picture=made,
            facts=facts,
            found=None if found is None else _marked(found),
            markers=[act for act in recording.acts if isinstance(act, Marker)],
            damage=recording.damage,
            habits=habits,
            fewest=FEWEST,
            shown=SHOWN,
            waiting=len(waiting),
        )


def _marked(found: Reviewed) -> dict[str, Any]:
    """Give a review's parts as markup, and its downloads: name, for people, for the host and for viewers."""
    return {
        "head": Markup(found.head),
        "controls": Markup(found.controls),
        "moves": Markup(found.moves),
        "parts": [Markup(part) for part in found.parts],
        "files": [
            (name, NAMES[name], name.replace(".", "-viewers.") in found.files)
            for name in NAMES
            if name in found.files
        ],
        "errata": found.files.get("errata.txt", ""),
        "quiet": found.files.get("errata-viewers.txt", ""),
    }
