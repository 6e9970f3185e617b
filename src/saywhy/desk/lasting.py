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
    """Say how long a recording is and whether it is finished; what is not an act is passed over."""
    try:
        with path.open("rb") as file:
            file.seek(max(0, file.seek(0, 2) - TAIL))
            lines = file.read().splitlines()
    except OSError:
        return "its file is gone"
    acts = []
    for line in lines:
        try:
            acts.append(msgspec.json.decode(line, type=_Act))
        except msgspec.DecodeError:
            continue
    if not acts:
        return "nothing written yet"
    ends = [act.do for act in acts if act.do in {"finish", "resume"}]
    return f"{clock(acts[-1].t)} long, {'finished' if ends[-1:] == ['finish'] else 'not finished'}"
