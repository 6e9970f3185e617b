"""Every story is told in exactly the words that its page says."""

from __future__ import annotations

import pytest

from saywhy.reasoning.words import grammar
from saywhy.rules import all_rules
from tests.reasoning.stories.book import Story, frame_and_step, stories, told

STORIES = stories()


@pytest.mark.parametrize("story", STORIES, ids=lambda story: story.name)
def test_a_story_is_told_in_the_words_of_its_page(story: Story) -> None:
    now = told(story)
    assert now.text == story.spoken
    assert now.written == story.written
    assert now.brief == story.brief


@pytest.mark.parametrize("story", STORIES, ids=lambda story: story.name)
def test_a_story_keeps_the_limits_of_speech(story: Story) -> None:
    _, _, step = frame_and_step(story)
    most = None if step.story else grammar.SENTENCES
    assert not grammar.faults(story.spoken, most=most)
    assert not grammar.faults(story.written, most=most)


def test_there_are_stories_enough_and_of_every_rule() -> None:
    assert len(STORIES) >= 150
    told_of = {story.file for story in STORIES}
    wanted = {name for name in all_rules() if name != "diagonals"}
    assert wanted <= told_of | {"falling-diagonal", "rising-diagonal"}, sorted(wanted - told_of)


def test_no_two_stories_of_a_page_bear_one_title() -> None:
    names = [story.name for story in STORIES]
    assert len(set(names)) == len(names)
