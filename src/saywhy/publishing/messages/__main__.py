"""Print the English of every published text as a file to be translated, for the puzzles named."""

from __future__ import annotations

import sys

from saywhy.files import read
from saywhy.publishing.messages import blank

if __name__ == "__main__":
    sys.stdout.write(blank([puzzle for name in sys.argv[1:] for puzzle in read(name)]))
