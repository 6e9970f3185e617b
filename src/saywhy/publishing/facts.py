"""What a host says of an episode, as text, and the episode that comes of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime

from saywhy.errors import NotAllowedError, Problem, SaywhyError
from saywhy.publishing.episode import Entry, Episode, airs_problems, link_problems
from saywhy.publishing.limits import USUAL, Limits
from saywhy.publishing.messages import Catalogue, english
from saywhy.puzzle import Puzzle
from saywhy.reasoning.explain import Path
from saywhy.recording.log import Recording, belongs

_DAY = len("2026-12-01")


@dataclass(frozen=True)
class Facts:
    """
    What is known of an episode beside its puzzle; None where it is not.

    Attributes:
        title: Its own title, where the puzzle's is not the one.
        credit: The setter's credit, where the puzzle file's is not the one.
        link: Address of the viewers' page.
        blind: Whether it is solved unseen.
        licence: The puzzle's licence, as its setter gave it.
        airs: When it airs: a day, or a time with its offset (RFC 3339).
        next_date: When the next one does: a day, or words.
        series: The name of the series.
        recording: A recorded solve.
        others: Further episodes of the series.
    """

    title: str | None = None
    credit: str | None = None
    link: str | None = None
    blind: bool | None = None
    licence: str | None = None
    airs: str | None = None
    next_date: str | None = None
    series: str | None = None
    recording: Recording | None = None
    others: tuple[Entry, ...] = ()

    def over(self, other: Facts) -> Facts:
        """Give these facts, and the other's where these say nothing."""
        mine = {name: held for name, held in vars(self).items() if held is not None and held != ()}
        return replace(other, **mine)

    def problems(self) -> list[Problem]:
        """Say what of this cannot be so, all at once; ``episode`` refuses it."""
        found = link_problems(self.link)
        if self.airs is None:
            return found
        try:
            return [*found, *airs_problems(moment(self.airs))]
        except SaywhyError as error:
            return [*found, *error.problems]

    def episode(
        self, puzzle: Puzzle, path: Path, limits: Limits = USUAL, catalogue: Catalogue | None = None
    ) -> Episode:
        """
        Give the episode.

        Raises:
            NotAllowedError: Facts cannot be so; each problem's field names the command's option for it.
        """
        if problems := self.problems():
            raise NotAllowedError(problems)
        if self.recording is not None:
            belongs(self.recording, puzzle)
        blind = self.recording.header.blind if self.blind is None and self.recording else self.blind
        return Episode(
            puzzle if self.title is None else replace(puzzle, title=self.title),
            path,
            credit=self.credit,
            link=self.link,
            blind=blind,
            licence=self.licence,
            airs=None if self.airs is None else moment(self.airs),
            next_date=_day_or_words(self.next_date),
            series=self.series,
            recording=self.recording,
            others=self.others,
            limits=limits,
            catalogue=catalogue or english(),
        )


def moment(text: str) -> date:
    """
    Read a time of airing.

    Raises:
        NotAllowedError: It is neither a day nor a time.
    """
    try:
        return date.fromisoformat(text) if len(text) == _DAY else datetime.fromisoformat(text)
    except ValueError:
        what = "the time of airing cannot be read"
        mend = "Write it as 2026-12-01T18:00+00:00, or the day alone"
        raise NotAllowedError(Problem(what, mend, "--airs")) from None


def _day_or_words(text: str | None) -> date | str | None:
    try:
        return None if text is None else moment(text)
    except SaywhyError:
        return text
