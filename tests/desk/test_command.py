"""``saywhy desk`` from the command line, and the page about it."""

from __future__ import annotations

import re
import socket
from pathlib import Path

import pytest
from click.testing import CliRunner

from saywhy.commands.desk import command
from saywhy.drawing.theme import THEMES, contrast, theme
from tests.desk.desks import Program, harbour, written

ROOT = Path(__file__).parents[2]
STATIC = ROOT / "src" / "saywhy" / "desk" / "static"
BOARD = ROOT / "src" / "saywhy" / "board"
#: Which printing ink each tint of the board takes; board.css says the same.
TINTS = (1, 2, 3, 4, 6, 8)


def test_a_desk_opens_says_where_and_closes(tmp_path: Path) -> None:
    with Program(tmp_path / "desk", (written(tmp_path, harbour()),)) as program:
        assert re.fullmatch(r"http://127\.0\.0\.1:\d+/fit/[a-z0-9]{12}\?key=[\w-]{32}", program.address)
        program.stop()
        assert program.process.returncode == 0


def test_every_start_has_a_key_of_its_own(tmp_path: Path) -> None:
    keys = set()
    for _ in range(2):
        with Program(tmp_path / "desk") as program:
            keys.add(program.address.partition("key=")[2])
    assert len(keys) == 2


def test_a_file_laid_twice_lies_once(tmp_path: Path) -> None:
    path = written(tmp_path, harbour())
    addresses = []
    for _ in range(2):
        with Program(tmp_path / "desk", (path,)) as program:
            addresses.append(re.sub(r"^http://[^/]+|\?.*", "", program.address))
    assert len(set(addresses)) == 1


def test_what_keeps_it_from_opening_is_told(tmp_path: Path) -> None:
    def said(*arguments: str) -> tuple[int, str]:
        done = CliRunner().invoke(command, ["--no-browser", *arguments], standalone_mode=False)
        assert done.exception is None
        return done.return_value, done.output

    bad = tmp_path / "bad.toml"
    bad.write_text("format = 2\n")
    code, text = said("--folder", str(tmp_path / "a"), str(bad))
    assert code == 2 and "format" in text and "bad.toml" in text
    bad.write_text('format = 1\nsize = "nine"\nrules = "anti-knight"\n')
    code, text = said("--folder", str(tmp_path / "a"), str(bad))
    assert code == 2 and [line.split(";")[0] for line in text.splitlines()] == [
        f"{bad}: line 2",
        f"{bad}: line 3",
    ]
    code, text = said("--folder", str(bad))
    assert code == 2 and text.startswith(f"{bad}: the desk cannot use this folder") and "--folder" in text
    damaged = tmp_path / "c" / "desk.sqlite"
    damaged.parent.mkdir()
    damaged.write_bytes(b"no database" * 400)
    code, text = said("--folder", str(damaged.parent))
    assert code == 2 and text.startswith(f"{damaged}: ") and "--folder" in text
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        code, text = said("--folder", str(tmp_path / "a"), "--port", str(taken.getsockname()[1]))
    assert code == 2 and "--port" in text
    with Program(tmp_path / "b"):
        code, text = said("--folder", str(tmp_path / "b"), "--port", "0")
    assert code == 2 and "another desk is open" in text


def test_the_desk_listens_on_this_machine_alone(tmp_path: Path) -> None:
    with Program(tmp_path / "desk") as program:
        listening = Path("/proc/net/tcp")
        if not listening.exists():
            pytest.skip("only Linux lists its sockets there")
        port = f"{program.port:04X}"
        found = {line.split()[1] for line in listening.read_text().splitlines()[1:] if f":{port} " in line}
        assert {address for address in found if address.endswith(port)} == {f"0100007F:{port}"}


def test_every_key_stands_in_the_documents() -> None:
    text = (ROOT / "docs" / "desk.md").read_text(encoding="utf-8")
    tables = [BOARD / "keys.js", STATIC / "pages" / "stage.js", STATIC / "pages" / "rehearse.js"]
    shown = {
        " ": "Space",
        "arrowup": "arrows",
        "arrowdown": "arrows",
        "arrowleft": "arrows",
        "arrowright": "arrows",
    }
    missing = []
    for table in tables:
        for keys in re.findall(r"keys: \[([^\]]+)\]", table.read_text(encoding="utf-8")):
            for key in re.findall(r'"([^"]+)"', keys):
                parts = [shown.get(part, part) for part in re.split(r"\+(?=.)", key)]
                name = "+".join(part if part == "arrows" else part.capitalize() for part in parts)
                name = name.replace("Pageup", "Page Up").replace("Pagedown", "Page Down")
                if f"`{name}`" not in text and f"`{name.lower()}`" not in text:
                    missing.append(name)
    assert missing == []


@pytest.mark.parametrize("name", THEMES)
def test_what_a_solver_writes_is_legible_on_paper_and_on_every_tint(name: str) -> None:
    """At least 4.5 to 1 (WCAG 2.2, 1.4.3); the focus and the selection marks at least 3 to 1 (1.4.11)."""
    colours = theme(name)
    css = (BOARD / "board.css").read_text(encoding="utf-8")
    assert (
        tuple(int(ink) for ink in re.findall(r"tint-ground\.tint-\d \{ fill: var\(--board-tint-(\d)\)", css))
        == TINTS
    )
    grounds = ["paper", *(f"tint-{ink}" for ink in TINTS)]
    for ground in grounds:
        for token in ("placed", "note", "ink"):
            assert contrast(colours[token], colours[ground]) >= 4.5, (name, token, ground)
    for token in ("placed", "result", "because", "look-edge"):
        assert contrast(colours[token], colours["paper"]) >= 3, (name, token)
    for token in ("soft", "result"):
        assert contrast(colours[token], colours["paper"]) >= 4.5, (name, token)
