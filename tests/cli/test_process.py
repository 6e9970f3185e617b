"""The command line as a process of its own: start, end, time and memory."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.cli.conftest import UNIQUE

SAYWHY = [sys.executable, "-m", "saywhy"]
LONG = "format = 1\n" + "# a remark\n" * 1000


@dataclass(frozen=True)
class Ended:
    """How a process ended: exit code, output, CPU seconds and the most memory that it held."""

    code: int
    out: str
    err: str
    cpu_s: float
    memory_mb: float


#: Starts a command and reports on it. A child of the tests themselves would count their memory as its own.
LAUNCHER = """
import resource, subprocess, sys
code = subprocess.call(sys.argv[2:])
used = resource.getrusage(resource.RUSAGE_CHILDREN)
with open(sys.argv[1], "w") as report:
    print(code, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024, file=report)
"""


def run(*args: str, stdin: bytes = b"") -> Ended:
    with tempfile.TemporaryDirectory() as folder:
        report = Path(folder) / "report"
        launch = [sys.executable, "-S", "-c", LAUNCHER, str(report), *SAYWHY, *args]
        ran = subprocess.run(launch, input=stdin, capture_output=True, check=True)
        code, cpu_s, memory_mb = report.read_text().split()
    return Ended(int(code), ran.stdout.decode(), ran.stderr.decode(), float(cpu_s), float(memory_mb))


CLUE = "format = 1\n[[clue]]\n"
HOSTILE: dict[str, bytes] = {
    "nothing": b"",
    "not text": bytes(range(256)) * 100,
    "not UTF-8": b"format = 1\ntitle = '\xff\xfe'",
    "UTF-16": "format = 1\n".encode("utf-16"),
    "NUL": b'format = 1\ntitle = "\x00"',
    "escape": b'format = 1\ntitle = "\x1b[2J"',
    "escaped escape": b'format = 1\ntitle = "\\u001b[2J"',
    "direction": 'format = 1\ntitle = "\u202egnp"'.encode(),
    "markup in a title": b'format = 1\ntitle = "<img src=x onerror=alert(1)>"',
    "markup in a setter": b'format = 1\nsetter = "[red]x[/red]"',
    "10 MB of text": b"a" * 10_000_000,
    "10 MB in a title": b'format = 1\ntitle = "' + b"a" * 10_000_000 + b'"',
    "10 MB of empty lines": b"\n" * 10_000_000,
    "10 MB of remarks": b"# x\n" * 2_500_000,
    "10 MB of bad lines": b"bad\n" * 2_500_000,
    "10 MB of clues": b"format = 1\n" + b"[[clue]]\nrule = 'odd'\ncells = 'r1c1'\n" * 270_000,
    "10 MB on a puzzle line": UNIQUE.encode() + b"\n" + b"1" * 10_000_000,
    "thousands of clues": b"format = 1\n" + b"[[clue]]\nrule='odd'\ncells='r1c1'\n" * 7_000,
    "thousands of empty clues": b"format = 1\n" + b"[[clue]]\n" * 28_000,
    "thousands of cells": f"{CLUE}rule = 'palindrome'\ncells = '{'r1c1-r9c9 ' * 25_000}'".encode(),
    "thousands of groups": (CLUE + "rule = 'clone'\ngroups = [" + "'r1c1'," * 30_000 + "]").encode(),
    "thousands of rules": b"format = 1\nrules = [" + b"'anti-knight'," * 15_000 + b"]",
    "deep lists": b"format = 1\nx = " + b"[" * 200_000 + b"]" * 50_000,
    "deep tables": b"format = 1\nx = " + b"{a=" * 60_000,
    "deep dotted names": b"format = 1\n" + b"a." * 120_000 + b"b = 1",
    "deep quoted names": b"format = 1\n" + b'"a".' * 60_000 + b"b = 1",
    "deep headers": b"format = 1\n[" + b"a." * 120_000 + b"b]",
    "huge number": b"format = 1\nsize = " + b"9" * 100_000,
    "huge hexadecimal number": b"format = 1\nsize = 0x" + b"f" * 200_000,
    "huge value": f"{CLUE}rule = 'killer-cage'\ncells = 'r1c1'\nvalue = {'9' * 25}".encode(),
    "negative value": f"{CLUE}rule = 'killer-cage'\ncells = 'r1c1'\nvalue = -5".encode(),
    "infinite value": f"{CLUE}rule = 'killer-cage'\ncells = 'r1c1'\nvalue = inf".encode(),
    "huge pill": f"{CLUE}rule = 'arrow'\ncells = 'r1c1 r1c2'\npill = 1000000".encode(),
    "cells off the grid": f"{CLUE}rule = 'odd'\ncells = 'r99c99 r0c0 r-1c1 r1000000c1'".encode(),
    "wrong types": b"format = '1'\nsize = []\ngivens = 1\nregions = {}\nrules = 1\nclue = 'x'\ntitle = 1.5",
    "size 1000000": b"format = 1\nsize = 1000000",
    "a rule that is a path": f"{CLUE}rule = '../../../etc/passwd'\ncells = 'r1c1'".encode(),
    "a rule that is a module": f"{CLUE}rule = 'os'\ncells = 'r1c1'".encode(),
    "many quotes": b"format = 1\nx = " + b'"""\\"' * 50_000,
    "many rows": b"format = 1\ngivens = '''\n" + b".\n" * 4_000 + b"'''",
}


@pytest.mark.parametrize("what", HOSTILE)
def test_a_hostile_file_ends_in_a_clear_error_within_a_second_and_200_mb(what: str, tmp_path: Path) -> None:
    path = tmp_path / "hostile"
    path.write_bytes(HOSTILE[what])
    ended = run("check", "--json", str(path))
    assert ended.code == 2
    assert "Traceback" not in ended.err
    assert ended.err.strip()
    assert len(ended.err) < 50_000
    assert all(letter.isprintable() or letter == "\n" for letter in ended.err)
    assert any("error" in json.loads(line) for line in ended.out.splitlines())
    assert ended.cpu_s < 1
    assert ended.memory_mb < 200


@pytest.mark.parametrize("command", ["count", "explain", "draw"])
def test_every_command_refuses_a_hostile_file_alike(command: str, tmp_path: Path) -> None:
    path = tmp_path / "hostile.toml"
    path.write_bytes(HOSTILE["wrong types"])
    more = ("-o", str(tmp_path / "x.svg")) if command == "draw" else ()
    ended = run(command, str(path), *more)
    assert (ended.code, ended.out) == (2, "")
    assert "Traceback" not in ended.err


def test_a_check_without_effort_takes_a_quarter_of_a_second_at_most(tmp_path: Path) -> None:
    path = tmp_path / "one.txt"
    path.write_text(UNIQUE)
    run("check", "--no-effort", str(path))
    best = min(run("check", "--no-effort", str(path)).cpu_s for _ in range(3))
    assert best <= 0.25


def test_a_check_without_effort_imports_nothing_that_it_does_not_need(tmp_path: Path) -> None:
    path = tmp_path / "one.toml"
    path.write_text("format = 1\nsize = 4\n[[clue]]\nrule = 'odd'\ncells = 'r1c1'")
    code = (
        "import sys; from saywhy.cli import run; run(['check', '--no-effort', sys.argv[1]]);"
        "print(*sorted(sys.modules), sep='\\n')"
    )
    ran = subprocess.run([sys.executable, "-c", code, path], capture_output=True, text=True, check=True)
    loaded = set(ran.stdout.splitlines())
    assert "saywhy.rules.odd" in loaded
    assert not {name for name in loaded if name.startswith("saywhy.rules.")} - {"saywhy.rules.odd"}
    heavy = {"rich", "ortools", "numpy", "typst", "saywhy.reasoning", "saywhy.drawing", "asyncio", "difflib"}
    assert not heavy & loaded


def test_the_standard_input_is_read_where_the_file_is_a_dash() -> None:
    ended = run("check", "--json", "--no-effort", "-", stdin=UNIQUE.encode())
    assert ended.code == 0
    assert json.loads(ended.out)["file"] == "-:1"


def test_ctrl_c_ends_a_long_count_at_once_and_without_a_traceback(tmp_path: Path) -> None:
    path = tmp_path / "empty.toml"
    path.write_text("format = 1\n")
    process = subprocess.Popen(
        [*SAYWHY, "count", str(path)], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    time.sleep(1.5)
    assert process.poll() is None
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=10)
    assert (process.returncode, out, err.strip()) == (130, "", "Stopped.")


def test_a_reader_that_has_seen_enough_ends_the_command_quietly(tmp_path: Path) -> None:
    path = tmp_path / "heap.txt"
    path.write_text(f"{UNIQUE}\n" * 2_000)
    script = f"{sys.executable} -m saywhy check --no-effort {path} | head -n 1"
    ran = subprocess.run(["bash", "-c", script], capture_output=True, text=True, check=False)
    assert ran.stdout == f"{path}:1  unique\n"
    assert ran.stderr == ""


def test_the_version_is_the_packages() -> None:
    from saywhy import __version__

    assert run("--version").out == f"saywhy {__version__}\n"
