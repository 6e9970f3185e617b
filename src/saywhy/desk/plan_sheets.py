"""The sheet of wishes as a form: its fields out of its text, and its text out of its fields."""

from __future__ import annotations

import json
import tomllib
from datetime import date, time
from typing import Annotated, Any

import msgspec
from msgspec import Meta

from saywhy.files import limits
from saywhy.plan.cadence import WEEKDAYS
from saywhy.plan.fields import TABLES, CadenceFields, EffortFields, PinFields, RequestFields, RestFields
from saywhy.plan.sheet import read_sheet, weekday_numbers
from saywhy.plan.shelving import SHEET

MOST = 500


class Written(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """The text of a sheet."""

    sheet: Annotated[str, Meta(max_length=limits.MOST_BYTES)]


class Form(msgspec.Struct, forbid_unknown_fields=True, kw_only=True):
    """All that a sheet says, a field each; remarks of its text are not among them."""

    cadence: CadenceFields = msgspec.field(default_factory=CadenceFields)
    rest: RestFields = msgspec.field(default_factory=RestFields)
    effort: Annotated[list[EffortFields], Meta(max_length=MOST)] = []
    request: Annotated[list[RequestFields], Meta(max_length=MOST)] = []
    pin: Annotated[list[PinFields], Meta(max_length=MOST)] = []


def form_of(text: str) -> Form:
    """
    Give what a sheet says, weekdays by their whole names.

    Raises:
        SaywhyError: It is not a sheet.
    """
    read_sheet(text, SHEET)
    table = tomllib.loads(text)
    table.pop("format", None)
    cadence: dict[str, Any] = table.get("cadence", {})
    if "skip" in cadence:
        cadence["skip"] = [str(days) for days in cadence["skip"]]
    if "weekdays" in cadence:
        cadence["weekdays"] = [WEEKDAYS[number] for number in weekday_numbers(cadence["weekdays"])[0]]
    return msgspec.convert(table, Form)


def text_of(form: Form) -> str:
    """Write a form as a sheet: what is as usual is left out."""
    parts = ["format = 1\n"]
    for name, (_, several) in TABLES.items():
        held = getattr(form, name)
        head = f"[[{name}]]" if several else f"[{name}]"
        for one in held if several else [held]:
            lines = [
                f"{info.encode_name} = {_value(value)}\n"
                for info in msgspec.structs.fields(one)
                if (value := getattr(one, info.name)) != _usual(info)
            ]
            if lines or several:
                parts.append(f"{head}\n{''.join(lines)}")
    return "\n".join(parts)


def _usual(info: msgspec.structs.FieldInfo) -> object:
    return info.default_factory() if callable(info.default_factory) else info.default


def _value(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        return f"[{', '.join(map(_value, value))}]"
    if isinstance(value, date | time):
        return value.isoformat()
    # A basic string of TOML has the escapes of JSON, and takes no raw delete character.
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
