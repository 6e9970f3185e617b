"""What the end of a recording's file says of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from saywhy.desk.lasting import TAIL, lasted

HEAD = '{"format":1,"puzzle":"00","blind":true,"started":"2026-11-25T20:00:00Z"}\n'


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        ("", "nothing written yet"),
        ('{"t":75.2,"do":"place","cell":"r1c1","digit":1}\n', "1:15 long, not finished"),
        ('{"t":3,"do":"place","cell":"r1c1","digit":1}\n{"t":700,"do":"finish"}\n', "11:40 long, finished"),
        ('{"t":3,"do":"finish"}\n{"t":9,"do":"resume"}\n', "0:09 long, not finished"),
        ('{"t":3,"do":"finish"}\n{"t":9,"do":"pla', "0:03 long, finished"),
        (TAIL * '{"t":5,"do":"pause"}\n' + '{"t":3600,"do":"finish"}\n', "1:00:00 long, finished"),
    ],
)
def test_length_and_end_are_told(tmp_path: Path, lines: str, words: str) -> None:
    file = tmp_path / "one.jsonl"
    file.write_text(HEAD + lines, encoding="utf-8")
    assert lasted(file) == words


def test_a_file_that_is_gone_is_told(tmp_path: Path) -> None:
    assert lasted(tmp_path / "none.jsonl") == "its file is gone"
