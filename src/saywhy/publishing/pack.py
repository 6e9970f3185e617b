"""
The whole pack in one folder, with a manifest; built beside it and moved into place when all is there.

An earlier pack gives way only as long as it is as it was written: what somebody has changed in it, or put
there, is never lost.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path

from saywhy.errors import NotAllowedError, Problem
from saywhy.publishing.episode import Episode
from saywhy.publishing.pieces import Piece, Told, Wish, pieces

MANIFEST = "manifest.json"


def build(episode: Episode, folder: Path, wish: Wish | None = None, told: Told | None = None) -> list[Piece]:
    """
    Write the pack into a folder; it stands there whole, or nothing has changed.

    Args:
        episode: The episode.
        folder: A new or empty folder, or one that holds an earlier pack, which gives way.
        wish: What the host asks for beside it.
        told: As for ``pieces``.

    Raises:
        NotAllowedError: The folder holds something else, cannot be written, or a part cannot be made.
    """
    check(folder)
    wish = wish or Wish()
    held = pieces(episode, wish, told)
    _written(folder, lambda where: _write(where, held, manifest(episode, held, wish)))
    return held


def manifest(episode: Episode, held: list[Piece], wish: Wish) -> bytes:
    """
    Give the manifest.

    It has every file with its size, its SHA-256, whether it spoils, and its description, that of what
    spoils left out, since a host reads the manifest before the solve; and whether the pack is a draft, with
    the fields that were not filled in.
    """
    files = [
        {
            "name": piece.name,
            "bytes": len(piece.data),
            "sha256": hashlib.sha256(piece.data).hexdigest(),
            "spoils": piece.spoils,
            **({} if piece.alt is None or piece.spoils else {"alt": piece.alt}),
        }
        for piece in sorted(held, key=lambda piece: piece.name)
    ]
    said = {
        "format": 1,
        "puzzle": episode.name,
        "id": str(episode.uuid),
        "title": episode.title,
        "language": episode.language,
        "draft": wish.draft,
        "unfilled": list(wish.words(episode).unfilled),
        "files": files,
    }
    return (json.dumps(said, indent=1, ensure_ascii=False) + "\n").encode()


def check(folder: Path) -> None:
    """
    Check that a pack may be written into a folder.

    Raises:
        NotAllowedError: It is no folder, or holds something that would be lost.
    """
    if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
        raise NotAllowedError(Problem("this is not a folder", "Name a new one"), str(folder))
    if not folder.is_dir() or not any(folder.iterdir()):
        return
    written = _listed(folder)
    if written is None:
        what = "the folder holds something that is not a pack"
        raise NotAllowedError(Problem(what, "Name a new folder, or an earlier pack"), str(folder))
    for file in sorted(folder.rglob("*")):
        name = file.relative_to(folder).as_posix()
        if name == MANIFEST or (file.is_dir() and not file.is_symlink()):
            continue
        if name not in written:
            raise NotAllowedError(_own(f"{name} is not of the pack"), str(folder))
        if hashlib.sha256(file.read_bytes()).hexdigest() != written[name]:
            raise NotAllowedError(_own(f"{name} was changed since the pack was made"), str(folder))


def _own(what: str) -> Problem:
    return Problem(f"{what} and would be lost", "Move it elsewhere, or name a new folder")


def _listed(folder: Path) -> dict[str, str] | None:
    """Give the checksums of an earlier pack's manifest; None where there is none."""
    try:
        held = json.loads((folder / MANIFEST).read_bytes())
        return {file["name"]: file["sha256"] for file in held["files"]}
    except (OSError, ValueError, LookupError, TypeError):
        return None


def _written(folder: Path, write: Callable[[Path], None]) -> None:
    """Have a folder written beside its place and moved there; an earlier one goes only then."""
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        workshop = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=folder.parent))
    except OSError as error:
        raise _refused(error, folder) from error
    old = workshop / "old"
    try:
        fresh = workshop / "new"
        fresh.mkdir()
        write(fresh)
        try:
            if folder.exists():
                folder.rename(old)
            os.replace(fresh, folder)  # noqa: PTH105 - a folder onto a name that is free
        except BaseException:
            if old.exists() and not folder.exists():
                old.rename(folder)
            raise
    except OSError as error:
        raise _refused(error, folder) from error
    finally:
        shutil.rmtree(workshop, ignore_errors=True)


def _write(where: Path, held: list[Piece], listing: bytes) -> None:
    for piece in held:
        out = where / piece.name
        out.parent.mkdir(parents=True, exist_ok=True)
        out.write_bytes(piece.data)
    (where / MANIFEST).write_bytes(listing)


def _refused(error: OSError, folder: Path) -> NotAllowedError:
    reason = (error.strerror or str(error)).lower()
    return NotAllowedError(
        Problem(f"the pack cannot be written: {reason}", "Name another folder"), str(folder)
    )


def mend(folder: Path) -> None:
    """Put right what a build left that was killed: an earlier pack is back in its place, the rest is gone."""
    for workshop in sorted(folder.parent.glob(f".{folder.name}-*")):
        old = workshop / "old"
        if old.exists() and not folder.exists():
            old.rename(folder)
        shutil.rmtree(workshop, ignore_errors=True)
