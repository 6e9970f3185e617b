"""
The golden boards.

``python -m tests.drawing.golden`` draws them anew; whoever does so looks at the pictures that it also leaves
in ``build/golden`` before keeping them.
"""

from __future__ import annotations

from pathlib import Path

from saywhy.drawing import board_png, board_svg
from tests.drawing.boards import LEDGER, MOORINGS, MOORINGS_MARKS, SOUNDINGS

GOLDEN = Path(__file__).parent / "golden"
NAMES = ("ledger", "ledger-dark", "moorings-grey", "soundings")


def made(name: str) -> str:
    """Draw one golden board."""
    if name == "ledger":
        return board_svg(LEDGER, key=False)
    if name == "ledger-dark":
        return board_svg(LEDGER, theme="dark", key=False, digits={11: 5, 38: 4, 80: 1}, notes={12: [4, 5, 9]})
    if name == "moorings-grey":
        return board_svg(
            MOORINGS,
            theme="grey",
            marks=MOORINGS_MARKS,
            digits={5: 6, 41: 7},
            notes={31: [2, 5], 79: range(1, 8)},
        )
    return board_svg(SOUNDINGS, key=False)


def main() -> None:
    """Draw all golden boards, as SVG here and as PNG to look at."""
    pictures = Path("build/golden")
    pictures.mkdir(parents=True, exist_ok=True)
    GOLDEN.mkdir(exist_ok=True)
    for name in NAMES:
        (GOLDEN / f"{name}.svg").write_text(made(name), encoding="utf-8")
        (pictures / f"{name}.png").write_bytes(board_png(made(name), 1000))


if __name__ == "__main__":
    main()
