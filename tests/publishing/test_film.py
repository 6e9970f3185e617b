"""Films: read by MediaInfo, which shares no code with the encoder, and played by a browser."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import pytest
from PIL import ImageChops, ImageStat
from PIL.Image import Image
from PIL.Image import open as open_image
from playwright.sync_api import Browser
from pymediainfo import MediaInfo

from saywhy import examples
from saywhy.errors import NotAllowedError
from saywhy.files import read
from saywhy.publishing.episode import Episode
from saywhy.publishing.film import Kind, film
from saywhy.publishing.pictures import frames, lengths_ms, stills
from saywhy.publishing.pieces import Wish, pieces
from saywhy.publishing.talk import Spoken, talk
from saywhy.reasoning.explain import explain

pytest.importorskip("av", reason="the extra video is not installed; make setup-test brings it")
KINDS: tuple[Kind, ...] = ("mp4", "webm")


@pytest.fixture(scope="module")
def shown() -> tuple[list[Image], tuple[Spoken, ...]]:
    puzzle = read(examples.path("dinghy"))[0]
    episode = Episode(puzzle, explain(puzzle))
    return frames(stills(episode), 240), talk(episode)


@pytest.fixture(scope="module", params=KINDS)
def made(
    request: pytest.FixtureRequest,
    shown: tuple[list[Image], tuple[Spoken, ...]],
    tmp_path_factory: pytest.TempPathFactory,
) -> Iterator[tuple[Kind, Path]]:
    kind: Kind = request.param
    file = tmp_path_factory.mktemp("film") / f"walk.{kind}"
    file.write_bytes(film(*shown, kind))
    yield kind, file


def test_a_second_reader_finds_a_film_as_long_as_the_talk(
    made: tuple[Kind, Path], shown: tuple[list[Image], tuple[Spoken, ...]]
) -> None:
    kind, file = made
    pictures, track = shown
    told = MediaInfo.parse(file)
    [general] = told.general_tracks
    [video] = told.video_tracks
    assert general.format == {"mp4": "MPEG-4", "webm": "WebM"}[kind]
    assert video.format == {"mp4": "AVC", "webm": "VP9"}[kind]
    assert (video.width, video.height) == pictures[0].size
    assert not told.audio_tracks
    assert (
        abs(float(general.duration) - sum(lengths_ms(track))) <= 2_100
    )  # the last frame stands for a moment


def test_a_browser_plays_it_and_shows_each_beat_while_it_is_told(
    browser: Browser, made: tuple[Kind, Path], shown: tuple[list[Image], tuple[Spoken, ...]]
) -> None:
    _, file = made
    pictures, track = shown
    page = browser.new_page()
    try:
        (file.parent / "play.html").write_text(f'<video src="{file.name}" muted></video>')
        page.goto((file.parent / "play.html").as_uri())
        video = page.locator("video")
        for beat in (0, len(track) // 2, len(track) - 1):
            video.evaluate(_SEEK, (track[beat].start_ms + track[beat].end_ms) / 2000)
            with open_image(BytesIO(video.screenshot())) as taken:
                seen = taken.convert("L")
            apart = [_apart(seen, picture) for picture in pictures]
            assert apart.index(min(apart)) == beat
    finally:
        page.close()


_SEEK = """async (video, t) => {
  if (video.readyState < 1) await new Promise((done) => video.addEventListener("loadedmetadata", done));
  const there = new Promise((done) => video.addEventListener("seeked", done, { once: true }));
  video.currentTime = t;
  await there;
  await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
}"""


def _apart(seen: Image, picture: Image) -> float:
    """Give how much two pictures of one size differ, on the mean."""
    assert seen.size == picture.size
    return float(ImageStat.Stat(ImageChops.difference(seen, picture.convert("L"))).mean[0])


def _decoded(file: Path | BytesIO) -> list[tuple[int, Image]]:
    """Give the pictures of a film, each with its time."""
    import av

    with av.open(file, "r") as film_:
        return [
            (frame.pts or 0, frame.to_image().convert("L"))  # type: ignore[no-untyped-call]
            for frame in film_.decode(video=0)
        ]


def test_the_same_pictures_give_the_same_film(
    made: tuple[Kind, Path], shown: tuple[list[Image], tuple[Spoken, ...]]
) -> None:
    kind, file = made
    again = film(*shown, kind)
    first, second = _decoded(file), _decoded(BytesIO(again))
    assert [time for time, _ in first] == [time for time, _ in second]
    # Seldom, in a long busy process, some frames differ by a few bytes.
    assert max(_apart(one, other) for (_, one), (_, other) in zip(first, second, strict=True)) < 0.5
    assert abs(len(again) - file.stat().st_size) < 0.01 * len(again)


def test_without_the_extra_it_is_said_in_a_line_before_anything_is_made(
    harbour: Episode, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "av", None)
    told: list[str] = []
    with pytest.raises(NotAllowedError, match=r"films need the extra video\. Install saywhy\[video\]"):
        pieces(harbour, Wish(films=("mp4",)), lambda name, *_: told.append(name))
    assert told == []
