"""The log of a solve: what is acknowledged is on disk, and what is read is what was written."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from saywhy.errors import NotAllowedError, UnreadableError
from saywhy.files import puzzle_id, read_text
from saywhy.recording import Header, Log, belongs, read, read_bytes, written
from saywhy.recording.acts import AnyAct, Erase, Marker, Options, Place, Sum, Tie, Tint, Trait, Undo

HEADER = Header(format=1, puzzle="0" * 64, blind=True, started="2026-11-25T20:00:00+00:00")
ACTS: list[AnyAct] = [
    Place(t=1.5, cell="r3c4", digit=7),
    Options(t=2.25, cell="r1c1", digits=[2, 5]),
    Tie(t=3.0, cells=["r1c1", "r1c2"], digit=4),
    Sum(t=3.0, cells=["r2c2"], total=None),
    Trait(t=4.0, cells=["r2c2"], trait="low"),
    Tint(t=5.0, cells=["r2c2"], tint=6),
    Erase(t=5.5, cells=["r1c1", "r1c2"], digit=4),
    Erase(t=5.75, cell="r3c4"),
    Undo(t=6.0),
    Marker(t=7.0, name="Chapter: the tide turns"),
]


def lines(*acts: dict[str, object]) -> bytes:
    header = {"format": 1, "puzzle": "0" * 64, "blind": False, "started": "2026-11-25T20:00:00Z"}
    return b"".join(json.dumps(held).encode() + b"\n" for held in (header, *acts))


def test_what_is_read_is_what_was_written(tmp_path: Path) -> None:
    log = Log.create(tmp_path / "solve.jsonl", HEADER)
    assert log.append(ACTS[:4]) == 4
    assert log.append(ACTS[4:]) == len(ACTS)
    log.close()
    held = read(tmp_path / "solve.jsonl")
    assert (held.header, list(held.acts), held.damage) == (HEADER, ACTS, None)
    assert (tmp_path / "solve.jsonl").read_bytes() == written(held)


def test_lines_have_the_form_of_the_contract() -> None:
    held = json.loads(
        written(read_bytes(lines({"t": 12.34, "do": "place", "cell": "r3c4", "digit": 7}))).splitlines()[1]
    )
    assert held == {"do": "place", "t": 12.34, "cell": "r3c4", "digit": 7}


def test_cut_anywhere_it_goes_on_with_every_whole_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "fsync", lambda _: None)  # hundreds of files; that it is called is tested below
    log = Log.create(tmp_path / "whole.jsonl", HEADER)
    log.append(ACTS)
    log.close()
    data = (tmp_path / "whole.jsonl").read_bytes()
    first = data.index(b"\n") + 1
    for cut in range(first, len(data) + 1):
        path = tmp_path / f"cut-{cut}.jsonl"
        path.write_bytes(data[:cut])
        whole = data[:cut].count(b"\n") - 1
        again = Log.reopen(path)
        assert again.count == whole
        assert list(again.recording.acts) == ACTS[:whole]
        assert again.append([Place(t=99, cell="r1c1", digit=1)]) == whole + 1
        again.close()
        assert list(read(path).acts) == [*ACTS[:whole], Place(t=99, cell="r1c1", digit=1)]
        torn = path.with_name(path.name + ".torn")
        assert torn.exists() == (not data[:cut].endswith(b"\n"))


def test_acts_are_forced_to_the_disk_before_they_count(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    log = Log.create(tmp_path / "solve.jsonl", HEADER)
    forced: list[int] = []
    monkeypatch.setattr(os, "fsync", lambda _: forced.append((tmp_path / "solve.jsonl").stat().st_size))
    log.append(ACTS)
    assert forced == [(tmp_path / "solve.jsonl").stat().st_size]


WRITER = """
import sys
from pathlib import Path
from saywhy.recording import Header, Log
from saywhy.recording.acts import Place
log = Log.create(Path(sys.argv[1]), Header(format=1, puzzle="0" * 64, blind=True,
                                           started="2026-11-25T20:00:00+00:00"))
for n in range(100000):
    print(log.append([Place(t=n / 10, cell="r1c1", digit=n % 9 + 1)]), flush=True)
"""


def test_no_acknowledged_act_is_lost_when_the_writer_is_killed(tmp_path: Path) -> None:
    for turn in range(3):
        path = tmp_path / f"killed-{turn}.jsonl"
        with subprocess.Popen([sys.executable, "-c", WRITER, str(path)], stdout=subprocess.PIPE) as writer:
            assert writer.stdout is not None
            told = [int(writer.stdout.readline()) for _ in range(20 + turn)]
            time.sleep(0.01 * turn)
            os.kill(writer.pid, signal.SIGKILL)
            told += [
                int(line) for line in writer.stdout.read().splitlines(keepends=True) if line.endswith(b"\n")
            ]
        log = Log.reopen(path)
        assert log.count >= told[-1] > 0
        assert [act.t for act in log.recording.acts] == [n / 10 for n in range(log.count)]
        log.close()


def test_a_second_writer_is_refused(tmp_path: Path) -> None:
    log = Log.create(tmp_path / "solve.jsonl", HEADER)
    with pytest.raises(NotAllowedError, match="another program is writing"):
        Log.reopen(tmp_path / "solve.jsonl")
    log.close()
    Log.reopen(tmp_path / "solve.jsonl").close()


def test_a_recording_is_never_written_over(tmp_path: Path) -> None:
    (tmp_path / "solve.jsonl").write_bytes(b"dear")
    with pytest.raises(FileExistsError):
        Log.create(tmp_path / "solve.jsonl", HEADER)
    assert (tmp_path / "solve.jsonl").read_bytes() == b"dear"


def test_a_full_disk_leaves_no_half_act(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "solve.jsonl"
    log = Log.create(path, HEADER)
    log.append(ACTS[:1])
    before = path.read_bytes()
    real = os.write
    room = [9]

    def narrow(descriptor: int, data: bytes) -> int:
        if not room[0]:
            raise OSError(28, "No space left on device")
        done = real(descriptor, bytes(data)[: room[0]])
        room[0] = 0
        return done

    monkeypatch.setattr(os, "write", narrow)
    with pytest.raises(OSError, match="No space left"):
        log.append(ACTS[1:3])
    monkeypatch.setattr(os, "write", real)
    assert path.read_bytes() == before
    assert log.append(ACTS[1:3]) == 3
    log.close()
    assert list(read(path).acts) == ACTS[:3]


@pytest.mark.parametrize(
    ("act", "told"),
    [
        ({"t": 1, "do": "place", "cell": "r0c4", "digit": 7}, "cell"),
        ({"t": 1, "do": "place", "cell": "r3c17", "digit": 7}, "cell"),
        ({"t": 1, "do": "place", "cell": "r3c4", "digit": 0}, "digit"),
        ({"t": 1, "do": "place", "cell": "r3c4"}, "digit"),
        ({"t": 1, "do": "place", "cell": "r3c4", "digit": 7, "shout": 1}, "shout"),
        ({"t": 1, "do": "dance"}, "dance"),
        ({"do": "undo"}, "t"),
        ({"t": -1, "do": "undo"}, ">= 0"),
        ({"t": 1e300, "do": "undo"}, "1000000"),
        ({"t": 1, "do": "tint", "cells": ["r1c1"], "tint": 7}, "tint"),
        ({"t": 1, "do": "tie", "cells": ["r1c1"], "digit": 3}, "length"),
        ({"t": 1, "do": "erase"}, "erase needs"),
        ({"t": 1, "do": "erase", "cell": "r1c1", "digit": 2}, "erase needs"),
    ],
)
def test_a_line_that_is_not_allowed_is_named(act: dict[str, object], told: str) -> None:
    data = lines({"t": 0.5, "do": "undo"}, act, {"t": 2, "do": "redo"})
    with pytest.raises(NotAllowedError) as raised:
        read_bytes(data, "solve.jsonl")
    assert raised.value.problems[0].line == 3
    assert told in str(raised.value)
    held = read_bytes(data, salvage=True)
    assert len(held.acts) == 1
    assert held.damage is not None and held.damage.line == 3


def test_times_that_go_back_are_told() -> None:
    data = lines({"t": 5, "do": "undo"}, {"t": 4.5, "do": "undo"})
    with pytest.raises(NotAllowedError, match=r"line 3; t: the time goes back from 5\.00 s to 4\.50 s"):
        read_bytes(data)


def test_a_torn_last_line_is_told_as_such() -> None:
    data = lines({"t": 5, "do": "undo"}) + b'{"t": 6, "do": "pl'
    with pytest.raises(NotAllowedError, match="line 3: the last line breaks off"):
        read_bytes(data)
    assert len(read_bytes(data, salvage=True).acts) == 1


def test_a_line_that_breaks_off_in_the_middle_is_told_in_plain_words() -> None:
    whole = lines({"t": 1, "do": "undo"})
    with pytest.raises(NotAllowedError) as caught:
        read_bytes(whole + b'{"t": 2, "do":\n' + b'{"t": 3, "do": "undo"}\n')
    assert "line 3: the line breaks off. Mend the line, or cut the file off before it." in str(caught.value)


@pytest.mark.parametrize(
    "first",
    [b"", b"\n", b"hello", b"[]", b'{"format":2}', b"\xff\xfe", b'{"format":1,"puzzle":"x"}', b"[" * 9999],
)
def test_a_file_that_is_no_recording_is_told_as_such(first: bytes) -> None:
    said = (
        "line 1: the first line is not that of a recording" if first[:1] == b"{" else "this is no recording"
    )
    with pytest.raises(UnreadableError, match=said):
        read_bytes(first)


def test_a_start_without_offset_is_told() -> None:
    data = lines().replace(b"20:00:00Z", b"20:00:00")
    with pytest.raises(UnreadableError, match="no offset from UTC"):
        read_bytes(data)


@settings(deadline=None)
@given(st.binary(max_size=300))
def test_no_bytes_raise_anything_but_a_clear_error(data: bytes) -> None:
    for whole in (data, lines({"t": 1, "do": "undo"}) + data):
        try:
            read_bytes(whole)
        except (UnreadableError, NotAllowedError) as error:
            assert error.problems
        read_bytes(lines() + data, salvage=True)


def test_a_very_deep_line_is_told() -> None:
    with pytest.raises(NotAllowedError, match="line 2"):
        read_bytes(lines() + b'{"t":1,"do":"undo","x":' + b"[" * 9000 + b"}\n")
    with pytest.raises(NotAllowedError, match="longer than"):
        read_bytes(lines() + b'{"t":1,"do":"undo","x":' + b"[" * 90000 + b"}\n")


def test_a_recording_of_another_puzzle_or_grid_is_told() -> None:
    puzzle = read_text("format = 1\nsize = 4\n")[0]
    own = lines(
        {"t": 1, "do": "place", "cell": "r5c1", "digit": 1},
        {"t": 2, "do": "options", "cell": "r1c1", "digits": [1, 5]},
    ).replace(b"0" * 64, puzzle_id(puzzle).encode())
    with pytest.raises(NotAllowedError, match="another puzzle"):
        belongs(read_bytes(lines()), puzzle)
    with pytest.raises(NotAllowedError) as raised:
        belongs(read_bytes(own), puzzle)
    assert [problem.line for problem in raised.value.problems] == [2, 3]
    belongs(read_bytes(own.splitlines()[0]), puzzle)
