"""The HTTP interface against its own description: schemathesis finds no answer that is not described."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis.errors import Unsatisfiable
from schemathesis.specs.openapi.checks import positive_data_acceptance
from starlette.testclient import TestClient

from saywhy.desk.app import desk_app
from saywhy.desk.store import Store
from saywhy.shelf import Permission, Said
from tests.desk.desks import HARBOUR, KEY, PORT, ROOT, harbour

_HEADERS = {"Host": ROOT.removeprefix("http://"), "Origin": ROOT, "Cookie": f"saywhy-desk-{PORT}={KEY}"}


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[list[Any], tuple[str, str]]]:
    store = Store(tmp_path_factory.mktemp("desk"))
    key = store.keep_puzzle(harbour())
    kept = store.puzzle(key)
    assert kept is not None
    recording = store.begin_recording(kept, blind=True)
    said = Said(permission=Permission.GRANTED, on="2026-11-20", words="Yes")
    store.shelf.episodes.plan(store.shelf.puzzles.add(HARBOUR, said=said).id, "2026-12-01")
    app = desk_app(store, PORT, KEY)
    schema = schemathesis.openapi.from_asgi("/openapi.json", app, headers=_HEADERS)
    found: list[Any] = list(schema.get_all_operations())
    yield [held.ok() for held in found], (key, recording)
    store.close()


def test_no_request_gets_an_answer_that_is_not_described(desk: tuple[list[Any], tuple[str, str]]) -> None:
    """
    Server errors, undescribed codes and answers of the wrong form all fail here.

    Left out is the check that whatever has the right form is accepted: a text may be no puzzle.
    """
    operations, keys = desk
    asked: dict[str, int] = {}
    for operation in sorted(operations, key=lambda held: held.method == "delete"):
        own = keys["recordings" in operation.path]
        for mode in schemathesis.GenerationMode:
            asked[f"{operation.method} {operation.path} {mode.value}"] = _ask(operation, mode, own)
    assert len(operations) >= 15
    assert sum(count > 0 for count in asked.values()) > len(operations)


def _ask(operation: Any, mode: schemathesis.GenerationMode, own: str) -> int:
    """Ask one thing in many ways, half of them with the key of something that is there; give how often."""
    count = 0

    @settings(
        max_examples=4,
        phases=[Phase.generate],
        deadline=None,
        derandomize=True,
        suppress_health_check=list(HealthCheck),
    )
    @given(case=operation.as_strategy(generation_mode=mode))
    def ask(case: Any) -> None:
        nonlocal count
        count += 1
        if count % 2 and "key" in (case.path_parameters or {}):
            case.path_parameters["key"] = own
        if count % 2 and "number" in (case.path_parameters or {}):
            case.path_parameters["number"] = "1"
        case.call_and_validate(headers=_HEADERS, excluded_checks=[positive_data_acceptance])

    try:
        ask()
    except Unsatisfiable:
        return 0  # what takes nothing cannot be asked wrongly
    return count


def test_the_description_names_every_endpoint_with_its_refusals(host: TestClient) -> None:
    told = host.get("/openapi.json").json()
    assert len(told["paths"]) >= 12
    for path, operations in told["paths"].items():
        for method, operation in operations.items():
            assert operation["summary"].endswith("."), (path, method)
            assert {"200", "422"} <= set(operation["responses"])
    assert json.dumps(told).count("$ref") > 10


def test_drafts_at_odds_with_themselves_are_told_and_never_break_the_desk(host: TestClient) -> None:
    """Sizes, counts and cells that do not go together; each field is wrong alone and with all the others."""
    odd: dict[str, list[Any]] = {
        "size": [4, 5, 16],
        "givens": [[1], [99] * 256],
        "regions": [[], [25] * 256, [0] * 81],
        "rules": [["diagonals", "diagonals"], ["arrow"], [""], ["disjoint-groups"]],
        "all_given": [["white-dot", "x"], ["odd"]],
        "clues": [
            [{"rule": "arrow", "cells": ["r1c1", "r1c1"], "pill": 16}],
            [{"rule": "odd", "cells": ["r99c99"], "groups": [[]]}],
            [{"rule": "", "cells": []}],
            [{"rule": "quadruple", "cells": ["r1c1", "r1c2", "r2c1", "r2c2"], "digits": [99], "value": -5}],
        ],
    }
    bodies = [{name: value} for name, values in odd.items() for value in values]
    bodies += [
        {name: values[turn % len(values)] for name, values in odd.items()}
        for turn in range(max(map(len, odd.values())))
    ]
    for body in bodies:
        answer = host.post("/api/draw", json=body)
        assert answer.status_code == 200, body
        assert host.post("/api/puzzles", json=body).status_code in {200, 422}, body
