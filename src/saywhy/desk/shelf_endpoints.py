"""What can be asked of the shelf by HTTP. Nothing of it shows a cell, a digit or a recording."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Annotated, Literal, TypeVar

import msgspec
from msgspec import Meta

from saywhy.desk.drafts import read_one
from saywhy.desk.exchange import Endpoint, NotHereError
from saywhy.desk.store import KeptPuzzle, KeptRecording, Store
from saywhy.errors import NotAllowedError, Problem
from saywhy.files import limits, puzzle_id, read_text
from saywhy.recording import written
from saywhy.shelf import Permission, Said, Shelf, ShelfPuzzle
from saywhy.shelf.backups import backup
from saywhy.shelf.judging import judge
from saywhy.shelf.personal import Erased, erase, personal_data

#: Seconds that the proof of a puzzle may take here, and again its path.
JUDGING_S = 30.0

Line = Annotated[str, Meta(max_length=limits.LONGEST_TITLE)]
Words = Annotated[str, Meta(max_length=8_000)]
Day = Annotated[str, Meta(max_length=40)]
Found = TypeVar("Found")


class Struct(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """What is sent; nothing but its own fields."""


class NewPuzzle(Struct, frozen=True):
    """The text of a puzzle file, and the file's name."""

    text: str
    source: Line = ""


class Answer(Struct, frozen=True):
    """A setter's answer on airing; ``unplan`` takes off the plan what may not air any more."""

    permission: Permission
    on: Day | None = None
    words: Words = ""
    unplan: bool = False

    @property
    def said(self) -> Said:
        """The answer as the shelf takes it."""
        return Said(permission=self.permission, on=self.on or None, words=self.words)


class PuzzleFacts(Struct, frozen=True):
    """What is known of a puzzle; null leaves a field as it is."""

    title: Line | None = None
    setter: Line | None = None
    received: Day | None = None
    licence: Line | None = None
    remarks: Words | None = None


class SetterFacts(Struct, frozen=True):
    """What is known of a setter; null leaves a field as it is."""

    credit: Line | None = None
    called: Line | None = None
    contact: Line | None = None
    remarks: Words | None = None


class EpisodeFacts(Struct, frozen=True):
    """What is known of an episode; null leaves a field as it is."""

    airs: Day | None = None
    pinned: bool | None = None
    title: Line | None = None
    link: Annotated[str, Meta(max_length=500)] | None = None
    remarks: Words | None = None


class Planned(Struct, frozen=True):
    """When a puzzle is to air."""

    airs: Day
    pinned: bool = False


class Recorded(Struct, frozen=True):
    """How an episode was solved, or the key of a recording on the desk that says so."""

    how: Literal["blind", "rehearsed"] | None = None
    recording: Annotated[str, Meta(max_length=40)] | None = None


class Published(Struct, frozen=True):
    """Where an episode can be seen, and when it was published."""

    link: Annotated[str, Meta(max_length=500, min_length=1)]
    airs: Day | None = None


class Erase(Struct, frozen=True):
    """Whether a setter's puzzles stay without a name or go too."""

    puzzles: Literal["stay", "go"]


class Number(msgspec.Struct, frozen=True, kw_only=True):
    """The number of something on the shelf; ``already`` where it was there before."""

    id: int
    already: bool = False


class TakenBack(msgspec.Struct, frozen=True, kw_only=True):
    """What was taken back; null where there was nothing."""

    words: str | None


class Laid(msgspec.Struct, frozen=True, kw_only=True):
    """Under which key a puzzle of the shelf lies on the desk."""

    key: str


class Backup(msgspec.Struct, frozen=True, kw_only=True):
    """A backup that was made."""

    path: str
    bytes: int


class ShelfEndpoints:
    """The endpoints over the shelf of one store."""

    def __init__(self, store: Store) -> None:
        self.store = store

    @property
    def shelf(self) -> Shelf:
        """The shelf."""
        return self.store.shelf

    def all(self) -> list[Endpoint]:
        """Give every endpoint."""
        puzzle, setter, episode = (
            f"/api/shelf/{kind}s/{{number}}" for kind in ("puzzle", "setter", "episode")
        )
        file = "application/json"
        return [
            Endpoint("POST", "/api/shelf/puzzles", self.add, NewPuzzle, Number, {}),
            Endpoint("POST", "/api/puzzles/{key}/shelf", self.add_from_desk, None, Number, {}),
            Endpoint("PUT", puzzle, self.change_puzzle, PuzzleFacts, Number, {}),
            Endpoint("PUT", puzzle + "/file", self.mend, NewPuzzle, Number, {}),
            Endpoint("DELETE", puzzle, self.remove_puzzle, None, Number, {}),
            Endpoint("PUT", puzzle + "/permission", self.permit_puzzle, Answer, Number, {}),
            Endpoint("POST", puzzle + "/judge", self.judge, None, Number, {}),
            Endpoint("POST", puzzle + "/desk", self.lay, None, Laid, {}),
            Endpoint("POST", puzzle + "/episodes", self.plan, Planned, Number, {}),
            Endpoint("POST", "/api/shelf/setters", self.add_setter, SetterFacts, Number, {}),
            Endpoint("PUT", setter, self.change_setter, SetterFacts, Number, {}),
            Endpoint("DELETE", setter, self.remove_setter, None, Number, {}),
            Endpoint("PUT", setter + "/permission", self.permit_setter, Answer, Number, {}),
            Endpoint("GET", setter + "/personal", self.personal, None, bytes, {}, file),
            Endpoint("POST", setter + "/erase", self.erase, Erase, Erased, {}),
            Endpoint("PUT", episode, self.change_episode, EpisodeFacts, Number, {}),
            Endpoint("DELETE", episode, self.remove_episode, None, Number, {}),
            Endpoint("POST", episode + "/recorded", self.recorded, Recorded, Number, {}),
            Endpoint("POST", episode + "/published", self.published, Published, Number, {}),
            Endpoint("POST", "/api/shelf/undo", self.undo, None, TakenBack, {}),
            Endpoint("POST", "/api/shelf/backup", self.backup, None, Backup, {}),
        ]

    def add(self, body: NewPuzzle) -> Number:
        """Put a puzzle on the shelf; one that is there already is not put there twice."""
        return self._added(body.text, body.source)

    def add_from_desk(self, key: str) -> Number:
        """Put a puzzle of the desk on the shelf."""
        kept = self._kept(key)
        return self._added(kept.text, "")

    def change_puzzle(self, number: str, body: PuzzleFacts) -> Number:
        """Change what is known of a puzzle."""
        held = self._puzzle(number)
        told = {name: given for name, given in msgspec.structs.asdict(body).items() if given is not None}
        return Number(id=self.shelf.puzzles.change(held.id, **told).id)

    def mend(self, number: str, body: NewPuzzle) -> Number:
        """Put a mended file in the place of a puzzle's; permission and episodes stay."""
        held = self._puzzle(number)
        read_one(body.text)
        return Number(id=self.shelf.puzzles.mend(held.id, body.text).id)

    def remove_puzzle(self, number: str) -> Number:
        """Take a puzzle off the shelf, with its episodes and recordings; it can be taken back."""
        held = self._puzzle(number)
        self.shelf.puzzles.remove(held.id)
        return Number(id=held.id)

    def permit_puzzle(self, number: str, body: Answer) -> Number:
        """Keep a setter's answer on airing a puzzle."""
        held = self._puzzle(number)
        return Number(id=self.shelf.puzzles.permit(held.id, body.said, unplan=body.unplan).id)

    def judge(self, number: str) -> Number:
        """Prove a puzzle and measure its effort."""
        held = self._puzzle(number)
        return Number(id=self.shelf.puzzles.judge(held.id, judge(held.puzzle, JUDGING_S)).id)

    def lay(self, number: str) -> Laid:
        """Lay a puzzle of the shelf on the desk, where it is rehearsed and recorded."""
        return Laid(key=self.store.lay(self._puzzle(number).puzzle))

    def plan(self, number: str, body: Planned) -> Number:
        """Plan a puzzle to air, if it may."""
        held = self._puzzle(number)
        return Number(id=self.shelf.episodes.plan(held.id, body.airs, pinned=body.pinned).id)

    def add_setter(self, body: SetterFacts) -> Number:
        """Add a setter."""
        with self.shelf.deed(f"setter {(body.credit or '').strip()} was added"):
            held = self.shelf.setters.add(
                body.credit or "",
                called=body.called or "",
                contact=body.contact or "",
                remarks=body.remarks or "",
            )
        return Number(id=held.id)

    def change_setter(self, number: str, body: SetterFacts) -> Number:
        """Change what is known of a setter."""
        held = self._there(self.shelf.setters.get, number)
        return Number(id=self.shelf.setters.change(held.id, **msgspec.structs.asdict(body)).id)

    def remove_setter(self, number: str) -> Number:
        """Take a setter without puzzles off the shelf; it can be taken back."""
        held = self._there(self.shelf.setters.get, number)
        self.shelf.setters.remove(held.id)
        return Number(id=held.id)

    def permit_setter(self, number: str, body: Answer) -> Number:
        """Keep a setter's answer on airing whatever they send."""
        held = self._there(self.shelf.setters.get, number)
        return Number(id=self.shelf.setters.permit(held.id, body.said, unplan=body.unplan).id)

    def personal(self, number: str) -> bytes:
        """Give all that the shelf knows of a setter, for the setter."""
        held = self._there(self.shelf.setters.get, number)
        return msgspec.json.format(msgspec.json.encode(personal_data(self.shelf, held.id)), indent=2)

    def erase(self, number: str, body: Erase) -> Erased:
        """Erase a setter for good, on the shelf and on the desk."""
        held = self._there(self.shelf.setters.get, number)
        self.store.forget({held.credit, held.called})
        return erase(self.shelf, held.id, puzzles=body.puzzles)

    def change_episode(self, number: str, body: EpisodeFacts) -> Number:
        """Move an episode, pin it, or change what is known of it."""
        held = self._there(self.shelf.episodes.get, number)
        with self.shelf.deed(f"episode e{held.id} was changed"):
            if body.airs is not None and body.airs != held.airs:
                self.shelf.episodes.move(held.id, body.airs, pinned=body.pinned)
            elif body.pinned is not None and body.pinned != held.pinned:
                self.shelf.episodes.pin(held.id, body.pinned)
            told = {"title": body.title, "link": body.link, "remarks": body.remarks}
            if any(given is not None for given in told.values()):
                self.shelf.episodes.change(held.id, **told)
        return Number(id=held.id)

    def remove_episode(self, number: str) -> Number:
        """Take an episode off the shelf; it can be taken back."""
        held = self._there(self.shelf.episodes.get, number)
        self.shelf.episodes.remove(held.id)
        return Number(id=held.id)

    def recorded(self, number: str, body: Recorded) -> Number:
        """Say that an episode was recorded; a recording of the desk is kept with it."""
        held = self._there(self.shelf.episodes.get, number)
        log = None if body.recording is None else self._recording(body.recording)
        how = body.how
        if log is not None:
            how = "blind" if log.blind else "rehearsed"
        if how is None:
            what = "nothing says how it was solved"
            raise NotAllowedError(Problem(what, "Say blind or rehearsed, or name a recording", "how"))
        with self.shelf.deed(f"episode e{held.id} was recorded"):
            if held.state == "planned":
                self.shelf.episodes.record(held.id, how)
            if log is not None:
                data = written(self.store.read_recording(log.key))
                self.shelf.recordings.keep(held.puzzle, data, episode=held.id)
        return Number(id=held.id)

    def published(self, number: str, body: Published) -> Number:
        """Say that a recorded episode was published."""
        held = self._there(self.shelf.episodes.get, number)
        return Number(id=self.shelf.episodes.publish(held.id, body.link, airs=body.airs or None).id)

    def undo(self) -> TakenBack:
        """Take back what was done on the shelf last."""
        done = self.shelf.undo()
        return TakenBack(words=None if done is None else done.words)

    def backup(self) -> Backup:
        """Copy the shelf into a file of the folder ``backups``, while it is in use."""
        folder = self.store.folder / "backups"
        folder.mkdir(exist_ok=True, mode=0o700)
        file = folder / f"shelf-{datetime.now().strftime('%Y%m%d-%H%M%S-%f')}.sqlite"
        return Backup(path=str(file), bytes=backup(self.shelf, file))

    def _added(self, text: str, source: str) -> Number:
        puzzle = read_one(text)
        if here := self.shelf.puzzles.saying(puzzle):
            return Number(id=here[0].id, already=True)
        return Number(id=self.shelf.puzzles.add(text, source=source).id)

    def _puzzle(self, number: str) -> ShelfPuzzle:
        return self._there(self.shelf.puzzles.get, number)

    def _kept(self, key: str) -> KeptPuzzle:
        found = self.store.puzzle(key)
        if found is None:
            raise NotHereError("this puzzle is not on the desk")
        return found

    def _recording(self, key: str) -> KeptRecording:
        found = self.store.recording(key)
        if found is None:
            raise NotHereError("this recording is not on the desk")
        return found

    @staticmethod
    def _there(get: Callable[[int], Found], number: str) -> Found:
        """
        Give what has a number.

        Raises:
            NotHereError: Nothing has it.
        """
        if number.isascii() and number.isdigit() and len(number) <= 15:
            try:
                return get(int(number))
            except NotAllowedError as error:
                raise NotHereError(error.problems[0].what) from None
        raise NotHereError("there is nothing of this number on the shelf")


def recordings_for(store: Store, puzzle: ShelfPuzzle) -> list[KeptRecording]:
    """Give the recordings of the desk that are of a puzzle of the shelf, finished ones first."""
    recordings = store.all_recordings()
    texts = {held.text for held in recordings}
    same = {text for text in texts if puzzle_id(read_text(text)[0]) == puzzle.identity}
    return store.finished_first([held for held in recordings if held.text in same])
