"""
The walk through the beats as a film without sound, in time with the talk track.

The encoder comes with the extra ``video``. A frame stands for as long as its beat is told; it is written
again every two seconds, so that players can seek. One thread and no dates: the same film each
time, up to what the encoder, now and then, rounds otherwise.
"""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Literal, cast

from saywhy.errors import NotAllowedError, Problem
from saywhy.publishing.pictures import lengths_ms
from saywhy.publishing.talk import Spoken

if TYPE_CHECKING:
    from av.video.frame import VideoFrame
    from av.video.stream import VideoStream
    from PIL.Image import Image

Kind = Literal["mp4", "webm"]
#: Height of a film, pixels.
FILM_PX = 1080
AGAIN_MS = 2_000
_CODECS: dict[Kind, tuple[str, dict[str, str]]] = {
    "mp4": ("libx264", {"crf": "20", "preset": "veryfast", "tune": "stillimage"}),
    "webm": ("libvpx-vp9", {"crf": "32", "b": "0", "deadline": "realtime", "cpu-used": "8"}),
}


def needed() -> None:
    """
    Check that films can be made here.

    Raises:
        NotAllowedError: The extra is not installed.
    """
    try:
        import av  # noqa: F401
    except ModuleNotFoundError:
        what = "films need the extra video"
        raise NotAllowedError(Problem(what, "Install saywhy[video], or leave --video out")) from None


def film(pictures: Sequence[Image], track: Sequence[Spoken], kind: Kind) -> bytes:
    """
    Join pictures to a film.

    Args:
        pictures: One for each part of the track, of one size, width and height even.
        track: The talk track in time.
        kind: ``mp4`` (H.264) or ``webm`` (VP9).

    Raises:
        NotAllowedError: The extra is not installed.
    """
    needed()
    import av

    codec, options = _CODECS[kind]
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / f"walk.{kind}"
        container = {"fflags": "+bitexact"} | ({"movflags": "+faststart"} if kind == "mp4" else {})
        with av.open(str(file), "w", options=container) as out:
            stream = cast("VideoStream", out.add_stream(codec, options=options))
            stream.width, stream.height = pictures[0].size
            stream.pix_fmt = "yuv420p"
            stream.codec_context.time_base = Fraction(1, 1000)
            stream.codec_context.thread_count = 1
            stream.codec_context.flags |= av.codec.context.Flags.bitexact
            start = 0
            for picture, length in zip(pictures, lengths_ms(track), strict=True):
                frame = _frame(picture)
                for at in range(start, start + length, AGAIN_MS):
                    frame.pts, frame.time_base = at, Fraction(1, 1000)
                    out.mux(stream.encode(frame))
                start += length
            frame.pts = start
            out.mux(stream.encode(frame))
            out.mux(stream.encode(None))
        return file.read_bytes()


def _frame(picture: Image) -> VideoFrame:
    """
    Give a picture as a frame of brightness and halved colour, in the narrow range of video (ITU-R BT.601).

    Pillow converts it: the same bytes for the same picture, wherever they lie in memory, which the film
    library's own scaler does not promise.
    """
    import av

    bright, *colours = picture.convert("YCbCr").split()
    planes = [
        bright.point([round(16 + value * 219 / 255) for value in range(256)]),
        *(
            colour.reduce(2).point([round(128 + (value - 128) * 224 / 255) for value in range(256)])
            for colour in colours
        ),
    ]
    frame = av.VideoFrame(picture.width, picture.height, "yuv420p")
    for plane, image in zip(frame.planes, planes, strict=True):
        data, width = image.tobytes(), image.width
        rows = (data[start : start + width] for start in range(0, len(data), width))
        plane.update(b"".join(row.ljust(plane.line_size, b"\0") for row in rows))
    return frame
