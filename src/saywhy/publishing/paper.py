"""The puzzle on paper: a tagged PDF (PDF/UA-1) by typst; texts reach it as data, never as markup."""

from __future__ import annotations

import json
import re
import tempfile
from importlib import resources
from io import BytesIO
from itertools import groupby
from pathlib import Path
from typing import Literal

from saywhy.drawing import board_svg
from saywhy.drawing.png import typst_fonts
from saywhy.drawing.text import typeset
from saywhy.publishing.episode import Episode, shortened

Paper = Literal["a4", "us-letter"]
PAPERS: tuple[Paper, ...] = ("a4", "us-letter")
#: Letters of the pieces into which long words are cut.
PIECE = 8
_LONG = re.compile(r"\S{25,}")


def sheet(episode: Episode, paper: Paper = "a4", *, path: bool = False) -> bytes:
    """
    Print the puzzle with its rules, and a QR code where the episode has a link.

    Args:
        episode: The episode.
        paper: ``a4`` or ``us-letter``.
        path: Whether the solution and the path follow on pages of their own. This spoils.

    Returns:
        A PDF; the same for the same input.
    """
    import typst

    texts = episode.texts
    data: dict[str, object] = {
        "paper": paper,
        "language": episode.language,
        "name": shortened(typeset(episode.title), 100),
        "title": breakable(typeset(episode.title)),
        "by": breakable(typeset(episode.by)),
        "board_alt": texts["board_alt"].format(board=episode.described),
        "rules_head": texts["rules"],
        "rules": [typeset(rule) for rule in episode.rules.written],
        "link": episode.link or "",
        "scan": texts["scan"].partition("{link}")[::2],
        "link_shown": breakable(episode.link or ""),
        "scan_alt": texts["scan_alt"],
        "path": path,
        "solution_head": texts["solution"],
        "solution_alt": texts["solution_alt"].format(rows=_rows(episode)),
        "path_head": texts["path"],
        "beats": [
            [typeset(told.told.written) for told in group]
            for _, group in groupby(episode.path.steps, key=lambda told: told.beat)
        ]
        if path
        else [],
    }
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        board = board_svg(episode.puzzle, theme="grey", key=False, title=False)
        (folder / "board.svg").write_text(board, encoding="utf-8")
        if path:
            digits = dict(enumerate(episode.solution))
            filled = board_svg(episode.puzzle, theme="grey", key=False, title=False, digits=digits)
            (folder / "solution.svg").write_text(filled, encoding="utf-8")
        if episode.link:
            (folder / "qr.svg").write_bytes(_qr(episode.link))
        (folder / "data.json").write_text(json.dumps(data), encoding="utf-8")
        source = resources.files("saywhy.publishing").joinpath("sheet.typ").read_text(encoding="utf-8")
        (folder / "sheet.typ").write_text(source, encoding="utf-8")
        made = typst.compile(
            str(folder / "sheet.typ"),
            format="pdf",
            font_paths=typst_fonts(),
            ignore_system_fonts=True,
            pdf_standards=["ua-1"],
        )
    assert isinstance(made, bytes), "a PDF is one file"
    return made


def breakable(text: str) -> str:
    """Give a text in which a word longer than a line may be broken."""
    return _LONG.sub(lambda word: "\u200b".join(re.findall(f".{{1,{PIECE}}}", word[0])), text)


def _rows(episode: Episode) -> str:
    n, said = episode.puzzle.grid.size, episode.texts["row"]
    rows = [episode.solution[at : at + n] for at in range(0, n * n, n)]
    return " ".join(said.format(row=k, digits=" ".join(map(str, row))) for k, row in enumerate(rows, 1))


def _qr(link: str) -> bytes:
    import segno

    out = BytesIO()
    segno.make(link, error="m", micro=False).save(
        out, kind="svg", border=4, dark="#000", light="#fff", xmldecl=False
    )
    return out.getvalue()
