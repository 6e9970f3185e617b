"""How much a puzzle file may hold: files come from strangers, so everything has a bound."""

from __future__ import annotations

MOST_BYTES = 256 * 1024  #: of one TOML file
HEAD_BYTES = 64 * 1024  #: from which it is told what a file is
LONGEST_LINE = 2_000  #: bytes of a line in a file of puzzle lines
MOST_EMPTY_LINES = 10_000  #: lines without a puzzle in a row, in a file of puzzle lines
MOST_BAD_LINES = 50  #: lines that do not read, before the rest of the file is left alone
MOST_PROBLEMS = 50  #: told about one file
DEEPEST = 4  #: brackets within brackets outside texts
MOST_DOTS = 6  #: dots on a line outside texts; format 1 has no dotted keys at all
MOST_CLUES = 1_000
MOST_NAMES = 100  #: in ``rules`` and ``all-given``
MOST_GROUPS = 64
LONGEST_TITLE = 200  #: characters
LONGEST_NAME = 40
LONGEST_CELLS = 4_096
LONGEST_BOARD = 8_192
LARGEST_NUMBER = 1_000_000
