"""
The live line of setting: a drawing is mended or trimmed, others are composed; what came of it is offered.

One piece of work at a time: a new question, or the word to stop, ends the last one. The work goes on in a
thread that the engine and a flag can stop; its progress is told a few times a second.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterable
from time import monotonic

import msgspec
from starlette.concurrency import run_in_threadpool
from starlette.websockets import WebSocket

from saywhy.desk.composing import composed
from saywhy.desk.drafts import draft_of, look
from saywhy.desk.latest import answer_latest, tell_page
from saywhy.desk.picture import picture
from saywhy.desk.setting_forms import WORK_S, Answer, Offer, Question, sentence
from saywhy.engine import Cancel
from saywhy.errors import SaywhyError
from saywhy.puzzle import Puzzle
from saywhy.rules import placed
from saywhy.setting.changes import Change, shown, told
from saywhy.setting.watch import Tell

#: Seconds between two words of progress.
TICK_S = 0.25
#: Offers of one piece of work.
MOST = 6


_question = msgspec.json.Decoder(Question)


async def setting(socket: WebSocket) -> None:
    """Answer questions one at a time."""
    await answer_latest(socket, _question, _work, "not a question")


async def _work(socket: WebSocket, question: Question, cancel: Cancel) -> None:
    if question.ask == "stop":
        return
    loop = asyncio.get_running_loop()
    last = monotonic()

    def tell(what: str, done: int, of: int) -> None:
        nonlocal last
        if monotonic() - last >= TICK_S:
            last = monotonic()
            message = {"n": question.n, "progress": {"what": what, "done": done, "of": of}}
            asyncio.run_coroutine_threadsafe(tell_page(socket, message), loop)

    def offer(answer: Answer) -> None:
        message = {"n": question.n, "working": True, "answer": answer}
        asyncio.run_coroutine_threadsafe(tell_page(socket, message), loop)

    try:
        answer = await run_in_threadpool(_answer, question, cancel, tell, offer)
    except SaywhyError as error:
        first, *others = error.problems
        lines = [f"{first.mend}.", *(f"{sentence(other.what)} {other.mend}." for other in others)]
        answer = Answer(head=sentence(first.what), lines=lines)
    await tell_page(socket, {"n": question.n, "stopped": cancel.is_set, "answer": answer})


def _answer(question: Question, cancel: Cancel, tell: Tell, offer: Callable[[Answer], None]) -> Answer:
    if question.ask == "compose" and question.anew == "sketch":
        return composed(question, None, cancel, tell, offer)
    looked = None if question.draft is None else look(question.draft)
    if looked is None or looked.puzzle is None or looked.problems:
        return Answer(head="Not a puzzle yet.", lines=["Finish the clues that are marked in the list first."])
    if question.ask == "compose":
        return composed(question, looked.puzzle, cancel, tell, offer)
    work = _repaired if question.ask == "repair" else _trimmed
    return work(looked.puzzle, question, cancel, tell)


def _repaired(puzzle: Puzzle, question: Question, cancel: Cancel, tell: Tell) -> Answer:
    from saywhy.files.solutions import solution_of
    from saywhy.setting.repair import check_solution, repair
    from saywhy.terminal.mended import effort_words, fewest, ways, wrong_words

    claimed = solution_of(question.solution, puzzle.grid) if question.solution.strip() else None
    if claimed is not None:
        check_solution(puzzle, claimed)
    found = repair(puzzle, claimed=claimed, most=MOST, seconds=WORK_S, cancel=cancel, tell=tell)
    if found.fine:
        return Answer(head="There is nothing to mend.")
    if found.hopeless:
        return Answer(head="The rules of the grid alone leave no solution.", lines=["No clue is to blame."])
    lines = [sentence(line) for line in wrong_words(found)] if found.wrong else []
    if found.size is None:
        return Answer(head="No mending was found in the time allowed.", lines=lines)
    lines += [sentence(line) for line in ways(found)]
    offers = []
    for mending in found.proposals:
        uneven = "the pattern of the givens is left uneven" if mending.lacks else ""
        offers.append(
            Offer(
                title=sentence(told(mending.changes)),
                words=[sentence(shown(change, puzzle)) for change in mending.changes],
                note="; ".join(part for part in (effort_words(mending.effort), uneven) if part),
                cells=_cells(puzzle, mending.changes),
                draft=draft_of(mending.puzzle),
                picture=picture(mending.puzzle),
            )
        )
    return Answer(head=sentence(fewest(found)), lines=lines, offers=offers)


def _cells(puzzle: Puzzle, changes: Iterable[Change]) -> list[int]:
    rules = placed(puzzle).clues
    found: set[int] = set()
    for change in changes:
        found.update(cell for cell, _ in change.givens)
        for place, _ in change.clues:
            found.update(rules[place].scope)
        if change.added is not None:
            found.update(change.added.cells)
    return sorted(found)


def _trimmed(puzzle: Puzzle, question: Question, cancel: Cancel, tell: Tell) -> Answer:
    from saywhy.setting.trim import trim
    from saywhy.terminal.about import counted
    from saywhy.terminal.mended import effort_words

    found = trim(puzzle, wish=question.wish, seconds=WORK_S, cancel=cancel, tell=tell)
    if found.verdict != "unique":
        return Answer(
            head="Only a puzzle with one solution can be trimmed.", lines=["Mend it first, then trim it."]
        )
    spare = f"{counted(len(found.spare_givens), 'given')} and {counted(len(found.spare_clues), 'clue')}"
    lines = [f"{sentence(spare)[:-1]} could go, each taken alone."]
    if found.spare_rules:
        lines.append(f"Not needed at all, and left: {', '.join(found.spare_rules)}.")
    if found.unmet:
        lines.append(found.unmet)
    if not found.trimmings:
        unsure = "" if found.proved else " so far as was seen in the time allowed"
        return Answer(head=f"Nothing may go{unsure}.", lines=lines)
    offers = []
    for trimming in found.trimmings[:MOST]:
        gone = f"{counted(len(trimming.givens), 'given')} and {counted(len(trimming.clues), 'clue')} less"
        clues = [placed(puzzle).clues[place] for place in trimming.clues]
        words = []
        if trimming.givens:
            given = "given" if len(trimming.givens) == 1 else "givens"
            words.append(f"Without the {given} in {' '.join(puzzle.grid.names(trimming.givens))}.")
        words += [
            f"Without clue {place + 1}, the {clue.phrases.noun} at {puzzle.grid.name(clue.scope[0])}."
            for place, clue in zip(trimming.clues, clues, strict=True)
        ]
        parts = (effort_words(trimming.effort), trimming.pattern)
        offers.append(
            Offer(
                title=sentence(gone),
                words=words,
                note="; ".join(part for part in parts if part),
                cells=sorted({*trimming.givens, *(cell for clue in clues for cell in clue.scope)}),
                draft=draft_of(trimming.puzzle),
                picture=picture(trimming.puzzle),
            )
        )
    if not found.proved:
        lines.append("That no more may go was not proved.")
    return Answer(head="The one solution stays the same without these.", lines=lines, offers=offers)
