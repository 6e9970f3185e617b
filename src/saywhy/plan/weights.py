"""What a plan is judged by where its wishes leave a choice: every weight, with the reason for it."""

from __future__ import annotations

#: An episode too many or too few for a wish that is not firm. More than all that waiting can come to for
#: one slot, so that no wish is broken to let an older puzzle in.
SHORT = 1_000
#: A day between a puzzle and the day that it was asked to be around: a week weighs about as much as being
#: passed over by the whole queue.
DAY_AWAY = 15
#: The whole queue: the puzzle that came last costs this much more than the one that came first.
QUEUE = 100
#: Replanning: an episode that leaves its day. More than all the days that all others could go, so that few
#: episodes go far rather than many a short way; days beyond a year count as a year.
MOVED, MOVED_DAYS = 20_000, 365
#: Wishes given up because all cannot be kept: a pin is the host's own hand, a request was promised to
#: somebody, an empty slot is no episode at all, a rest or the shape of effort is taste. Each weighs more than
#: all of the next kind that can hang on it: the rests of one slot, twenty slots, twenty requests.
GIVEN_UP = {"pin": 400_000, "request": 20_000, "fill": 1_000, "rest": 1, "effort": 1}
