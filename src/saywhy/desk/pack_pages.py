"""The page on which a pack is asked for and looked at, and the parts of a pack to look at."""

from __future__ import annotations

from pathlib import PurePosixPath

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from saywhy.desk.exchange import NotHereError, NotYetError
from saywhy.desk.packing import Order
from saywhy.desk.packs import Packs
from saywhy.desk.pages import Pages
from saywhy.desk.store import KeptPuzzle
from saywhy.errors import SaywhyError
from saywhy.publishing.film import needed
from saywhy.publishing.messages import english

#: Media types of parts; text is shown, not run.
_KINDS = {
    ".html": "text/html; charset=utf-8", ".svg": "image/svg+xml", ".png": "image/png", ".webp": "image/webp",
    ".pdf": "application/pdf", ".mp4": "video/mp4", ".webm": "video/webm",
}  # fmt: skip
_TEXT = "text/plain; charset=utf-8"
#: What a part may do: the viewers' page has a policy of its own and is kept from the desk by a sandbox.
_POLICIES = {
    ".html": "sandbox allow-scripts allow-modals",
    ".svg": "default-src 'none'; sandbox",
}


class PackPages:
    """The pages over the packs of one store."""

    def __init__(self, packs: Packs, pages: Pages) -> None:
        self.packs = packs
        self.pages = pages

    def routes(self) -> list[Route]:
        """Give every page."""
        return [Route("/pack/{key}", self.pack), Route("/packs/{key}/{name:path}", self.part)]

    def pack(self, request: Request) -> Response:
        """Ask for a puzzle's pack, follow its making, and look at it."""
        kept = self.packs.store.puzzle(request.path_params["key"])
        if kept is None:
            return self.pages.gone("This puzzle is not on the desk.")
        order, words = self._order(kept)
        recordings = self.packs.store.finished_first(self.packs.store.all_recordings(kept.key))
        if recordings and self.packs.last_order(kept.key) is None:
            # The newest that is finished is likeliest to be the episode's; it says too how it was solved.
            how = order.how or ("blind" if recordings[0].blind else "rehearsed")
            order = msgspec.structs.replace(order, recording=recordings[0].key, how=how)
        return self.pages.page(
            "pack",
            kept=kept,
            order=order,
            words=words,
            films=_films(),
            template=english().texts["template"],
            recordings=recordings,
            facts={"key": kept.key, "state": self.packs.state(kept.key)},
        )

    def part(self, request: Request) -> Response:
        """One part of a pack."""
        key, name = request.path_params["key"], request.path_params["name"]
        try:
            data = self.packs.part(key, name, reveal=request.query_params.get("reveal") == "yes")
        except NotHereError as error:
            return self.pages.gone(f"{str(error).capitalize()}.")
        except NotYetError:
            words = "This part shows the solve; open it from the page."
            return self.pages.page("gone", status=403, words=words)
        ending = PurePosixPath(name).suffix
        headers = {"Content-Disposition": "inline"}
        if ending in _POLICIES:
            headers["Content-Security-Policy"] = _POLICIES[ending]
        return Response(data, media_type=_KINDS.get(ending, _TEXT), headers=headers)

    def _order(self, kept: KeptPuzzle) -> tuple[Order, str]:
        """Give what the form holds at first, and what is to be said about it."""
        last = self.packs.last_order(kept.key)
        number = self.packs.episode(kept)
        if number is None:
            return last or Order(credit=kept.setter), ""
        try:
            held = self.packs.store.shelf.episodes.facts(number)
        except SaywhyError as error:
            return last or Order(credit=kept.setter), str(error)
        words = f"Episode e{number} of the shelf."
        if not held.cleared:
            answer = held.permission.replace("-", " ")
            words = f"Episode e{number} of the shelf has no permission to air: {answer}."
        known = Order(
            title=held.title if held.title != kept.title else "",
            credit=held.credit or kept.setter,
            how=held.how or "",
            licence=held.licence,
            airs=held.airs or "",
            next=(held.next_airs or "")[:10],
        )
        return last or known, words


def _films() -> bool:
    try:
        needed()
    except SaywhyError:
        return False
    return True
