"""The pages of the shelf: its lists and search, and a page for each puzzle, setter and episode."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from functools import wraps
from typing import Any, TypeVar

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from saywhy.desk.pages import Pages
from saywhy.desk.shelf_endpoints import recordings_for
from saywhy.desk.store import Store
from saywhy.errors import SaywhyError
from saywhy.rules import all_rules
from saywhy.shelf import Permission, Setter, Shelf, ShelfEpisode, ShelfPuzzle, State
from saywhy.shelf.backups import copies
from saywhy.shelf.values import Kind

#: Answers and states as people read them.
ANSWERS = {
    Permission.NOT_ASKED: "Not asked",
    Permission.ASKED: "Asked",
    Permission.GRANTED: "Granted",
    Permission.REFUSED: "Refused",
}
STATES = {State.PLANNED: "planned", State.RECORDED: "recorded", State.PUBLISHED: "published"}
VERDICTS = {
    "unique": "one solution",
    "none": "no solution",
    "many": "more than one solution",
    "undecided": "not decided in the time allowed",
}
LISTS = ("puzzles", "setters", "episodes")
#: Deeds that are shown, and entries of a list on one page.
MOST_DEEDS, MOST_SHOWN = 5, 500

Of = TypeVar("Of", ShelfPuzzle, Setter, ShelfEpisode)
Handler = Callable[["ShelfPages", Request], Response]


def _opened(handler: Handler) -> Handler:
    """Answer with a page that says what is wrong where the shelf or a thing on it cannot be had."""

    @wraps(handler)
    def run(pages: ShelfPages, request: Request) -> Response:
        try:
            return handler(pages, request)
        except SaywhyError as error:
            problem = error.problems[0]
            return pages.pages.gone(f"{problem.what[:1].upper()}{problem.what[1:]}. {problem.mend}.")

    return run


class ShelfPages:
    """The pages over the shelf of one store."""

    def __init__(self, store: Store, pages: Pages) -> None:
        self.store = store
        self.pages = pages

    @property
    def shelf(self) -> Shelf:
        """The shelf."""
        return self.store.shelf

    def routes(self) -> list[Route]:
        """Give every page."""
        return [
            Route("/shelf", self.lists),
            Route("/shelf/p{number:int}", self.puzzle),
            Route("/shelf/s{number:int}", self.setter),
            Route("/shelf/e{number:int}", self.episode),
        ]

    @_opened
    def lists(self, request: Request) -> Response:
        """What stands on the shelf, kind by kind, or what a search finds."""
        shelf = self.shelf
        asked = request.query_params.get("find", "")
        named = request.query_params.get("list", "puzzles")
        answer = request.query_params.get("permission", "")
        with shelf.at_one_moment():
            puzzles, setters, episodes = shelf.puzzles.all(), shelf.setters.all(), shelf.episodes.all()
            found = shelf.find(asked, MOST_SHOWN) if asked else []
            deeds = shelf.deeds()[:MOST_DEEDS]
        by_number = _by_number(setters, puzzles)
        if asked:
            kinds = {(held.kind, held.id): place for place, held in enumerate(found)}
            puzzles = _found(puzzles, "puzzle", kinds)
            setters = _found(setters, "setter", kinds)
            episodes = _found(episodes, "episode", kinds)
        shown = puzzles
        if answer in ANSWERS:
            shown = [held for held in puzzles if held.permission == answer]
        return self._page(
            "shelf",
            asked=asked,
            named=named if named in LISTS else "puzzles",
            answer=answer if answer in ANSWERS else "",
            counts={"puzzles": len(puzzles), "setters": len(setters), "episodes": len(episodes)},
            puzzles=shown[:MOST_SHOWN],
            setters=setters[:MOST_SHOWN],
            episodes=episodes[:MOST_SHOWN],
            most=MOST_SHOWN,
            by_number=by_number,
            deeds=deeds,
        )

    @_opened
    def puzzle(self, request: Request) -> Response:
        """One puzzle: what is known of it, whether it may air, and when."""
        shelf, number = self.shelf, request.path_params["number"]
        with shelf.at_one_moment():
            held = shelf.puzzles.get(number)
            again = [p for p in shelf.puzzles.alike(held.same) if p.id != number] if held.same else []
            near = [p for p in shelf.puzzles.alike(held.near, "near") if p.id != number] if held.near else []
            episodes = shelf.episodes.all(puzzle=number)
            goes = shelf.puzzles.goes_with(number)
            setter = None if held.setter is None else shelf.setters.get(held.setter)
        titles = [all_rules()[name].title for name in held.rules if name in all_rules()]
        return self._page(
            "shelf_puzzle",
            held=held,
            setter=setter,
            setters=shelf.setters.all(),
            rules=titles,
            again=again,
            near=[p for p in near if p not in again],
            episodes=episodes,
            planned=any(episode.state is State.PLANNED for episode in episodes),
            refused=not held.cleared and _refused(held, setter),
            goes=[(many, kind) for kind, many in goes.items() if many],
            by_number=_by_number([], [held]),
            facts={"judge": held.id if held.verdict is None else None},
        )

    @_opened
    def setter(self, request: Request) -> Response:
        """One setter: what is known of them, and what they said once for all."""
        shelf, number = self.shelf, request.path_params["number"]
        with shelf.at_one_moment():
            held = shelf.setters.get(number)
            puzzles = shelf.puzzles.all(setter=number)
            planned = {episode.puzzle for episode in shelf.episodes.all() if episode.state is State.PLANNED}
        return self._page(
            "shelf_setter",
            held=held,
            puzzles=puzzles,
            planned=any(puzzle.id in planned for puzzle in puzzles),
            copies=copies(shelf),
            by_number=_by_number([held], []),
            facts={},
        )

    @_opened
    def episode(self, request: Request) -> Response:
        """One episode: when it airs, how it was solved, where it can be seen."""
        shelf, number = self.shelf, request.path_params["number"]
        held = shelf.episodes.get(number)
        puzzle = shelf.puzzles.get(held.puzzle)
        return self._page(
            "shelf_episode",
            held=held,
            puzzle=puzzle,
            setter=None if puzzle.setter is None else shelf.setters.get(puzzle.setter),
            kept=shelf.recordings.all(episode=number),
            recordings=recordings_for(self.store, puzzle),
            facts={},
        )

    def _page(self, name: str, **given: Any) -> Response:
        told: dict[str, Any] = {
            "answers": ANSWERS,
            "states": STATES,
            "verdicts": VERDICTS,
            "today": date.today().isoformat(),
        }
        return self.pages.page(name, **told, **given)


def _refused(held: ShelfPuzzle, setter: Setter | None) -> bool:
    """Say whether the answer that counts is no: the puzzle's own one, else its setter's standing one."""
    if held.permission is Permission.REFUSED:
        return True
    return setter is not None and setter.standing is Permission.REFUSED


def _by_number(setters: Iterable[Setter], puzzles: Iterable[ShelfPuzzle]) -> dict[str, dict[int, Any]]:
    """Give setters and puzzles by number, for lists that name them."""
    return {"setter": {held.id: held for held in setters}, "puzzle": {held.id: held for held in puzzles}}


def _found(held: Iterable[Of], kind: Kind, places: dict[tuple[Kind, int], int]) -> list[Of]:
    """Give what a search found of a kind, the best first."""
    here = [each for each in held if (kind, each.id) in places]
    return sorted(here, key=lambda each: places[kind, each.id])
