"""How long a recording is and whether it is finished, told from the end of its file."""

from __future__ import annotations

from pathlib import Path

import msgspec

from saywhy.recording.chapters import clock

#: So much of a file's end is read, bytes: some dozens of acts.
TAIL = 8192


class _Act(msgspec.Struct):
    t: float
    do: str


def lasted(path: Path) -> str:
    """Say how long a recording is and whether it is finished."""
    acts = _last_acts(path)
    if acts is None:
        return "its file is gone"
    if not acts:
        return "nothing written yet"
    return f"{clock(acts[-1].t)} long, {'finished' if _ends(acts) else 'not finished'}"


def finished(path: Path) -> bool:
    """Say whether a recording is finished."""
    return _ends(_last_acts(path) or [])


def _ends(acts: list[_Act]) -> bool:
    return [act.do for act in acts if act.do in {"finish", "resume"}][-1:] == ["finish"]


def _last_acts(path: Path) -> list[_Act] | None:
    """Give the last acts of a recording, without what is none; None where the file is gone."""
    try:
        with path.open("rb") as file:
            file.seek(max(0, file.seek(0, 2) - TAIL))
            lines = file.read().splitlines()
    except OSError:
        return None
    acts = []
    for line in lines:
        try:
            acts.append(msgspec.json.decode(line, type=_Act))
        except msgspec.DecodeError:
            continue
    return acts
