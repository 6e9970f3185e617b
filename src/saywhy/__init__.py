"""
Saywhy: prove a variant sudoku fit to air, and say why each digit is forced.

The names below are the Python interface; each is imported when it is first used.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from saywhy.engine import count as count
    from saywhy.engine import prove as prove
    from saywhy.errors import SaywhyError as SaywhyError
    from saywhy.files import puzzle_id as puzzle_id
    from saywhy.files import read as read
    from saywhy.files import read_text as read_text
    from saywhy.files import write as write
    from saywhy.grid import Grid as Grid
    from saywhy.puzzle import Clue as Clue
    from saywhy.puzzle import Puzzle as Puzzle
    from saywhy.reasoning import explain as explain

__version__ = "0.1.0"

_HOMES = {
    "Clue": "saywhy.puzzle",
    "Grid": "saywhy.grid",
    "Puzzle": "saywhy.puzzle",
    "SaywhyError": "saywhy.errors",
    "count": "saywhy.engine",
    "explain": "saywhy.reasoning",
    "prove": "saywhy.engine",
    "puzzle_id": "saywhy.files",
    "read": "saywhy.files",
    "read_text": "saywhy.files",
    "write": "saywhy.files",
}

__all__ = [
    "Clue",
    "Grid",
    "Puzzle",
    "SaywhyError",
    "count",
    "explain",
    "prove",
    "puzzle_id",
    "read",
    "read_text",
    "write",
]


def __getattr__(name: str) -> Any:
    """Import a name of the interface when it is first asked for."""
    if name not in _HOMES:
        raise AttributeError(f"module 'saywhy' has no attribute {name!r}")
    found = getattr(import_module(_HOMES[name]), name)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    """Name what can be asked for."""
    return sorted({*globals(), *_HOMES})
