"""Lists, cases and counts of English, and the checks of a sentence."""

from __future__ import annotations

from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.balance import arithmetic, ways_said
from saywhy.reasoning.words.sights import says

NINE = 0b111111111


def test_lists_end_with_their_word() -> None:
    assert grammar.listed([2]) == "2"
    assert grammar.listed([2, 5]) == "2 and 5"
    assert grammar.listed([2, 5, 7], "or") == "2, 5 or 7"


def test_the_article_follows_the_sound() -> None:
    assert [grammar.a(word) for word in ("8", "11", "18", "5", "15 cage", "arrow")] == [
        "an 8",
        "an 11",
        "an 18",
        "a 5",
        "a 15 cage",
        "an arrow",
    ]


def test_a_sentence_has_a_capital_and_a_stop() -> None:
    assert grammar.sentence("the  circle is 9") == "The circle is 9."
    assert grammar.sentence("where is it?") == "Where is it?"


def test_arithmetic_is_right_and_long_sums_are_said_short() -> None:
    assert arithmetic([1, 2, 6]) == "1 + 2 + 6 = 9"
    assert arithmetic([4]) == "4"
    assert arithmetic([1, 2, 3, 4, 5]) == "15"


def test_ways_are_said_as_digits_and_two_alike_as_two() -> None:
    assert ways_said([(5, 9), (6, 8)]) == "5 and 9 or 6 and 8"
    assert ways_said([(1, 2, 6), (1, 3, 5)]) == "1, 2 and 6, or 1, 3 and 5"
    assert ways_said([(4, 4)]) == "two 4s"


def test_what_a_cell_may_be_is_said_in_few_words() -> None:
    def said(*digits: int) -> str:
        return says(sum(1 << (digit - 1) for digit in digits), NINE)

    assert said(7) == "is 7"
    assert said(2, 5) == "is 2 or 5"
    assert said(6, 7, 8, 9) == "is 6 or more"
    assert said(1, 2, 3, 4, 5) == "is 5 at most"
    assert said(1, 3, 5, 7, 9) == "is odd"
    assert said(1, 2, 3, 5, 6, 7, 8, 9) == "has no 4"
    assert said(3, 4, 5, 6) == "is 3 to 6"
    assert said(1, 2, 3, 7, 8, 9) == "has nothing from 4 to 6"
    assert said(1, 2, 4, 5, 7, 8, 9) == "is neither 3 nor 6"


def test_the_checks_find_what_no_host_would_say() -> None:
    assert grammar.faults("Row 5 wants only its 2.") == []
    assert grammar.faults("Row 3, column 4 is 1, 2, 3, 4, 5 or 6.") == []
    assert grammar.faults("r4c5 cannot be {2, 5}.")
    assert grammar.faults("Clearly the cell is 4.")
    assert grammar.faults("Eliminate the candidates.")
    assert grammar.faults("It is 1, 2, 3, 4, 5, 6 or 7.")
    assert grammar.faults("One. Two. Three. Four.")
    assert grammar.faults(" ".join(["word"] * 40) + ".")
    assert grammar.faults("the end")
