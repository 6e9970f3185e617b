"""
The inbox: a folder of files from setters, judged all at once.

``run`` judges what is new and keeps each judgement as it lands; ``alike`` says which are the same puzzle
again; ``write_all`` writes tables and letters. Nothing but the letters in ``spoilers`` names a cell.
"""

from saywhy.inbox.judgement import Judgement, Limits, Spoils
from saywhy.inbox.likeness import Likeness, alike
from saywhy.inbox.run import Inbox, run
from saywhy.inbox.writing import write_all

__all__ = ["Inbox", "Judgement", "Likeness", "Limits", "Spoils", "alike", "run", "write_all"]
