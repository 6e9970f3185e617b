"""The JSON side of the desk: what an endpoint takes and gives, errors told alike, and its description."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from typing import Any

import msgspec
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from saywhy.desk.drafts import DraftProblem, told
from saywhy.errors import SaywhyError

#: The largest body: a recording of a long evening.
MOST_BYTES = 16 * 1024 * 1024


class Refusal(msgspec.Struct, frozen=True, kw_only=True):
    """What every refusal says."""

    problems: list[DraftProblem]


class NotHereError(Exception):
    """What was asked for is not on the desk; the message says what."""


class NotYetError(Exception):
    """What was asked for would spoil the puzzle, and reveal was not asked for."""


class ChangedError(Exception):
    """What was to be kept would take the place of something newer; the message says what."""


@dataclass(frozen=True)
class Endpoint:
    """
    One thing that can be asked of the desk.

    Attributes:
        method: HTTP method.
        path: With its parameters in braces.
        run: Given path parameters (and query parameters) by name and the body, gives the answer; runs in a
            thread.
        takes: Type of the body; None for none.
        gives: Type of the answer; ``bytes`` for a file.
        query: Query parameters by name with the values that they can have.
        file: For ``bytes``, media type.
    """

    method: str
    path: str
    run: Callable[..., Any]
    takes: type | None
    gives: type
    query: dict[str, tuple[str, ...]]
    file: str = ""

    @property
    def summary(self) -> str:
        """The first line of what it says of itself."""
        return (self.run.__doc__ or "").strip().splitlines()[0]

    def route(self) -> Route:
        """Give it as a route of the app."""
        return Route(self.path, self._handler(), methods=[self.method])

    def _handler(self) -> Callable[[Request], Awaitable[Response]]:
        decoder: msgspec.json.Decoder[Any] | None = msgspec.json.Decoder(self.takes) if self.takes else None

        async def handle(request: Request) -> Response:
            given: dict[str, Any] = dict(request.path_params)
            for name, allowed in self.query.items():
                given[name] = request.query_params.get(name, allowed[0])
                if given[name] not in allowed:
                    return refusal(400, f"{name} can be {' or '.join(allowed)}", "Ask again")
            if decoder is not None:
                body = await _body(request)
                if isinstance(body, Response):
                    return body
                try:
                    given["body"] = decoder.decode(body)
                except (ValueError, RecursionError, msgspec.DecodeError) as error:
                    return refusal(400, f"the request is not as described: {str(error)[:200]}", "Mend it")
            return await self._answer(given)

        return handle

    async def _answer(self, given: dict[str, Any]) -> Response:
        try:
            answer = await run_in_threadpool(self.run, **given)
        except NotHereError as error:
            return refusal(404, str(error), "Go back to the desk and choose again")
        except NotYetError as error:
            return refusal(403, str(error), "Ask with reveal=yes")
        except ChangedError as error:
            return refusal(409, str(error), "Save it as another puzzle, or over what is there")
        except SaywhyError as error:
            problems = [told(problem) for problem in error.problems]
            return Response(msgspec.json.encode(Refusal(problems=problems)), 422, media_type=JSON)
        if isinstance(answer, bytes):
            return Response(answer, media_type=self.file, headers={"Content-Disposition": "attachment"})
        return Response(msgspec.json.encode(answer), media_type=JSON)


JSON = "application/json"


def refusal(status: int, what: str, mend: str) -> Response:
    """Give a refusal with one problem."""
    problem = DraftProblem(what=what, mend=mend)
    return Response(msgspec.json.encode(Refusal(problems=[problem])), status, media_type=JSON)


async def _body(request: Request) -> bytes | Response:
    """Give the body, or the refusal of one that is too long or says that it is something else."""
    if request.headers.get("content-type", "").partition(";")[0].strip() != JSON:
        return refusal(415, "the body is not JSON", "Send application/json")
    parts, length = [], 0
    async for part in request.stream():
        length += len(part)
        if length > MOST_BYTES:
            return refusal(413, "the body is too long", "Send less at a time")
        parts.append(part)
    return b"".join(parts)


def described(endpoints: list[Endpoint]) -> dict[str, Any]:
    """Give the OpenAPI 3.1 description of all endpoints."""
    types = {held for endpoint in endpoints for held in (endpoint.takes, endpoint.gives) if held is not None}
    kinds = [Refusal, *sorted(types - {bytes}, key=lambda kind: kind.__name__)]
    references, components = msgspec.json.schema_components(kinds, ref_template="#/components/schemas/{name}")
    by_type = dict(zip(kinds, references, strict=True))
    paths: dict[str, dict[str, Any]] = {}
    for endpoint in endpoints:
        paths.setdefault(endpoint.path, {})[endpoint.method.lower()] = _operation(endpoint, by_type)
    return {
        "openapi": "3.1.0",
        "info": {"title": "Saywhy's desk", "version": "1"},
        "paths": paths,
        "components": {"schemas": components},
    }


def _operation(endpoint: Endpoint, by_type: dict[type, dict[str, Any]]) -> dict[str, Any]:
    names = [part[1:-1] for part in endpoint.path.split("/") if part.startswith("{")]
    parameters: list[dict[str, Any]] = [
        {"name": name, "in": "path", "required": True, "schema": {"type": "string"}} for name in names
    ]
    parameters += [
        {"name": name, "in": "query", "schema": {"type": "string", "enum": list(allowed)}}
        for name, allowed in endpoint.query.items()
    ]
    kind = endpoint.file or JSON
    file = {"type": "object" if kind == JSON else "string"}
    schema = file if endpoint.gives is bytes else by_type[endpoint.gives]
    answers = {"200": {"description": "Done", "content": {kind: {"schema": schema}}}}
    refused = {"description": "Refused", "content": {JSON: {"schema": by_type[Refusal]}}}
    answers |= dict.fromkeys(_refusals(endpoint), refused)
    operation = {"summary": endpoint.summary, "parameters": parameters, "responses": answers}
    if endpoint.takes is not None:
        content = {JSON: {"schema": by_type[endpoint.takes]}}
        operation["requestBody"] = {"required": True, "content": content}
    return operation


def _refusals(endpoint: Endpoint) -> list[str]:
    found = ["400", "422"] if endpoint.takes or endpoint.query else ["422"]
    found += ["413", "415"] if endpoint.takes else []
    return [*found, "403", "404", "409"]
