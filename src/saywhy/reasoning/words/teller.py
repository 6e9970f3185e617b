"""From a step to its words: the plan with the fewest words that says what the certificate holds."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace

from saywhy.grid import Grid
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Step, Told
from saywhy.reasoning.words import (
    beats,
    clues,
    colouring,
    grammar,
    houses,
    leftovers,
    opening,
    supposing,
    wings,
)
from saywhy.reasoning.words.names import Names
from saywhy.reasoning.words.plan import Phrase, Plan, say, spoken, told_apart, words, written
from saywhy.reasoning.words.scene import Scene

_IDEAS: dict[str, Callable[[Scene], Iterator[Plan]]] = {
    "last digit": houses.last_digit,
    "only place": houses.only_place,
    "only digit": houses.only_digit,
    "locked digit": houses.locked,
    "pair": houses.naked,
    "triple": houses.naked,
    "quadruple": houses.naked,
    "hidden pair": houses.hidden,
    "hidden triple": houses.hidden,
    "hidden quadruple": houses.hidden,
    "X-wing": houses.fish,
    "swordfish": houses.fish,
    "jellyfish": houses.fish,
    "XY-wing": wings.plans,
    "XYZ-wing": wings.plans,
    "equal sets": leftovers.plans,
    "colouring": colouring.plans,
}


#: Words that it costs to open as the step before did.
AGAIN = 2.0
#: Words that a clause has at least that is made a sentence of its own.
CLAUSE = 5


class Teller:
    """
    Tells the steps of one puzzle.

    The same step after the same steps is always told in the same words.
    """

    def __init__(self, frame: Frame) -> None:
        self.frame = frame
        self.names = Names(frame)

    def tell(self, position_before: Position, step: Step, before: Sequence[tuple[Step, Told]] = ()) -> Told:
        """
        Say a step as a good host would.

        Args:
            position_before: Where the solve stands before the step.
            step: The step.
            before: The steps told so far, in order, with their words.
        """
        scene = Scene(self.frame, self.names, position_before, step)
        plan = self._choose(scene, self._plans(scene), before)
        self.last = plan
        because = sorted(step.reason.facts)
        return plan.told(self.frame.grid, because, sorted({**step.places, **step.removes}))

    def clause(self, position: Position, step: Step) -> tuple[str, str]:
        """
        Give a step as the clause that a story uses, spoken and written.

        Args:
            position: Where the story stands before the step.
            step: The step; it may end the story (``breaks``).
        """
        (phrase,) = told_apart(
            (supposing.inner_clause(Scene(self.frame, self.names, position, step)),), self.frame.grid
        )
        return spoken(phrase), written(phrase)

    def beat(self, pairs: Sequence[tuple[Step, Told]], before: Sequence[Told] = ()) -> str:
        """
        Give the text of a beat: the first step in full, what follows from it in one breath.

        Args:
            pairs: Its steps with their words, in order.
            before: What the beats before it began with; a thought that returns is told as such.
        """
        return beats.text(self.names, pairs, before)

    def opened(self, step: Step, text: str) -> str:
        """Give the text of the first beat, led by this step, with the place where the solve starts."""
        return opening.opened(self.names, step, text)

    @staticmethod
    def closed(text: str) -> str:
        """Give the text of the beat that fills the grid."""
        return f"{text} {opening.CLOSE}"

    def _plans(self, scene: Scene) -> Iterable[Plan]:
        if scene.step.suppose is not None and scene.step.story:
            yield from supposing.plans(scene)
            return
        builder = _IDEAS.get(scene.step.idea)
        told = [] if builder is None else list(builder(scene))
        # More may stand than when it was found: a wing of which a tip has its digit is no wing any more.
        yield from told or clues.plans(scene)

    @staticmethod
    def _choose(scene: Scene, plans: Iterable[Plan], before: Sequence[tuple[Step, Told]]) -> Plan:
        """Take the plan of fewest words, one that does not open as the last step did."""
        last = grammar.opening(before[-1][1].text) if before else ()
        grid = scene.frame.grid
        found = sorted(plans, key=lambda plan: plan.cost + (AGAIN if _opens(plan) == last else 0))
        best = next((sound for plan in found if (sound := _sound(plan, grid)) is not None), None)
        if best is None:
            left = found[:1] if scene.step.story else [*found, clues.terse(scene)]
            best = min(left, key=lambda plan: len(_faults(plan, grid)))
        return _reopened(best, before[-1][1].text) if _opens(best) == last else best


def _reopened(plan: Plan, last: str) -> Plan:
    """Give a plan another opening than the step before had: "likewise" where that went on the same way."""
    first, *rest = plan.sentences
    alike = grammar.opening(grammar.sentence(spoken(first)), 6) == grammar.opening(last, 6)
    return replace(plan, sentences=(say("{}, {}", grammar.LEADS[alike], _lowered(first)), *rest))


def _lowered(phrase: Phrase) -> Phrase:
    """Take the capital off a phrase."""
    first, *rest = phrase
    if isinstance(first, str):
        return (grammar.lowered(first), *rest)
    return phrase


def _opens(plan: Plan) -> tuple[str, ...]:
    return grammar.opening(grammar.sentence(spoken(plan.sentences[0])))


def _sound(plan: Plan, grid: Grid) -> Plan | None:
    """Give a plan in which a machine finds nothing wrong; one too long is parted at a "so"."""
    if not _faults(plan, grid):
        return plan
    if plan.kind == "what-if" or len(plan.sentences) == grammar.SENTENCES:
        return None
    for place, sentence in enumerate(plan.sentences):
        if not _faults(replace(plan, sentences=(sentence,)), grid):
            continue
        parts = _parted(sentence)
        if parts is not None:
            return _sound(
                replace(plan, sentences=(*plan.sentences[:place], *parts, *plan.sentences[place + 1 :])), grid
            )
    return None


def _parted(sentence: Phrase) -> tuple[Phrase, Phrase] | None:
    """Part a sentence before its last "so", or else before the "and" next to its middle."""
    for place in range(len(sentence) - 1, -1, -1):
        piece = sentence[place]
        if isinstance(piece, str) and ", so " in piece:
            before, _, after = piece.rpartition(", so ")
            return (*sentence[:place], before), ("so " + after, *sentence[place + 1 :])
    halves = [
        ((*sentence[:place], piece[:-6]), sentence[place + 1 :])
        for place, piece in enumerate(sentence)
        if isinstance(piece, str) and piece.endswith(", and ") and words([sentence[place + 1 :]]) >= CLAUSE
    ]
    return min(halves, key=lambda two: abs(words(two[:1]) - words(two[1:])), default=None)


def _faults(plan: Plan, grid: Grid) -> list[str]:
    """List what a machine finds wrong with a plan as it would be said; one word is kept free."""
    most = None if plan.kind == "what-if" else grammar.SENTENCES
    found = []
    sentences = plan.apart(grid)
    for voice in (spoken, written):
        text = " ".join(grammar.sentence(voice(sentence)) for sentence in sentences)
        found += grammar.faults(text, most=most, words=grammar.WORDS - 1)
    return found
