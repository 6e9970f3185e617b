"""Rows of the database to values and back."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping
from enum import StrEnum
from typing import Any, TypeVar

import msgspec

from saywhy.shelf.deeds import Cell
from saywhy.shelf.values import Value

Of = TypeVar("Of", bound=Value)

#: Columns that hold JSON, and those that hold yes or no.
_JSON = {"rules", "effort", "told"}
_YES_NO = {"pinned", "blind", "cleared"}


def value(row: sqlite3.Row, kind: type[Of]) -> Of:
    """Give a row as a value."""
    held = dict(row)
    for name in _JSON & held.keys():
        held[name] = None if held[name] is None else json.loads(held[name])
    for name in _YES_NO & held.keys():
        held[name] = bool(held[name])
    return msgspec.convert(held, kind)


def columns(given: Mapping[str, Any]) -> dict[str, Cell]:
    """Give fields as a row holds them."""
    return {name: _cell(name, held) for name, held in given.items()}


def _cell(name: str, held: Any) -> Cell:
    if isinstance(held, StrEnum):
        return held.value
    if isinstance(held, bool):
        return int(held)
    if name in _JSON and held is not None:
        return json.dumps(held, ensure_ascii=False, separators=(",", ":"))
    assert held is None or isinstance(held, str | int | float)
    return held
