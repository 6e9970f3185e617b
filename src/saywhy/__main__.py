"""``python -m saywhy`` is the command line."""

from saywhy.cli import main

main()
