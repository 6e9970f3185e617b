"""
Who may speak to the desk, and what a page of it may do: checked before any page sees a request.

The desk listens on the loopback interface only. Besides that a request must name this machine as its host
(against names that are made to point here), come from a page of the desk itself (against pages elsewhere
that send requests here, WebSockets among them, which browsers let through), and carry the key that was
printed at start-up (against other users and programs of the machine).
"""

from __future__ import annotations

import secrets
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qsl, urlencode

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

#: Methods that change nothing.
READING = {"GET", "HEAD"}
#: What a page says that a host comes back to after the desk was started anew.
ASKS = (
    "The desk asks for its key, another one at every start: nothing is lost, "
    "but open the address that `saywhy desk` printed last."
)


class Guard:
    """
    The middleware around the whole app.

    Args:
        app: The app.
        port: The port that the desk listens on.
        key: The key of this start.
        scripts: Hashes of inline data blocks that pages carry (the import map), as the policy writes them.
    """

    def __init__(self, app: ASGIApp, port: int, key: str, scripts: tuple[str, ...]) -> None:
        self.app = app
        self.key = key
        self.cookie = f"saywhy-desk-{port}"
        self.hosts = {f"{name}:{port}" for name in ("127.0.0.1", "localhost")}
        self.origins = {f"http://{host}" for host in self.hosts}
        sockets = " ".join(f"ws://{host}" for host in sorted(self.hosts))
        self.policy = "; ".join(
            (
                "default-src 'none'",
                f"script-src 'self' {' '.join(scripts)}".strip(),
                "style-src 'self'",
                "font-src 'self'",
                "img-src 'self' data:",
                f"connect-src 'self' {sockets}",
                "form-action 'self'",
                "base-uri 'none'",
                "frame-ancestors 'none'",
            )
        )

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or answer it."""
        if scope["type"] not in {"http", "websocket"}:
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        wrong = self._wrong(scope, headers)
        if scope["type"] == "websocket":
            if wrong is None and self._knows_key(headers):
                await self.app(scope, receive, send)
            else:
                await send({"type": "websocket.close", "code": 1008, "reason": "refused"})
            return
        answer = wrong or self._entrance(scope, headers)
        await (answer or self.app)(scope, receive, self._with_policy(send))

    def _wrong(self, scope: Scope, headers: Headers) -> Response | None:
        """Give the refusal of a request that names another host or comes from another page."""
        if len(headers.getlist("host")) != 1 or headers["host"] not in self.hosts:
            return _refused("This address is not the desk's: use the one that `saywhy desk` printed.", 421)
        origin = headers.get("origin")
        needed = scope["type"] == "websocket" or scope["method"] not in READING
        if (origin is None and needed) or (origin is not None and origin != f"http://{headers['host']}"):
            return _refused("The desk answers its own pages only.", 403)
        if headers.get("sec-fetch-site", "none") not in {"none", "same-origin"}:
            # A link from elsewhere may open a page, but nothing else.
            opens = headers.get("sec-fetch-mode") == "navigate" and scope.get("method") in READING
            if not opens:
                return _refused("The desk answers its own pages only.", 403)
        return None

    def _entrance(self, scope: Scope, headers: Headers) -> Response | None:
        """Take the key from the address into a cookie, or refuse who has none."""
        query = parse_qsl(scope["query_string"].decode("latin-1"), keep_blank_values=True)
        given = dict(query).get("key")
        if given is not None and secrets.compare_digest(given.encode(), self.key.encode()):
            rest = urlencode([(name, value) for name, value in query if name != "key"])
            path = "/" + scope["path"].lstrip("/")
            answer = RedirectResponse(path + ("?" + rest if rest else ""), 303)
            answer.set_cookie(self.cookie, self.key, httponly=True, samesite="strict", path="/")
            return answer
        if self._knows_key(headers):
            return None
        return _refused(ASKS, 401)

    def _knows_key(self, headers: Headers) -> bool:
        try:
            held = SimpleCookie(headers.get("cookie", "")).get(self.cookie)
        except CookieError:
            return False
        return held is not None and secrets.compare_digest(held.value.encode(), self.key.encode())

    def _with_policy(self, send: Send) -> Send:
        async def guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                # A part of a pack comes with a narrower policy of its own.
                headers.setdefault("Content-Security-Policy", self.policy)
                headers["X-Content-Type-Options"] = "nosniff"
                headers["Referrer-Policy"] = "no-referrer"
                headers["Cross-Origin-Opener-Policy"] = "same-origin"
                headers["Cross-Origin-Resource-Policy"] = "same-origin"
                headers["Permissions-Policy"] = "camera=(), geolocation=(), microphone=()"
                if "cache-control" not in headers:
                    headers["Cache-Control"] = "no-store"
            await send(message)

        return guarded


def _refused(words: str, status: int) -> Response:
    return PlainTextResponse(words + "\n", status)
