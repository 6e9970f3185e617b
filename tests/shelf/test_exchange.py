"""Out to plain files and in again: the same shelf, the same bytes, and nothing believed."""

from __future__ import annotations

import filecmp
import json
import re
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from saywhy.errors import NotAllowedError, SaywhyError, UnreadableError
from saywhy.files.titles import wrong_with
from saywhy.shelf import Judged, Permission, Said, Shelf, ShelfPuzzle, State
from saywhy.shelf.exporting import export
from saywhy.shelf.importing import take_in
from tests.shelf.shelves import GRANTED, log, picture, sound, text

LETTERS = st.characters(categories=("L", "M", "N", "P", "S", "Zs"))
LINE = (
    st.text(LETTERS, min_size=1, max_size=20)
    .map(lambda held: f"x{held}x")
    .filter(lambda held: wrong_with(held) is None)
)
WORDS = st.lists(LINE, max_size=3).map("\n".join)
DAYS = st.dates().map(lambda day: day.isoformat())
ANSWER = st.builds(
    Said, permission=st.sampled_from(Permission), on=DAYS, words=st.lists(LINE, min_size=1).map("\n".join)
)
JUDGED = st.builds(
    Judged,
    verdict=st.sampled_from(["unique", "none", "many", "undecided", None]),
    effort=st.one_of(st.none(), st.fixed_dictionaries({"band": LINE, "total": st.floats(0, 1e6)})),
    same=st.one_of(st.none(), st.just("1:ab")),
)
SETTER = st.fixed_dictionaries(
    {
        "credit": LINE,
        "called": LINE,
        "contact": LINE,
        "remarks": WORDS,
        "standing": st.one_of(st.none(), ANSWER),
    }
)
PUZZLE = st.fixed_dictionaries(
    {
        "title": LINE,
        "setter": st.one_of(st.none(), st.integers(0, 2)),
        "received": DAYS,
        "source": LINE,
        "licence": LINE,
        "remarks": WORDS,
        "judged": st.one_of(st.none(), JUDGED),
        "said": st.one_of(st.none(), ANSWER),
        "remark": st.sampled_from(["", "# by post\n", "\ufeff", "# crlf\r\n"]),
        "gone": st.booleans(),
        "episodes": st.integers(0, 3),
    }
)


@settings(deadline=None, max_examples=25)
@given(st.lists(SETTER, max_size=3), st.lists(PUZZLE, max_size=4))
def test_a_shelf_comes_back_the_same_and_goes_out_to_the_same_bytes(
    tmp_path_factory: pytest.TempPathFactory, setters: list[dict[str, Any]], puzzles: list[dict[str, Any]]
) -> None:
    folder = tmp_path_factory.mktemp("round")
    with Shelf(folder / "one") as one, Shelf(folder / "two") as two:
        _fill(one, setters, puzzles)
        counts = export(one, folder / "out")
        assert take_in(two, folder / "out") == counts
        assert picture(one) == picture(two)
        sound(two)
        export(two, folder / "again")
        assert not _differs(folder / "out", folder / "again")
        assert one.puzzles.add(text()).id == two.puzzles.add(text()).id  # numbers go on alike


def _fill(shelf: Shelf, setters: list[dict[str, Any]], puzzles: list[dict[str, Any]]) -> None:
    numbers = [shelf.setters.add(**held).id for held in setters]
    for number, held in enumerate(puzzles):
        of = held["setter"]
        given = {name: held[name] for name in ("received", "source", "licence", "remarks", "judged", "said")}
        came = held["remark"] + text(f"Tide {number}", "", last=number % 4 + 1)
        kept = shelf.puzzles.add(
            came, setter=numbers[of] if of is not None and of < len(numbers) else "", **given
        )
        kept = shelf.puzzles.change(kept.id, title=held["title"])
        if held["gone"]:
            shelf.puzzles.remove(kept.id)
            continue
        _episodes(shelf, kept, held["episodes"])


def _episodes(shelf: Shelf, kept: ShelfPuzzle, many: int) -> None:
    if many > 0:
        episode = shelf.episodes.record_unplanned(kept.id, "rehearsed")
        held = shelf.recordings.keep(kept.id, log(kept.identity), episode=episode.id)
        shelf.recordings.keep_review(held.id, {"moves": [{"cell": "r1c1", "digit": 1, "t": 0.5}], "x": None})
        if kept.cleared:
            shelf.episodes.publish(episode.id, "https://example.org/1")
    if many > 1 and kept.cleared and kept.verdict not in ("none", "many"):
        shelf.episodes.plan(kept.id, "2026-12-01T18:00+01:00", title="Once more", pinned=many > 2)


def _differs(one: Path, other: Path) -> bool:
    found = filecmp.dircmp(one, other)
    names = [path.relative_to(one) for path in one.rglob("*") if path.is_file()]
    _, wrong, lost = filecmp.cmpfiles(one, other, names, shallow=False)
    return bool(found.left_only or found.right_only or wrong or lost)


@pytest.fixture
def out(tmp_path: Path) -> Path:
    """An export with something of everything in it."""
    with Shelf(tmp_path / "full") as shelf:
        tide = shelf.puzzles.add("# by post\n" + text(), said=GRANTED)
        shelf.puzzles.add(text("Ebb", "bowline"))
        episode = shelf.episodes.plan(tide.id, "2026-12-01")
        kept = shelf.recordings.keep(tide.id, log(tide.identity), episode=episode.id)
        shelf.recordings.keep_review(kept.id, {"moves": []})
        shelf.puzzles.permit(1, Said(permission=Permission.GRANTED, on="2026-11-02", words="Yes"))
        export(shelf, tmp_path / "out")
    return tmp_path / "out"


def test_any_program_can_read_the_files(out: Path) -> None:
    assert tomllib.loads((out / "puzzles" / "p1.toml").read_text())["title"] == "Low tide"
    assert (out / "puzzles" / "p1.toml").read_text().startswith("# by post\n")
    [first, second] = [json.loads(line) for line in (out / "puzzles.jsonl").read_text().splitlines()]
    assert (first["title"], first["permission"], second["permission"]) == ("Low tide", "granted", "not-asked")
    assert (out / "recordings" / "r1.jsonl").read_text().count("\n") == 3
    assert json.loads((out / "shelf.json").read_text())["next"]["puzzle"] == 3
    assert out.stat().st_mode & 0o077 == 0


def _edit(name: str, old: str, new: str) -> Callable[[Path], None]:
    def edit(out: Path) -> None:
        held = (out / name).read_text()
        assert old in held
        (out / name).write_text(held.replace(old, new, 1))

    return edit


def _write(name: str, data: bytes) -> Callable[[Path], None]:
    def write(out: Path) -> None:
        (out / name).write_bytes(data)

    return write


def _lose(name: str) -> Callable[[Path], None]:
    return lambda out: (out / name).unlink()


def _link(out: Path) -> None:
    (out / "puzzles" / "p1.toml").rename(out / "elsewhere.toml")
    (out / "puzzles" / "p1.toml").symlink_to(out / "elsewhere.toml")


WRONG: dict[str, tuple[Callable[[Path], None], str]] = {
    "no permission": (_edit("puzzles.jsonl", '"granted"', '"asked"'), "episodes.jsonl.*no permission"),
    "granted without words": (_edit("puzzles.jsonl", '"Yes"', '""'), "puzzles.jsonl, words: .*without words"),
    "another answer": (_edit("puzzles.jsonl", '"granted"', '"perhaps"'), "puzzles.jsonl: .*permission"),
    "an unknown field": (_edit("setters.jsonl", '"credit"', '"hue":1,"credit"'), "setters.jsonl: .*hue"),
    "a text for a number": (_edit("puzzles.jsonl", '"id":1', '"id":"1"'), "puzzles.jsonl, id: "),
    "a number below 1": (_edit("puzzles.jsonl", '"id":1', '"id":-1'), "puzzles.jsonl, id: "),
    "a number twice": (_edit("setters.jsonl", '"id":2', '"id":1'), "line 2; setters.jsonl, id: .*twice"),
    "a path for a number": (_edit("puzzles.jsonl", '"id":1', '"id":"../x"'), "puzzles.jsonl, id: "),
    "an unknown setter": (_edit("puzzles.jsonl", '"setter":1', '"setter":9'), "there is no setter 9"),
    "an unknown puzzle": (_edit("episodes.jsonl", '"puzzle":1', '"puzzle":9'), "there is no puzzle 9"),
    "a lost file": (_lose("puzzles/p1.toml"), "line 1; puzzles.jsonl: .*p1.toml is not"),
    "a link elsewhere": (_link, "the file puzzles/p1.toml is not there"),
    "a lost list": (_lose("reviews.jsonl"), "reviews.jsonl: the file reviews.jsonl is not there"),
    "no puzzle": (_write("puzzles/p1.toml", b"size = 4"), "line 1; puzzles.jsonl, format: "),
    "a huge puzzle": (_write("puzzles/p1.toml", b"#" * 300_000), "p1.toml is too large"),
    "not text": (_write("puzzles/p1.toml", b"\xff\xfe"), "line 1; puzzles.jsonl: "),
    "a stranger recording": (_edit("recordings.jsonl", '"puzzle":1', '"puzzle":2'), "of another puzzle"),
    "a broken recording": (_write("recordings/r1.jsonl", b"{}"), "line 1; recordings.jsonl: "),
    "markup": (_edit("setters.jsonl", '"oarlock"', '"<script>"'), "setters.jsonl, credit: .*markup"),
    "control characters": (_edit("setters.jsonl", '"oarlock"', '"\\u001b[2J"'), "setters.jsonl, credit: "),
    "no time": (_edit("setters.jsonl", '"added":"2', '"added":"x'), "setters.jsonl, added: "),
    "no link": (_edit("episodes.jsonl", '"link":""', '"link":"javascript:x"'), "episodes.jsonl, link: "),
    "no day": (_edit("episodes.jsonl", '"airs":"2026-12-01"', '"airs":"soon"'), "episodes.jsonl, airs: "),
    "deep": (_write("reviews.jsonl", b"[" * 100_000), "line 1; reviews.jsonl: "),
    "not JSON": (_write("setters.jsonl", b"{}\nnonsense\n"), "line 2; setters.jsonl: "),
    "no export": (_lose("shelf.json"), "not an export of a shelf"),
    "another form": (_edit("shelf.json", '"format": 1', '"format": 2'), "the export is of format 2"),
    "a head that is none": (_write("shelf.json", b"[]"), "shelf.json cannot be read"),
}


@pytest.mark.parametrize("what", WRONG)
def test_an_import_takes_nothing_in_where_there_is(tmp_path: Path, out: Path, what: str) -> None:
    spoil, told = WRONG[what]
    spoil(out)
    with Shelf(tmp_path / "new") as shelf:
        with pytest.raises(SaywhyError) as caught:
            take_in(shelf, out)
        assert any(re.search(told, str(problem)) for problem in [caught.value, *caught.value.problems])
        assert all(problem.mend for problem in caught.value.problems)
        assert not any(picture(shelf).values())


def test_everything_that_is_wrong_is_told_at_once(tmp_path: Path, out: Path) -> None:
    _edit("setters.jsonl", '"oarlock"', '"<b>"')(out)
    _edit("episodes.jsonl", '"2026-12-01"', '"soon"')(out)
    with Shelf(tmp_path / "new") as shelf, pytest.raises(NotAllowedError) as caught:
        take_in(shelf, out)
    places = [problem.field for problem in caught.value.problems]
    assert places[0] == "setters.jsonl, credit" and "episodes.jsonl, airs" in places


def test_an_import_needs_an_empty_shelf(tmp_path: Path, out: Path) -> None:
    with Shelf(tmp_path / "new") as shelf:
        shelf.setters.add("quayside-jo")
        with pytest.raises(NotAllowedError, match="an empty shelf"):
            take_in(shelf, out)
        assert [held.credit for held in shelf.setters.all()] == ["quayside-jo"]


def test_an_export_writes_over_nothing(tmp_path: Path, shelf: Shelf) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "mine").write_text("mine")
    with pytest.raises(NotAllowedError, match="something in this place"):
        export(shelf, tmp_path / "out")
    (tmp_path / "file").write_text("mine")
    with pytest.raises(NotAllowedError, match="something in this place"):
        export(shelf, tmp_path / "file")
    assert [path.name for path in (tmp_path / "out").iterdir()] == ["mine"]


def test_what_follows_from_a_file_is_worked_out_anew(tmp_path: Path, out: Path) -> None:
    _edit("puzzles.jsonl", '"size":4', '"size":9')(out)
    _edit("puzzles.jsonl", '"rules":[]', '"rules":["made-up"]')(out)
    with Shelf(tmp_path / "new") as shelf:
        take_in(shelf, out)
        assert (shelf.puzzles.get(1).size, shelf.puzzles.get(1).rules) == (4, [])
        assert shelf.episodes.all()[0].state is State.PLANNED


def test_a_published_episode_comes_back_though_its_permission_was_taken_back_later(
    tmp_path: Path, shelf: Shelf, tide: ShelfPuzzle
) -> None:
    episode = shelf.episodes.record_unplanned(tide.id, "blind")
    shelf.episodes.publish(episode.id, "https://example.org/1")
    shelf.puzzles.permit(tide.id, Said(permission=Permission.REFUSED))
    export(shelf, tmp_path / "out")
    with Shelf(tmp_path / "new") as other:
        take_in(other, tmp_path / "out")
        assert picture(other) == picture(shelf)


def test_a_folder_that_is_no_export_is_told(tmp_path: Path, shelf: Shelf) -> None:
    with pytest.raises(UnreadableError, match="not an export"):
        take_in(shelf, tmp_path / "nowhere")
