"""What can be asked of the desk by HTTP, besides its pages."""

from __future__ import annotations

from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta

from saywhy.desk.drafts import Draft, DraftProblem, draft_of, look, read_draft, read_one
from saywhy.desk.exchange import ChangedError, Endpoint, NotHereError, NotYetError
from saywhy.desk.paths import Fit, Paths
from saywhy.desk.picture import Picture, picture
from saywhy.desk.store import KeptPuzzle, KeptRecording, Store
from saywhy.desk.verdicts import Verdict, breaks, verdict
from saywhy.errors import NotAllowedError, Problem
from saywhy.files import read_text
from saywhy.recording import belongs, read_bytes, written


class Text(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The text of a puzzle file."""

    text: str


class Key(msgspec.Struct, frozen=True):
    """Under which key something is kept."""

    key: str


class Saved(msgspec.Struct, frozen=True):
    """Under which key a puzzle is kept, and which form of it."""

    key: str
    form: str


class Change(Draft, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """
    A draft that takes the place of a puzzle.

    Attributes:
        form: The form that it began from; empty takes the place of whatever is there.
    """

    form: Annotated[str, Meta(max_length=16)] = ""


class Drawn(msgspec.Struct, frozen=True, kw_only=True):
    """A draft and how it looks; ``picture`` is null where nothing can be drawn of it."""

    draft: Draft
    picture: Picture | None
    problems: list[DraftProblem]


class Digits(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A digit a cell, 0 where empty."""

    digits: Annotated[list[Annotated[int, Meta(ge=0, le=16)]], Meta(max_length=256)]


class Cells(msgspec.Struct, frozen=True):
    """Cells, row by row from 0."""

    cells: list[int]


class Begin(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Begin a recording of a puzzle."""

    puzzle: Annotated[str, Meta(max_length=40)]
    blind: bool


class Import(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A recording from elsewhere, of a puzzle that is on the desk."""

    puzzle: Annotated[str, Meta(max_length=40)]
    text: str


class Path(msgspec.Struct, frozen=True):
    """A whole path, as ``explain --json`` prints it, with the text of each beat."""

    file: str
    verdict: Literal["unique", "none", "many", "undecided"]
    complete: bool
    steps: list[dict[str, Any]]
    beats: list[str]


class Endpoints:
    """The endpoints over one store."""

    def __init__(self, store: Store, paths: Paths) -> None:
        self.store = store
        self.paths = paths

    def all(self) -> list[Endpoint]:
        """Give every endpoint."""
        one = "/api/puzzles/{key}"
        toml, lines = "application/toml", "application/jsonl"
        return [
            Endpoint("POST", "/api/read", self.read, Text, Drawn, {}),
            Endpoint("POST", "/api/draw", self.draw, Draft, Drawn, {}),
            Endpoint("POST", "/api/puzzles", self.add, Draft, Saved, {}),
            Endpoint("PUT", one, self.change, Change, Saved, {}),
            Endpoint("DELETE", one, self.drop, None, Key, {}),
            Endpoint("GET", one, self.puzzle, None, Drawn, {}),
            Endpoint("GET", one + "/file", self.file, None, bytes, {}, toml),
            Endpoint("GET", one + "/verdict", self.verdict, None, Verdict, {}),
            Endpoint("GET", one + "/fit", self.fit, None, Fit, {}),
            Endpoint("GET", one + "/path", self.path, None, Path, {"reveal": ("no", "yes")}),
            Endpoint("POST", one + "/breaks", self.breaks, Digits, Cells, {}),
            Endpoint("POST", "/api/recordings", self.begin, Begin, Key, {}),
            Endpoint("POST", "/api/recordings/import", self.take_in, Import, Key, {}),
            Endpoint("GET", "/api/recordings/{key}/file", self.recorded, None, bytes, {}, lines),
            Endpoint("POST", "/api/recordings/{key}/breaks", self.breaks_here, Digits, Cells, {}),
        ]

    def read(self, body: Text) -> Drawn:
        """Read the text of a puzzle file, without keeping it."""
        return self._drawn(draft_of(read_one(body.text)))

    def draw(self, body: Draft) -> Drawn:
        """Draw a draft and say what is wrong with it."""
        return self._drawn(body)

    def add(self, body: Draft) -> Saved:
        """Keep a new puzzle."""
        return self._saved(self.store.keep_puzzle(read_draft(body)))

    def change(self, key: str, body: Change) -> Saved:
        """Keep a puzzle in place of the form that it began from."""
        if body.form not in {"", self.kept(key).form}:
            raise ChangedError("This puzzle was saved from another window meanwhile")
        return self._saved(self.store.keep_puzzle(read_draft(body), key))

    def _saved(self, key: str) -> Saved:
        return Saved(key, self.kept(key).form)

    def drop(self, key: str) -> Key:
        """Take a puzzle off the desk; recordings of it stay."""
        self.kept(key)
        self.store.drop_puzzle(key)
        return Key(key)

    def puzzle(self, key: str) -> Drawn:
        """Give a puzzle and how it looks."""
        return self._drawn(draft_of(self.kept(key).puzzle))

    def file(self, key: str) -> bytes:
        """Give a puzzle as a file of format 1."""
        return self.kept(key).text.encode()

    def verdict(self, key: str) -> Verdict:
        """Say how many solutions a puzzle has, without showing one."""
        return verdict(self.kept(key).puzzle)

    def fit(self, key: str) -> Fit:
        """Give the card that says whether a puzzle is fit to air, without spoiling it."""
        return self.paths.fit(self.kept(key).puzzle)

    def path(self, key: str, reveal: str) -> dict[str, Any]:
        """Give the whole path of a puzzle, where reveal is asked for."""
        puzzle = self.kept(key).puzzle
        if reveal != "yes":
            raise NotYetError("the path shows the whole solve")
        return self.paths.revealed(puzzle)

    def breaks(self, key: str, body: Digits) -> Cells:
        """Say which digits break a rule as they stand."""
        return _breaks(self.kept(key).text, body)

    def breaks_here(self, key: str, body: Digits) -> Cells:
        """Say the same for the puzzle of a recording as it was solved."""
        return _breaks(self.kept_recording(key).text, body)

    def begin(self, body: Begin) -> Key:
        """Begin a recording; blind or rehearsed is said once and kept."""
        return Key(self.store.begin_recording(self.kept(body.puzzle), blind=body.blind))

    def take_in(self, body: Import) -> Key:
        """Take in a recording from elsewhere."""
        kept = self.kept(body.puzzle)
        recording = read_bytes(body.text.encode("utf-8", "replace"))
        belongs(recording, kept.puzzle)
        return Key(self.store.keep_recording(kept, recording))

    def recorded(self, key: str) -> bytes:
        """Give a recording as JSON Lines."""
        self.kept_recording(key)
        return written(self.store.read_recording(key))

    def kept(self, key: str) -> KeptPuzzle:
        """
        Give a puzzle by its key.

        Raises:
            NotHereError: There is none.
        """
        found = self.store.puzzle(key)
        if found is None:
            raise NotHereError("this puzzle is not on the desk")
        return found

    def kept_recording(self, key: str) -> KeptRecording:
        """
        Give a recording by its key.

        Raises:
            NotHereError: There is none.
        """
        found = self.store.recording(key)
        if found is None:
            raise NotHereError("this recording is not on the desk")
        return found

    def _drawn(self, draft: Draft) -> Drawn:
        looked = look(draft)
        made = None if looked.puzzle is None else picture(looked.puzzle)
        return Drawn(draft=draft, picture=made, problems=looked.problems)


def _breaks(text: str, body: Digits) -> Cells:
    puzzle = read_text(text)[0]
    if len(body.digits) != len(puzzle.grid.cells):
        what = f"{len(puzzle.grid.cells)} digits were expected and {len(body.digits)} came"
        raise NotAllowedError(Problem(what, "Send one a cell"))
    if wrong := next((digit for digit in body.digits if digit > puzzle.grid.size), 0):
        raise NotAllowedError(Problem(f"{wrong} is not a digit of this grid", "Send digits of the grid"))
    return Cells(breaks(puzzle, body.digits))
