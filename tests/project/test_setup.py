"""Set-up: what is missing is told in one line, and what is installed is locked."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
LOCKS = [ROOT / "requirements.lock", ROOT / "requirements-test.lock"]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def program(folder: Path, name: str, text: str) -> Path:
    """Put a program of that name into a folder."""
    path = folder / name
    path.write_text(f"#!/bin/sh\n{text}\n")
    path.chmod(0o755)
    return path


def preflight(python: str | Path, path: Path) -> tuple[int, str]:
    ran = subprocess.run(
        ["/bin/sh", ROOT / "scripts" / "preflight", python],
        env={"PATH": str(path)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.stdout == ""
    return ran.returncode, ran.stderr


def test_nothing_is_said_where_everything_is_there() -> None:
    assert preflight(sys.executable, Path(os.environ["PATH"])) == (0, "")


FINE = "exit 0"


@pytest.mark.parametrize(
    ("python", "compiler", "missing"),
    [
        (None, FINE, "apt install python3 python3-venv"),
        ("exit 1", FINE, "is older than 3.11"),
        ('case "$2" in *venv*) exit 1;; esac', FINE, "apt install python3-venv"),
        (FINE, None, "apt install g++"),
        (FINE, "exit 1", "does not know C++20"),
    ],
)
def test_what_is_missing_is_told_in_one_line(
    tmp_path: Path, python: str | None, compiler: str | None, missing: str
) -> None:
    if python is not None:
        program(tmp_path, "python3", python)
    if compiler is not None:
        program(tmp_path, "c++", compiler)
    code, told = preflight("python3", tmp_path)
    assert code == 1
    assert told.count("\n") == 1
    assert missing in told


def test_the_headers_of_python_are_found_where_they_are_installed_or_told_missing(tmp_path: Path) -> None:
    there = program(tmp_path, "python-there", f"echo {tmp_path}")
    (tmp_path / "Python.h").touch()
    ran = subprocess.run(
        ["/bin/sh", ROOT / "scripts" / "headers", there, tmp_path / "unpacked"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert (ran.returncode, ran.stdout, ran.stderr) == (0, "", "")
    (tmp_path / "Python.h").unlink()
    ran = subprocess.run(
        ["/bin/sh", ROOT / "scripts" / "headers", there, tmp_path / "unpacked"],
        env={"PATH": "/nowhere:/bin"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.returncode == 1
    assert "apt install python3-dev" in ran.stderr


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: lock.name)
def test_everything_is_locked_to_a_release_with_hashes_and_no_address(lock: Path) -> None:
    text = lock.read_text(encoding="utf-8")
    assert "://" not in text
    joined = text.replace("\\\n", " ")
    lines = [line for line in joined.splitlines() if line and not line.startswith("#")]
    assert len(lines) > 10
    for line in lines:
        assert re.match(r"[a-z0-9-]+==[0-9][^ ]* .*--hash=sha256:[0-9a-f]{64}", line), line


def releases(lock: Path) -> set[str]:
    return set(re.findall(r"^([a-z0-9-]+==[^ ]+)", lock.read_text(encoding="utf-8"), re.MULTILINE))


def test_the_tests_run_on_the_releases_that_users_get() -> None:
    base, test = (releases(lock) for lock in LOCKS)
    assert base < test


def test_every_requirement_of_the_project_is_locked() -> None:
    def names(requirements: list[str]) -> set[str]:
        return {re.split(r"[<>=!;\[ ]", held)[0] for held in requirements}

    base, test = ({name.partition("==")[0] for name in releases(lock)} for lock in LOCKS)
    project, groups = PROJECT["project"], PROJECT["dependency-groups"]
    assert names(project["dependencies"] + groups["build"]) <= base
    assert names(sum(project["optional-dependencies"].values(), groups["test"])) <= test


def test_the_build_tools_are_locked_as_the_build_names_them() -> None:
    assert PROJECT["dependency-groups"]["build"] == PROJECT["build-system"]["requires"]


def test_the_build_server_runs_make_test(tmp_path: Path) -> None:
    program(tmp_path, "make", 'echo "CI=$CI make $*"')
    ran = subprocess.run(
        ["bash", ROOT / ".ci" / "run"],
        env={"PATH": f"{tmp_path}:/usr/bin:/bin"},
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=True,
    )
    assert ran.stdout == "CI=true make test\n"
