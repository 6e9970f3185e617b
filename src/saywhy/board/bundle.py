"""
Modules joined into one script, so that a page's policy can name all of its code by one hash.

It reads the forms that our own modules have: imports and exports each begin a line, imports name modules as
``#app/name.js``, and nothing is a default export. A form that it does not know is an error.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from graphlib import CycleError, TopologicalSorter

_IMPORT = re.compile(r'^import (?:\{([^}]*)\}|\* as (\w+)) from "(#app/[\w/]+\.js)";$', re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:async )?(?:function\*?|const|class) (\w+))", re.MULTILINE)
_LIST = re.compile(r"^export \{([^}]*)\};$", re.MULTILINE)
_COMMENT = re.compile(r"^[ \t]*/\*\*(?:(?!\*/).)*\*/[ \t]*\n", re.MULTILINE | re.DOTALL)
_LEFT = re.compile(r"^\s*(?:import|export)\b.*$", re.MULTILINE)


def bundle(modules: Mapping[str, str], entry: str) -> str:
    """
    Join a module and all that it imports.

    Args:
        modules: Source by name, such as ``#app/board/api.js``.
        entry: The name of the module that the page runs.

    Returns:
        One module without imports; each joined module is a function of its own, run once in order.

    Raises:
        ValueError: A module is missing, imports go round in a circle, or a form is not known.
    """
    waiting, needs = [entry], dict[str, list[str]]()
    while waiting:
        name = waiting.pop()
        if name not in needs:
            if name not in modules:
                raise ValueError(f"there is no module {name}")
            needs[name] = [found[2] for found in _IMPORT.findall(modules[name])]
            waiting += needs[name]
    try:
        order = list(TopologicalSorter(needs).static_order())
    except CycleError as error:
        raise ValueError(f"modules import one another in a circle: {error.args[1]}") from error
    script = "\n".join(_joined(name, modules[name]) for name in order)
    if "</script" in script.lower() or "<!--" in script:
        raise ValueError("a module holds text that ends a script element")
    return script


def _joined(name: str, source: str) -> str:
    """Give one module as a function that is run and gives what it exports."""
    gives = [f"{found}" for found in _EXPORT.findall(source)]
    for held in _LIST.findall(source):
        gives += [_pair(part, " as ", reverse=True) for part in held.split(",") if part.strip()]
    text = _COMMENT.sub("", source)
    text = _IMPORT.sub(_taken, text)
    text = _LIST.sub("", _EXPORT.sub("", text))
    if left := _LEFT.search(text):
        raise ValueError(f"{name}: this form is not known: {left[0].strip()}")
    return f"const {_variable(name)} = (() => {{\n{text.strip()}\nreturn {{ {', '.join(gives)} }};\n}})();"


def _taken(found: re.Match[str]) -> str:
    names, whole, module = found.groups()
    if whole:
        return f"const {whole} = {_variable(module)};"
    return f"const {{ {', '.join(_pair(part, ' as ') for part in names.split(','))} }} = {_variable(module)};"


def _pair(part: str, word: str, *, reverse: bool = False) -> str:
    one, _, other = part.strip().partition(word)
    if not other:
        return one
    return f"{other}: {one}" if reverse else f"{one}: {other}"


def _variable(name: str) -> str:
    return "$" + re.sub(r"\W", "_", name.removeprefix("#app/").removesuffix(".js"))
