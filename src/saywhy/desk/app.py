"""The desk's app: its pages, its endpoints and its live lines, behind the guard."""

from __future__ import annotations

import msgspec
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route, WebSocketRoute
from starlette.types import ASGIApp

from saywhy.desk.assets import Assets
from saywhy.desk.endpoints import Endpoints
from saywhy.desk.exchange import JSON, described
from saywhy.desk.guard import Guard
from saywhy.desk.pack_pages import PackPages
from saywhy.desk.packs import Packs
from saywhy.desk.pages import Pages
from saywhy.desk.paths import Paths
from saywhy.desk.plan_page import PlanPages
from saywhy.desk.plans import Plans
from saywhy.desk.review_page import ReviewPages
from saywhy.desk.reviews import Reviews
from saywhy.desk.setting import setting
from saywhy.desk.shelf_endpoints import ShelfEndpoints
from saywhy.desk.shelf_pages import ShelfPages
from saywhy.desk.sockets import Recorder, drawing
from saywhy.desk.store import Store


def desk_app(store: Store, port: int, key: str) -> ASGIApp:
    """
    Give the desk.

    Args:
        store: What it keeps.
        port: The port that it will be reached at; other hosts and origins are refused.
        key: The key that opens it.
    """
    assets = Assets()
    reviews = Reviews(store)
    endpoints = [*Endpoints(store, Paths()).all(), *ShelfEndpoints(store).all(), *reviews.endpoints()]
    pages = Pages(store, assets)
    packs = Packs(store)
    plans = Plans(store)
    endpoints += [*packs.all(), *plans.all()]
    description = msgspec.json.encode(described(endpoints))

    async def static(request: Request) -> Response:
        asset = assets.files.get(request.path_params["name"])
        if asset is None or request.path_params["version"] != assets.version:
            return Response("There is no such file.\n", 404)
        forever = {"Cache-Control": "private, max-age=31536000, immutable"}
        return Response(asset.data, media_type=asset.kind, headers=forever)

    async def openapi(_: Request) -> Response:
        return Response(description, media_type=JSON)

    app = Starlette(
        routes=[
            *pages.routes(),
            *ReviewPages(store, reviews, pages).routes(),
            *ShelfPages(store, pages).routes(),
            *PackPages(packs, pages).routes(),
            *PlanPages(plans, pages).routes(),
            *(endpoint.route() for endpoint in endpoints),
            WebSocketRoute("/live/drawing", drawing),
            WebSocketRoute("/live/setting", setting),
            WebSocketRoute("/live/recordings/{key}", Recorder(store).record),
            WebSocketRoute("/live/reviews/{key}", reviews.line),
            Route("/openapi.json", openapi),
            Route("/static/{version}/{name:path}", static),
        ],
        exception_handlers={404: pages.not_found, 405: pages.not_allowed},
    )
    app.router.redirect_slashes = False
    return Guard(app, port, key, (assets.import_map_hash,))
