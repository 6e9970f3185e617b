"""Which function models which rule: each family's file signs its functions in here by the rule's name."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable
from functools import cache

from saywhy.puzzle import Clue
from saywhy.second_opinion import families
from saywhy.second_opinion.board import Board

ClueModel = Callable[[Board, Clue], None]
GridModel = Callable[[Board], None]

_clue_models: dict[str, ClueModel] = {}
_grid_models: dict[str, GridModel] = {}


def clue(*names: str) -> Callable[[ClueModel], ClueModel]:
    """Sign in the model of one or more clue rules."""

    def sign(model: ClueModel) -> ClueModel:
        for name in names:
            _clue_models[name] = model
        return model

    return sign


def grid_wide(*names: str) -> Callable[[GridModel], GridModel]:
    """Sign in the model of one or more grid-wide rules."""

    def sign(model: GridModel) -> GridModel:
        for name in names:
            _grid_models[name] = model
        return model

    return sign


@cache
def _load() -> None:
    for info in pkgutil.iter_modules(families.__path__):
        importlib.import_module(f"{families.__name__}.{info.name}")


def clue_models() -> dict[str, ClueModel]:
    """Give the models of clue rules by the rule's name."""
    _load()
    return dict(sorted(_clue_models.items()))


def grid_models() -> dict[str, GridModel]:
    """Give the models of grid-wide rules by the rule's name; ``all-given`` is one of them."""
    _load()
    return dict(sorted(_grid_models.items()))
