"""``saywhy pack``: what the shelf knows, recordings, the folder served for a look, and refusals."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import urllib.error
import urllib.request
from dataclasses import replace
from pathlib import Path

import icalendar
import pypdfium2  # type: ignore[import-untyped]
import pytest

from saywhy import examples
from saywhy.files import read, write
from saywhy.publishing.episode import Episode
from saywhy.recording.acts import Marker
from saywhy.recording.log import written
from saywhy.shelf import Permission, Shelf
from saywhy.shelf.values import Said
from tests.publishing.test_recorded import solved

DINGHY = str(examples.path("dinghy"))
LINK = ("--link", "https://example.org/dinghy")
#: What the description asks for and only the host knows.
GIVEN = (*LINK, "--licence", "CC 0", "--next", "on Friday")


def run(*words: str) -> subprocess.CompletedProcess[str]:
    """Run the command."""
    command = [sys.executable, "-m", "saywhy", "pack", *words]
    return subprocess.run(command, capture_output=True, text=True, check=False)


def dinghy_episode() -> Episode:
    from saywhy.reasoning.explain import explain

    puzzle = read(DINGHY)[0]
    return Episode(puzzle, explain(puzzle))


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    """The folder of a shelf with an episode e1 that may air, and e2 that comes after it."""
    granted = Said(permission=Permission.GRANTED, on="2026-11-20", words="Gladly, under CC BY 4.0.")
    with Shelf(tmp_path / "kept") as held:
        first = replace(read(DINGHY)[0], title="Dinghy at dawn")
        for puzzle, day in (
            (first, "2026-12-01T18:00+00:00"),
            (read(examples.path("reef-knot"))[0], "2026-12-05"),
        ):
            kept = held.puzzles.add(write(puzzle), said=granted)
            held.puzzles.change(kept.id, licence="CC BY 4.0")
            held.episodes.plan(kept.id, day)
    return tmp_path / "kept"


def test_the_shelf_gives_puzzle_credit_licence_dates_and_series(shelf: Path, tmp_path: Path) -> None:
    done = run("--shelf", "e1", "--folder", str(shelf), "--rehearsed", *LINK, "-o", str(tmp_path / "pack"))
    assert (done.returncode, done.stderr) == (0, "")
    said = (tmp_path / "pack" / "words" / "description.txt").read_text(encoding="utf-8")
    for part in (
        "Dinghy at dawn",
        "set by little-rudder",
        "CC BY 4.0",
        "Next time: 5 December 2026.",
        "Rehearsed",
    ):
        assert part in said
    data = (tmp_path / "pack" / "calendar.ics").read_bytes()
    events = icalendar.Calendar.from_ical(data).walk("VEVENT")
    assert [str(event["summary"]).partition(":")[0] for event in events] == ["Dinghy at dawn", "Reef knot"]


def test_an_option_counts_more_than_the_shelf(shelf: Path, tmp_path: Path) -> None:
    done = run(
        "--shelf",
        "1",
        "--folder",
        str(shelf),
        "--blind",
        *LINK,
        "--licence",
        "CC 0",
        "-o",
        str(tmp_path / "pack"),
    )
    assert done.returncode == 0
    assert "The puzzle: CC 0." in (tmp_path / "pack" / "words" / "description.txt").read_text(
        encoding="utf-8"
    )


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--shelf", "e9"], "there is no episode e9 on the shelf"),
        (["--shelf", "spring"], "'spring' is no episode of the shelf"),
        ([str(examples.path("night-ferry")), "--shelf", "e1"], "e1 of the shelf is of another puzzle"),
    ],
)
def test_a_wrong_episode_is_told(shelf: Path, tmp_path: Path, words: list[str], said: str) -> None:
    done = run(*words, "--folder", str(shelf), "-o", str(tmp_path / "pack"))
    assert (done.returncode, (tmp_path / "pack").exists()) == (2, False)
    assert said in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_what_may_not_air_is_not_packed(tmp_path: Path) -> None:
    with Shelf(tmp_path / "kept") as held:
        kept = held.puzzles.add(write(read(DINGHY)[0]))
        held.episodes.record_unplanned(kept.id, "blind")
    done = run("--shelf", "e1", "--folder", str(tmp_path / "kept"), "-o", str(tmp_path / "pack"))
    assert done.returncode == 2
    assert "has no permission to air: not asked" in done.stderr


def test_a_recording_gives_chapters_captions_and_whether_it_was_blind(tmp_path: Path) -> None:
    made = solved(dinghy_episode(), Marker(t=70.0, name="The bulb"), Marker(t=150.0, name="Renban"))
    (tmp_path / "solve.jsonl").write_bytes(written(made))
    done = run(DINGHY, "--recording", str(tmp_path / "solve.jsonl"), *GIVEN, "-o", str(tmp_path / "pack"))
    assert (done.returncode, done.stderr) == (0, "")
    pack = tmp_path / "pack"
    chapters = (pack / "words" / "chapters.txt").read_text(encoding="utf-8")
    assert chapters == "0:00 The rules\n1:10 The bulb\n2:30 Renban\n"
    assert "Solved blind" in (pack / "words" / "description.txt").read_text(encoding="utf-8")
    assert (pack / "spoilers" / "recording.vtt").read_text(encoding="utf-8").startswith("WEBVTT")
    other = run(
        str(examples.path("reef-knot")), "--recording", str(tmp_path / "solve.jsonl"), "-o", str(pack) + "2"
    )
    assert other.returncode == 2
    assert "the recording is of another puzzle" in other.stderr


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--blind", "--rehearsed"], "--blind and --rehearsed contradict each other: give one of them."),
        (["--rehearsed", "--blind"], "--blind and --rehearsed contradict each other: give one of them."),
        (["--setter-credit", "gulls", "--without", "setter"], "contradict each other"),
    ],
)
def test_options_that_contradict_each_other_are_refused(tmp_path: Path, words: list[str], said: str) -> None:
    done = run(DINGHY, *GIVEN, *words, "-o", str(tmp_path / "pack"))
    assert (done.returncode, (tmp_path / "pack").exists()) == (2, False)
    assert said in done.stderr


def test_a_recording_is_not_called_rehearsed_where_it_says_that_it_was_blind(tmp_path: Path) -> None:
    (tmp_path / "solve.jsonl").write_bytes(written(solved(dinghy_episode())))
    words = (DINGHY, *GIVEN, "--recording", str(tmp_path / "solve.jsonl"), "-o", str(tmp_path / "pack"))
    done = run(*words, "--rehearsed")
    assert (done.returncode, (tmp_path / "pack").exists()) == (2, False)
    assert "the recording says that it was blind. Leave out --blind and --rehearsed." in done.stderr


def test_limits_of_captions_and_the_printed_path_are_as_asked(tmp_path: Path) -> None:
    done = run(
        DINGHY,
        "--draft",
        "--caption-columns",
        "24",
        "--caption-lines",
        "1",
        "--with-path",
        "-o",
        str(tmp_path / "pack"),
    )
    assert done.returncode == 0
    cues = (tmp_path / "pack" / "spoilers" / "captions.srt").read_text(encoding="utf-8").split("\n\n")
    assert all(len(cue.strip().splitlines()) == 3 and len(cue.strip().splitlines()[2]) <= 24 for cue in cues)
    letter = pypdfium2.PdfDocument((tmp_path / "pack" / "spoilers" / "letter-with-path.pdf").read_bytes())
    assert len(letter) >= 2
    wrong = run(DINGHY, "--caption-lines", "9", "-o", str(tmp_path / "other"))
    assert wrong.returncode == 2
    assert "captions cannot have 9 lines. Ask for 1 to 4" in wrong.stderr


def test_a_film_without_its_extra_is_refused_in_one_line(tmp_path: Path) -> None:
    (tmp_path / "av.py").write_text("raise ModuleNotFoundError('av')\n")
    command = [sys.executable, "-m", "saywhy", "pack", DINGHY, "--video", "mp4", "-o", str(tmp_path / "pack")]
    path = os.pathsep.join([str(tmp_path), os.environ.get("PYTHONPATH", "")])
    done = subprocess.run(
        command, capture_output=True, text=True, check=False, env={**os.environ, "PYTHONPATH": path}
    )
    assert (done.returncode, (tmp_path / "pack").exists()) == (2, False)
    assert (
        done.stderr == f"{DINGHY}: films need the extra video. Install saywhy[video], or leave --video out.\n"
    )


def test_what_somebody_changed_in_a_pack_or_put_there_is_not_lost(tmp_path: Path) -> None:
    pack = tmp_path / "pack"
    assert run(DINGHY, "--blind", *GIVEN, "-o", str(pack)).returncode == 0
    assert run(DINGHY, "--blind", *GIVEN, "-o", str(pack)).returncode == 0
    (pack / "words" / "title.txt").write_text("A better title\n")
    changed = run(DINGHY, "--blind", *GIVEN, "-o", str(pack))
    assert changed.returncode == 2
    assert "words/title.txt was changed since the pack was made and would be lost" in changed.stderr
    (pack / "words" / "title.txt").unlink()
    (pack / "thanks.txt").write_text("to the harbour master\n")
    added = run(DINGHY, "--blind", *GIVEN, "-o", str(pack))
    assert added.returncode == 2
    assert "thanks.txt is not of the pack" in added.stderr
    assert (pack / "thanks.txt").exists()


def test_a_puzzle_that_is_not_unique_ends_with_1_and_leaves_nothing(tmp_path: Path) -> None:
    file = tmp_path / "open.toml"
    file.write_text('format = 1\nsize = 4\ngivens = """\n1 . . .\n. . . .\n. . . .\n. . . .\n"""\n')
    done = run(str(file), "-o", str(tmp_path / "pack"))
    assert (done.returncode, (tmp_path / "pack").exists()) == (1, False)


def test_one_command_serves_the_folder_to_this_machine_alone(tmp_path: Path) -> None:
    command = [
        sys.executable,
        "-u",
        "-m",
        "saywhy",
        "pack",
        DINGHY,
        "--draft",
        "--serve",
        "-o",
        str(tmp_path / "pack"),
    ]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as served:
        assert served.stdout is not None
        lines = [served.stdout.readline() for _ in range(5)]
        address = lines[-1].partition(" ")[0]
        assert address.startswith("http://127.0.0.1:")
        with urllib.request.urlopen(address + "manifest.json", timeout=10) as answer:
            assert json.loads(answer.read())["title"] == "Dinghy"
        with urllib.request.urlopen(address, timeout=10) as answer:
            assert answer.headers.get_content_type() == "text/html"
        stranger = urllib.request.Request(address, headers={"Host": "elsewhere.example:80"})
        with pytest.raises(urllib.error.HTTPError, match="403"):
            urllib.request.urlopen(stranger, timeout=10)
        served.send_signal(signal.SIGINT)
        rest, wrong = served.communicate(timeout=20)
    assert (rest, wrong, served.returncode) == ("Stopped.\n", "", 0)
