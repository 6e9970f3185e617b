"""The shelf of the folder that a command names, which must be there; only ``saywhy shelf`` begins one."""

from __future__ import annotations

from pathlib import Path

from saywhy.errors import NotAllowedError, Problem
from saywhy.shelf import Shelf, usual_folder
from saywhy.shelf.shelf import FILE


def open_shelf(folder: Path | None) -> Shelf:
    """
    Open the shelf.

    Args:
        folder: None for the usual one, which may be begun here.

    Raises:
        NotAllowedError: There is no shelf in the folder that was named.
        SaywhyError: It cannot be opened.
    """
    if folder is not None and not (folder / FILE).exists():
        mend = "Name another; saywhy shelf --folder FOLDER add FILE begins one"
        raise NotAllowedError(Problem("there is no shelf in this folder", mend, "--folder"), str(folder))
    return Shelf(folder or usual_folder())
