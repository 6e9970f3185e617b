"""What the documents say is so."""

from __future__ import annotations

import doctest
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from saywhy import examples
from saywhy.engine import prove
from saywhy.files import read_text

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
CONTRIBUTING = (ROOT / "CONTRIBUTING.md").read_text(encoding="utf-8")


def blocks(text: str, kind: str) -> list[str]:
    """Give the fenced blocks of a kind."""
    return re.findall(rf"^```{kind}\n(.*?)^```$", text, re.MULTILINE | re.DOTALL)


def commands(text: str) -> list[list[str]]:
    """Give the command lines of the shell blocks, remarks left out."""
    lines = [line for block in blocks(text, "sh") for line in block.splitlines()]
    return [words for line in lines if (words := shlex.split(line, comments=True))]


SAYWHY = [words[1:] for words in commands(README) if words[0] == "saywhy"]


def test_the_readme_begins_with_the_job_in_one_paragraph_and_two_commands() -> None:
    title, job, start, *_ = README.split("\n\n")
    assert title == "# Saywhy"
    assert job.startswith("Saywhy is the desk of someone who hosts")
    assert commands(start) == [["make", "demo"], ["make", "test"]]


def test_every_shell_line_of_the_documents_is_make_or_saywhy() -> None:
    assert {words[0] for words in commands(README) + commands(CONTRIBUTING)} == {"make", "saywhy"}


@pytest.mark.parametrize("text", [README, CONTRIBUTING], ids=["README", "CONTRIBUTING"])
def test_every_make_target_that_is_named_is_there(text: str) -> None:
    targets = set(re.findall(r"^([a-z-]+):", (ROOT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE))
    assert {words[1] for words in commands(text) if words[0] == "make"} <= targets


@pytest.mark.parametrize("words", SAYWHY, ids=" ".join)
def test_the_readmes_commands_run(words: list[str], tmp_path: Path) -> None:
    shutil.copytree(examples.folder(), tmp_path / "examples")
    ran = subprocess.run(
        [sys.executable, "-m", "saywhy", *words], cwd=tmp_path, capture_output=True, text=True, check=False
    )
    assert (ran.returncode, ran.stderr) == (0, "")
    assert ran.stdout.strip()


def test_the_readmes_commands_show_the_first_six() -> None:
    assert {words[0] for words in SAYWHY} >= {"check", "count", "demo", "draw", "explain", "rules"}


def test_the_puzzle_file_of_the_readme_is_fit_to_air() -> None:
    [block] = blocks(README, "toml")
    [puzzle] = read_text(block)
    assert (puzzle.title, len(puzzle.clues), prove(puzzle).verdict) == ("Pier lights", 2, "unique")


def test_the_python_of_the_readme_runs(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    shutil.copytree(examples.folder(), tmp_path / "examples")
    [block] = blocks(README, "python")
    ran = subprocess.run(
        [sys.executable, "-c", block], cwd=tmp_path, capture_output=True, text=True, check=False
    )
    assert (ran.stdout, ran.stderr) == ("unique\n", "")


def test_the_python_interface_does_what_its_page_shows() -> None:
    failed, attempted = doctest.testfile(str(ROOT / "docs" / "python.md"), module_relative=False)
    assert failed == 0
    assert attempted > 15


def test_every_name_of_the_python_interface_is_on_its_page_and_can_be_imported() -> None:
    import saywhy

    page = (ROOT / "docs" / "python.md").read_text(encoding="utf-8")
    for name in saywhy.__all__:
        assert getattr(saywhy, name) is not None
        assert re.search(rf"saywhy\.{name}\b", page), name


def test_contributing_has_a_line_for_every_folder_of_the_package() -> None:
    folders = [path.parent.name for path in (ROOT / "src" / "saywhy").glob("*/__init__.py")]
    assert len(folders) > 5
    for name in folders:
        assert f"| `src/saywhy/{name}/` |" in CONTRIBUTING, name


@pytest.mark.parametrize("path", sorted(ROOT.glob("*.md")) + sorted((ROOT / "docs").glob("*.md")), ids=str)
def test_every_link_of_a_document_leads_somewhere(path: Path) -> None:
    for target in re.findall(r"\]\((?!https?:)([^)#]+)", path.read_text(encoding="utf-8")):
        assert (path.parent / target).exists(), target


def test_generated_files_are_current() -> None:
    ran = subprocess.run(
        [sys.executable, ROOT / "scripts" / "docs.py", "--check"], capture_output=True, text=True, check=False
    )
    assert (ran.returncode, ran.stderr) == (0, "")
