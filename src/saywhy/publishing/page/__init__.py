"""
The viewers' page: one HTML file that asks for nothing, from disk or from any static host.

The solution is not in it in plain: a finished grid is compared with a salted hash, and the reasoned path is
sealed under a key that the page's own code makes. That keeps someone who glances at the source from reading
it; it keeps nothing from someone who runs that code, nor from someone who solves the puzzle.
"""

from __future__ import annotations

import base64
import hashlib
import json
import zlib
from functools import lru_cache
from html import escape
from importlib import resources
from string import Template
from typing import Any

from saywhy import board
from saywhy.board.single import embedded, hashed, one_script
from saywhy.drawing.printed import Printed, printed
from saywhy.drawing.text import FACES, FONTS
from saywhy.drawing.theme import theme_css
from saywhy.engine.constraints import constraints
from saywhy.errors import NotAllowedError, Problem
from saywhy.primitives import AllDifferent, Count, Linear, Pair
from saywhy.publishing.episode import Episode
from saywhy.publishing.messages import Catalogue
from saywhy.reasoning.answer import nudge
from saywhy.reasoning.step import PathStep

MOST_BYTES = 400 * 1024
#: Rounds of hashing of a finished grid; ``sealed.js`` has the same.
ROUNDS = 2000
MODULES = ("app", "check", "hints", "sealed", "sha256")
_ENTRY = "#app/page/app.js"


def page(episode: Episode) -> bytes:
    """
    Give the viewers' page.

    Raises:
        NotAllowedError: It would be larger than 400 KiB.
    """
    made = printed(episode.puzzle)
    label = escape(episode.described, quote=True)
    svg = made.svg.replace('aria-hidden="true"', f'role="img" aria-label="{label}"', 1)
    style = _style(made, episode.puzzle.grid.size)
    script = _script(episode.catalogue)
    policy = (
        f"default-src 'none'; script-src {hashed(script)}; style-src {hashed(style)}; font-src data:; "
        "base-uri 'none'; form-action 'none'"
    )
    texts = {name: escape(text) for name, text in episode.texts.items() if name.startswith("page_")}
    if episode.puzzle.grid.size > 9:
        texts["page_keys"] += " " + texts["page_keys_large"]
    html = Template(_read("page.html")).substitute(
        texts,
        language=escape(episode.language),
        policy=policy,
        title=escape(episode.title),
        by=escape(episode.by),
        style=style,
        svg=svg,
        rules_head=escape(episode.texts["rules"]),
        rules=_rules(episode),
        facts=embedded(facts(episode)),
        script=script,
    )
    data = html.encode()
    if len(data) > MOST_BYTES:
        what = f"the viewers' page has {len(data)} bytes, and {MOST_BYTES} are the most"
        raise NotAllowedError(Problem(what, "The path is too long for one page"))
    return data


def facts(episode: Episode) -> dict[str, Any]:
    """Give what the page's modules are told, as JSON holds it."""
    puzzle = episode.puzzle
    salt = hashlib.sha256(f"page/{episode.name}".encode()).hexdigest()[:32]
    return {
        "id": episode.name[:24],
        "salt": salt,
        "hash": grid_hash(episode.solution, salt),
        "picture": printed(puzzle).facts(puzzle),
        "texts": {
            name.removeprefix("live_"): text
            for name, text in episode.texts.items()
            if name.startswith("live_") or name in ("page_show", "page_help", "page_check")
        },
        "examples": [list(example.cells) for example in episode.rules.examples],
        "statements": _statements(episode),
        "steps": sealed([_step(episode, told) for told in episode.path.steps], f"{salt}/steps"),
        "beats": sealed(list(episode.path.beats), f"{salt}/beats"),
    }


def grid_hash(digits: tuple[int, ...], salt: str) -> str:
    """Give the salted hash of a filled grid."""
    data = f"{salt}/{','.join(map(str, digits))}".encode()
    for _ in range(ROUNDS):
        data = hashlib.sha256(data).digest()
    return data.hex()


def sealed(held: object, key: str) -> str:
    """Seal a value: its JSON, deflated, under a stream of SHA-256 of the key and a counter, in base64."""
    squeezed = zlib.compressobj(9, zlib.DEFLATED, -zlib.MAX_WBITS)
    data = squeezed.compress(json.dumps(held, ensure_ascii=False, separators=(",", ":")).encode())
    data += squeezed.flush()
    stream = b"".join(
        hashlib.sha256(f"{key}/{block}".encode()).digest() for block in range(len(data) // 32 + 1)
    )
    return base64.b64encode(bytes(a ^ b for a, b in zip(data, stream, strict=False))).decode()


def _step(episode: Episode, told: PathStep) -> dict[str, Any]:
    return {
        "beat": told.beat,
        "text": told.told.written,
        "where": nudge(episode.puzzle, told, 1),
        "clue": nudge(episode.puzzle, told, 2),
        "places": sorted(told.step.places.items()),
        "removes": sorted(told.step.removes.items()),
        "marks": [
            {"group": lit.group, "cells": list(lit.cells), "role": lit.role} for lit in told.told.marks
        ],
    }


def _statements(episode: Episode) -> dict[str, Any]:
    """Give the compiled rules as ``check.js`` reads them."""
    held: dict[str, list[Any]] = {"different": [], "sums": [], "pairs": [], "words": [], "counts": []}
    tables: dict[Any, int] = {}
    automata: dict[Any, int] = {}
    for constraint in constraints(episode.puzzle):
        primitive = constraint.primitive
        match primitive:
            case AllDifferent(cells=cells):
                held["different"].append(cells)
            case Linear(coefficients=weights, cells=cells, total=total):
                held["sums"].append([weights, cells, total])
            case Pair(a=a, b=b, table=table):
                held["pairs"].append([a, b, tables.setdefault(table, len(tables))])
            case Count(cells=cells):
                held["counts"].append(cells)
            case _:
                number = automata.setdefault(primitive.automaton, len(automata))
                held["words"].append([primitive.cells, number])
    return held | {
        "tables": list(tables),
        "automata": [{"moves": one.moves, "accepting": sorted(one.accepting)} for one in automata],
    }


def _rules(episode: Episode) -> str:
    """Write the rules, each with a button that lights up its example."""
    ground, *written = episode.rules.written
    parts = [f"<p>{escape(ground)}</p>"]
    label, show = episode.texts["page_example"], escape(episode.texts["page_show"])
    for number, (text, example) in enumerate(zip(written, episode.rules.examples, strict=True)):
        button = (
            f' <button type="button" class="plain live" data-example="{number}" aria-pressed="false" '
            f'aria-label="{escape(label.format(rule=example.title), quote=True)}">{show}</button>'
        )
        parts.append(f"<p>{_named(text)}{button if example.cells else ''}</p>")
    return "\n".join(parts)


def _named(rule: str) -> str:
    """Set the name of a rule, before its colon, strong."""
    name, colon, says = rule.partition(": ")
    return f"<strong>{escape(name)}:</strong> {escape(says)}" if colon else escape(rule)


def _style(made: Printed, size: int) -> str:
    fonts = "".join(
        f'@font-face{{font-family:"{face.family}";font-weight:{face.weight};font-style:{face.style};'
        f"src:url(data:font/woff2;base64,{_base64((FONTS / f'{face.stem}.woff2').read_bytes())})"
        ' format("woff2")}\n'
        for face in FACES
    )
    across = 6 if size % 6 == 0 else 4 if size % 4 == 0 else 5
    figures = f":root{{--figures:{across}}}\n"
    return "\n" + fonts + theme_css() + board.style_sheet() + made.aspect(size) + figures + _read("page.css")


@lru_cache(maxsize=4)
def _script(catalogue: Catalogue) -> str:
    """Give the page's code and the board's as one script."""
    held = {f"#app/page/{name}.js": _read(f"{name}.js") for name in MODULES}
    name, source = catalogue.board_module()
    return one_script(board.files(), held | {name: source}, _ENTRY)


def _base64(data: bytes) -> str:
    return base64.b64encode(data).decode()


def _read(name: str) -> str:
    return resources.files(__name__).joinpath(name).read_text(encoding="utf-8")
