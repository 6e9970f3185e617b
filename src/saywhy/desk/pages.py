"""The desk's pages: what each is given to show. Nothing that a page gets spoils its puzzle."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import msgspec
from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from saywhy.desk.assets import Assets
from saywhy.desk.drafts import Draft, draft_of
from saywhy.desk.exchange import refusal
from saywhy.desk.lasting import lasted
from saywhy.desk.paths import rules_read
from saywhy.desk.picture import Picture, picture
from saywhy.desk.shelf_of_rules import RuleCard, rule_cards
from saywhy.desk.store import KeptPuzzle, KeptRecording, Store
from saywhy.drawing.alt_text import describe
from saywhy.files import read_text
from saywhy.recording.chapters import clock
from saywhy.setting.compose import EFFORTS
from saywhy.setting.symmetry import SYMMETRIES


class Pages:
    """The pages over one store."""

    def __init__(self, store: Store, assets: Assets) -> None:
        self.store = store
        self.assets = assets
        self.templates = Environment(
            loader=PackageLoader("saywhy.desk"),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
        )
        self.templates.globals |= {
            "asset": assets.address,
            "modules": assets.modules,
            "import_map": Markup(assets.import_map),
        }
        self.templates.filters |= {"facts": _facts, "day": _day, "when": _when, "clock": clock}
        self.templates.filters["lasted"] = lambda held: lasted(store.file(held.key))

    def routes(self) -> list[Route]:
        """Give every page."""
        return [
            Route("/", self.home),
            Route("/draw", self.draw),
            Route("/draw/{key}", self.draw),
            Route("/fit/{key}", self.fit),
            Route("/rehearse/{key}", self.rehearse),
            Route("/rehearse/{key}/notes", self.notes),
            Route("/record/{key}", self.record),
            Route("/stage/{key}", self.stage),
        ]

    def home(self, _: Request) -> Response:
        """The desk itself: puzzles, recordings, and a place to bring a puzzle in."""
        return self.page("home", puzzles=self.store.puzzles(), recordings=self.store.all_recordings())

    def draw(self, request: Request) -> Response:
        """Make or mend a puzzle by hand."""
        key = request.path_params.get("key", "")
        kept = self.store.puzzle(key)
        if key and kept is None:
            return self.gone("This puzzle is not on the desk.")
        draft = Draft(givens=[0] * 81) if kept is None else draft_of(kept.puzzle)
        made = picture(read_text("format = 1\nsize = 9\n")[0] if kept is None else kept.puzzle)
        cards = rule_cards()
        form = "" if kept is None else kept.form
        facts = {"key": key, "form": form, "draft": draft, "picture": made, "rules": cards}
        groups: dict[str, list[RuleCard]] = {}
        for card in cards:
            groups.setdefault(card.group, []).append(card)
        wishes = {"symmetries": [kind.name for kind in SYMMETRIES], "efforts": EFFORTS[:-1]}
        return self.page("draw", kept=kept, picture=made, facts=facts, groups=groups, wishes=wishes)

    def fit(self, request: Request) -> Response:
        """The card that says whether a puzzle is fit to air."""
        return self._of_puzzle(request, "fit")

    def rehearse(self, request: Request) -> Response:
        """The path beat by beat, once it is revealed."""
        return self._of_puzzle(request, "rehearse")

    def notes(self, request: Request) -> Response:
        """The speaker's notes for a second window."""
        return self._of_puzzle(request, "notes")

    def record(self, request: Request) -> Response:
        """Begin a recording, or go on with one."""
        kept = self.store.puzzle(request.path_params["key"])
        if kept is None:
            return self.gone("This puzzle is not on the desk.")
        recordings = self.store.all_recordings(kept.key)
        return self.page("record", kept=kept, recordings=recordings, facts={"key": kept.key})

    def stage(self, request: Request) -> Response:
        """The page that recording software shows."""
        found = self._recording(request)
        if found is None:
            return self.gone("This recording is not on the desk.")
        held, made = found
        puzzle = read_text(held.text)[0]
        started = datetime.fromisoformat(held.started)
        since = (datetime.now(UTC) - started).total_seconds()
        facts = {
            "key": held.key,
            "puzzle": held.puzzle,
            "picture": _light(made),
            "blind": held.blind,
            "elapsed": max(since, 0.0),
            "rules": rules_read(puzzle),
        }
        ground = request.query_params.get("ground", "paper")
        return self.page(
            "stage",
            held=held,
            picture=made,
            puzzle=puzzle,
            ground="clear" if ground == "clear" else "paper",
            facts=facts,
        )

    async def not_found(self, request: Request, _: Exception) -> Response:
        """Say that an address leads nowhere."""
        if request.url.path.startswith("/api/"):
            return refusal(404, "there is nothing at this address", "Look at /openapi.json")
        return self.gone("There is nothing at this address.")

    async def not_allowed(self, request: Request, error: Exception) -> Response:
        """Say that an address is not asked in this way."""
        allow = getattr(error, "headers", None) or {}
        answer = refusal(405, f"this address is not asked by {request.method}", "Look at /openapi.json")
        answer.headers.update(allow)
        return answer

    def _of_puzzle(self, request: Request, name: str) -> Response:
        kept = self.store.puzzle(request.path_params["key"])
        if kept is None:
            return self.gone("This puzzle is not on the desk.")
        made = picture(kept.puzzle)
        facts = {"key": kept.key, "picture": _light(made)}
        return self.page(name, kept=kept, picture=made, facts=facts, words=describe(kept.puzzle))

    def _recording(self, request: Request) -> tuple[KeptRecording, Picture] | None:
        held = self.store.recording(request.path_params["key"])
        return None if held is None else (held, picture(read_text(held.text)[0]))

    def gone(self, words: str) -> Response:
        """Give the page that says that something is not here."""
        return self.page("gone", status=404, words=words)

    def page(self, name: str, status: int = 200, **given: Any) -> Response:
        """Give a page by the name of its template and what it is to show."""
        kept: KeptPuzzle | None = given.get("kept")
        text = self.templates.get_template(f"{name}.html").render({"kept": kept, **given})
        return HTMLResponse(text, status)


def _light(made: Picture) -> dict[str, Any]:
    """Give a picture without what the page holds as markup already."""
    told: dict[str, Any] = msgspec.to_builtins(made)
    return {name: held for name, held in told.items() if name not in {"svg", "key", "ground"}}


def _facts(held: object) -> Markup:
    """Give a value as JSON that is safe in a script block of data."""
    text = msgspec.json.encode(held).decode()
    for letter in "<>&\u2028\u2029":
        text = text.replace(letter, f"\\u{ord(letter):04x}")
    return Markup(text)


def _day(moment: str) -> str:
    """Give an RFC 3339 moment as people write a day and a time of it."""
    return datetime.fromisoformat(moment).astimezone().strftime("%-d %B %Y, %H:%M")


def _when(airs: str) -> str:
    """Give a day, or a moment with its own offset, as people write it."""
    held = datetime.fromisoformat(airs)
    return held.strftime("%a %-d %B %Y" if len(airs) == 10 else "%a %-d %B %Y, %H:%M %Z").strip()
