"""The plan on the desk: what stands, what is proposed, and what is taken."""

from __future__ import annotations

import secrets
from collections import OrderedDict
from dataclasses import replace
from datetime import UTC, date, datetime
from threading import Lock
from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from saywhy.desk.exchange import Endpoint, NotHereError
from saywhy.desk.plan_sheets import Form, Written, form_of, text_of
from saywhy.desk.store import Store
from saywhy.errors import NotAllowedError, Problem, SaywhyError
from saywhy.files import limits
from saywhy.plan.calendar import calendar
from saywhy.plan.clash import Clash
from saywhy.plan.outcome import Outcome, make_plan, standing
from saywhy.plan.series import Candidate
from saywhy.plan.sheet import Sheet, read_sheet, usual
from saywhy.plan.shelving import SHEET, TAKEN, stock_of, take
from saywhy.plan.stock import Stock
from saywhy.plan.wishes import Request
from saywhy.plan.wishes.effort import NAMES

#: Proposals that are remembered until one is taken, and puzzles that are shown as waiting.
MOST_PROPOSALS, MOST_WAITING = 20, 200

Short = Annotated[str, Meta(max_length=limits.LONGEST_TITLE)]
Day = Annotated[str, Meta(max_length=10, pattern=r"^\d{4}-\d\d-\d\d$")]


class Pin(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A puzzle that is put on a day by hand."""

    puzzle: Short
    day: Day


class Ask(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """
    What to plan by.

    Attributes:
        sheet: The sheet of wishes; null for the one that is kept.
        pins: Pins besides those that stand.
        loose: Puzzles whose pins are let go.
        fresh: Whether to forget the earlier plan.
        give_way: Whether to give up wishes where they clash.
    """

    sheet: Annotated[str, Meta(max_length=limits.MOST_BYTES)] | None = None
    pins: Annotated[list[Pin], Meta(max_length=500)] = []
    loose: Annotated[list[Short], Meta(max_length=500)] = []
    fresh: bool = False
    give_way: bool = False


class Proposal(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A proposal, by its key."""

    key: Annotated[str, Meta(max_length=40)]


class Spot(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A day of a proposal; its key is empty for what stands."""

    key: Annotated[str, Meta(max_length=40)]
    day: Day


class Place(msgspec.Struct, frozen=True, kw_only=True):
    """
    One day of the series.

    Attributes:
        day: The day.
        time: The time of day; empty where there is none.
        state: ``stands`` was recorded or published, ``planned``, or ``empty``.
        puzzle: Its name; empty where nothing stands.
        level: The effort from 1 to 5; 0 where it is not known.
        why: Why it stands there; of a proposal also why nothing does.
    """

    day: str
    time: str
    state: Literal["stands", "planned", "empty"]
    pinned: bool = False
    puzzle: str = ""
    title: str = ""
    setter: str = ""
    band: str = ""
    level: int = 0
    families: list[str] = []
    why: list[str] = []


class Changed(msgspec.Struct, frozen=True, kw_only=True):
    """What becomes of a puzzle."""

    puzzle: str
    kind: Literal["kept", "moved", "new", "off"]
    after: str | None
    words: str


class Clashing(msgspec.Struct, frozen=True, kw_only=True):
    """Wishes that cannot all be kept, and what would mend it."""

    wishes: list[str]
    mends: list[str]
    further: bool


class Waiting(msgspec.Struct, frozen=True, kw_only=True):
    """A puzzle that may air and is not in the plan."""

    puzzle: str
    title: str
    setter: str
    band: str
    level: int
    received: str


class Told(msgspec.Struct, frozen=True, kw_only=True):
    """
    A plan as the page shows it.

    Attributes:
        key: By which it can be taken; empty for what stands already.
        made: Whether there is a plan.
        judged: How good it is.
        empty: Of a proposal, which days stay empty, and why.
        missed: Wishes that are not kept; days that stay empty are told by ``empty``.
        sheet: The sheet of wishes that is kept.
    """

    sheet: str
    key: str
    made: bool
    judged: str
    places: list[Place]
    waiting: list[Waiting]
    changed: list[Changed]
    empty: list[str]
    missed: list[str]
    clash: Clashing | None


class Elsewhere(msgspec.Struct, frozen=True, kw_only=True):
    """By day, what would break if an episode changed places with what stands there; empty for nothing."""

    breaks: dict[str, str]


class Taken(msgspec.Struct, frozen=True, kw_only=True):
    """How many episodes were planned, moved or taken off; or what was taken back."""

    episodes: int = 0
    words: str = ""


class Plans:
    """The plans of one store."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self._proposals: OrderedDict[str, tuple[Outcome, str]] = OrderedDict()
        self._sheets: dict[int, str | None] = {}
        self._one = Lock()

    def all(self) -> list[Endpoint]:
        """Give every endpoint."""
        return [
            Endpoint("GET", "/api/plan", self.stands, None, Told, {}),
            Endpoint("POST", "/api/plan/propose", self.propose, Ask, Told, {}),
            Endpoint("POST", "/api/plan/form", self.form, Written, Form, {}),
            Endpoint("POST", "/api/plan/sheet", self.written, Form, Written, {}),
            Endpoint("POST", "/api/plan/elsewhere", self.elsewhere, Spot, Elsewhere, {}),
            Endpoint("POST", "/api/plan/take", self.take, Proposal, Taken, {}),
            Endpoint("POST", "/api/plan/undo", self.undo, None, Taken, {}),
            Endpoint("GET", "/api/plan/calendar", self.calendar, None, bytes, {}, "text/calendar"),
        ]

    @property
    def sheet(self) -> str:
        """The text of the sheet that is kept, or of the usual one."""
        path = self.store.folder / SHEET
        try:
            return path.read_text(encoding="utf-8")
        except (OSError, ValueError):
            return usual(date.today())

    def stands(self) -> Told:
        """Give what is planned already."""
        return _told("", self._standing(), self.sheet)

    def propose(self, body: Ask) -> Told:
        """Plan anew, and change nothing yet."""
        text = self.sheet if body.sheet is None else body.sheet
        sheet = _with_pins(read_sheet(text, SHEET), body.pins)
        stock = _loosened(stock_of(self.store.shelf), set(body.loose))
        key = secrets.token_hex(8)
        with self._one:
            try:
                made = make_plan(stock, sheet, date.today(), fresh=body.fresh, give_way=body.give_way)
                told = _told(key, made, self.sheet)
            except ModuleNotFoundError as error:
                what = f"planning needs {error.name}"
                raise NotAllowedError(
                    Problem(what, "Install saywhy[plan], then start the desk again")
                ) from None
        self._proposals[key] = made, text
        while len(self._proposals) > MOST_PROPOSALS:
            self._proposals.popitem(last=False)
        return told

    def form(self, body: Written) -> Form:
        """Give what a sheet says, a field each."""
        return form_of(body.sheet)

    def written(self, body: Form) -> Written:
        """Write a sheet that says this."""
        return Written(sheet=text_of(body))

    def elsewhere(self, body: Spot) -> Elsewhere:
        """Say of every other day what would break if the episode of a day stood there."""
        made = self._proposal(body.key)[0] if body.key else self._standing()
        slot = made.series.slot_of(_day(body.day))
        if slot is None or slot in made.series.fixed:
            return Elsewhere(breaks={})
        found = made.reasons.elsewhere(slot)
        return Elsewhere(
            breaks={made.series.slots[other].day.isoformat(): words or "" for other, words in found.items()}
        )

    def take(self, body: Proposal) -> Taken:
        """Take a proposal: it is written to the shelf, and its sheet is kept."""
        made, text = self._proposal(body.key)
        if not made.made:
            raise NotAllowedError(Problem("there is no plan to take", "Mend the wishes, and plan again"))
        before = self.sheet if (self.store.folder / SHEET).exists() else None
        done = take(self.store.shelf, made)
        self._keep(text)
        deeds = self.store.shelf.deeds()
        if done and deeds:
            self._sheets[deeds[0].id] = before
        self._proposals.clear()
        return Taken(episodes=done)

    def undo(self) -> Taken:
        """Take back the plan that was taken last, if nothing else was done on the shelf since."""
        deeds = self.store.shelf.deeds()
        if not any(deed.words == TAKEN for deed in deeds):
            raise NotAllowedError(Problem("no plan was taken yet", "Plan anew, and take what is proposed"))
        if deeds[0].words != TAKEN:
            what = f"something else was done since: {deeds[0].words}"
            raise NotAllowedError(Problem(what, "Look at what was done last on the page Shelf"))
        self.store.shelf.undo()
        if deeds[0].id in self._sheets:
            text = self._sheets.pop(deeds[0].id)
            if text is None:
                (self.store.folder / SHEET).unlink(missing_ok=True)
            else:
                self._keep(text)
        self._proposals.clear()
        return Taken(words=deeds[0].words)

    def calendar(self) -> bytes:
        """Give what is planned as an iCalendar file."""
        made = self._standing()
        return calendar(made.series, made.plan.line, datetime.now(UTC))

    def _standing(self) -> Outcome:
        stock, today = stock_of(self.store.shelf), date.today()
        try:
            return standing(stock, read_sheet(self.sheet, SHEET), today)
        except SaywhyError:
            return standing(stock, read_sheet(usual(today)), today)

    def _proposal(self, key: str) -> tuple[Outcome, str]:
        held = self._proposals.get(key)
        if held is None:
            raise NotHereError("this proposal is not there any more: plan again")
        return held

    def _keep(self, text: str) -> None:
        path = self.store.folder / SHEET
        beside = path.with_suffix(".new")
        beside.write_text(text, encoding="utf-8")
        beside.replace(path)


def _with_pins(sheet: Sheet, pins: list[Pin]) -> Sheet:
    """Give a sheet with pins in place of those that it has for the same puzzles or days."""
    new = [Request(puzzle=pin.puzzle, on=_day(pin.day), pin=True) for pin in pins]
    said = {wish.puzzle for wish in new} | {str(wish.on) for wish in new}
    kept = [
        wish
        for wish in sheet.wishes
        if not (isinstance(wish, Request) and wish.pin and {wish.puzzle, str(wish.on)} & said)
    ]
    return replace(sheet, wishes=(*kept, *new))


def _loosened(stock: Stock, loose: set[str]) -> Stock:
    episodes = tuple(
        replace(held, pinned=held.pinned and held.puzzle not in loose) for held in stock.episodes
    )
    return replace(stock, episodes=episodes)


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise NotAllowedError(Problem(f"{text!r} is not a day", "Write it as 2026-12-01", "day")) from None


def _level(held: Candidate) -> int:
    return 1 + NAMES.index(held.band) if held.band in NAMES else 0


def _told(key: str, made: Outcome, sheet: str) -> Told:
    series, line, pins = made.series, made.plan.line, made.pins()
    places = []
    for slot, (held, number) in enumerate(zip(series.slots, line, strict=True)):
        day, time = held.day.isoformat(), "" if held.at is None else f"{held.at:%H:%M}"
        if number is None:
            why = made.reasons.why(slot) if key and made.made else []
            places.append(Place(day=day, time=time, state="empty", why=why))
            continue
        puzzle = series.candidates[number]
        places.append(
            Place(
                day=day,
                time=time,
                state="stands" if slot in series.fixed else "planned",
                pinned=number in pins,
                puzzle=puzzle.name,
                title=puzzle.called,
                setter=puzzle.setter,
                band=puzzle.band or "",
                level=_level(puzzle),
                families=sorted(puzzle.families),
                why=made.reasons.why(slot),
            )
        )
    placed = {number for number in line if number is not None}
    free = sorted(
        (number for number in series.open if number not in placed),
        key=lambda n: (series.candidates[n].received or date.max, n),
    )
    clash = made.clash
    return Told(
        sheet=sheet,
        key=key,
        made=made.made,
        judged=made.judged() if key else "",
        places=places,
        waiting=[_waiting(series.candidates[number]) for number in free[:MOST_WAITING]],
        changed=[
            Changed(
                puzzle=series.candidates[held.candidate].name,
                kind=held.kind,
                after=None if held.after is None else held.after.isoformat(),
                words=held.words(series),
            )
            for held in made.changes()
        ]
        if key
        else [],
        empty=made.empty if key else [],
        missed=made.reasons.not_kept() if made.made and (key or placed - set(series.fixed.values())) else [],
        clash=None if clash is None else _clashing(clash),
    )


def _clashing(clash: Clash) -> Clashing:
    """Give a clash as the page shows it: with further ones, all that clashes, and what mends all together."""
    wishes = [words for one in (clash, *clash.besides) for words in one.told]
    if not clash.further:
        return Clashing(wishes=wishes, mends=list(clash.mends), further=False)
    return Clashing(wishes=wishes, mends=["; and ".join(clash.together)][: len(clash.together)], further=True)


def _waiting(held: Candidate) -> Waiting:
    return Waiting(
        puzzle=held.name,
        title=held.called,
        setter=held.setter,
        band=held.band or "",
        level=_level(held),
        received="" if held.received is None else held.received.isoformat(),
    )
