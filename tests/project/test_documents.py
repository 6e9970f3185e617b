"""What the documents say is so."""

from __future__ import annotations

import doctest
import os
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from saywhy import examples
from saywhy.engine import prove
from saywhy.files import read, read_text
from saywhy.recording import read as read_recording
from saywhy.recording.review import review

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
CONTRIBUTING = (ROOT / "CONTRIBUTING.md").read_text(encoding="utf-8")


def blocks(text: str, kind: str) -> list[str]:
    """Give the fenced blocks of a kind."""
    return re.findall(rf"^```{kind}\n(.*?)^```$", text, re.MULTILINE | re.DOTALL)


def lines_of(text: str) -> list[str]:
    """Give the lines of the shell blocks, those that go on joined."""
    return [line for block in blocks(text, "sh") for line in block.replace("\\\n", " ").splitlines()]


def commands(text: str) -> list[list[str]]:
    """Give the command lines of the shell blocks, remarks left out."""
    lines = lines_of(text)
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


PAGES = sorted(
    page.stem
    for page in (ROOT / "docs").glob("*.md")
    if {"saywhy"} & {words[0] for words in commands(page.read_text(encoding="utf-8"))}
)
#: What serves until it is stopped, or needs machines of its own.
STAYS = {"desk", "--serve", "--cluster"}


@pytest.mark.parametrize("page", PAGES)
def test_the_commands_of_a_page_run_one_after_the_other(page: str, tmp_path: Path) -> None:
    shutil.copytree(examples.folder(), tmp_path / "examples")
    text = (ROOT / "docs" / f"{page}.md").read_text(encoding="utf-8")
    if page == "pack":  # its last part takes an episode of the shelf that the page on the shelf makes
        text = (ROOT / "docs" / "shelf.md").read_text(encoding="utf-8") + text
    home = {**os.environ, "HOME": str(tmp_path / "home"), "XDG_DATA_HOME": str(tmp_path / "data")}
    for line in lines_of(text):
        words = shlex.split(line, comments=True)
        if words[:1] not in (["saywhy"], ["python"]) or STAYS & set(words):
            continue
        command = line.replace("saywhy", f"{sys.executable} -m saywhy", 1) if words[0] == "saywhy" else line
        command = command.replace("python", sys.executable, 1) if words[0] == "python" else command
        ran = subprocess.run(
            command,
            shell=True,
            cwd=tmp_path,
            env=home,
            capture_output=True,
            text=True,
            check=False,
        )
        # The post of the inbox holds puzzles that are not fit to air.
        assert ran.returncode == (1 if words[1] == "inbox" else 0), f"{line}\n{ran.stderr}"


def test_the_shipped_solve_is_of_its_puzzle_and_shows_what_a_review_tells() -> None:
    folder = examples.folder()
    found = review(
        read(folder / "harbour-lights.toml")[0], read_recording(folder / "solves" / "harbour-lights.jsonl")
    )
    assert found.finished
    assert {move.verdict for move in found.moves} == {"forced", "wrong"}
    assert found.late and len(found.chapters) >= 3


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
