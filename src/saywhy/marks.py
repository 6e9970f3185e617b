"""The lit groups of a reasoning step: what its sentence points at."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

Role = Literal["look", "because", "result"]

ROLES: tuple[Role, ...] = ("look", "because", "result")


@dataclass(frozen=True)
class Mark:
    """
    A group of cells that a step's sentence points at.

    These are explanation marks: a list of their own, never mixed with the marks that a solver makes.

    Attributes:
        group: Its letter, ``a``, ``b`` ...; sentences and pictures name the group by it.
        cells: Cell indices.
        role: ``look`` (where to look), ``because`` (what forces it) or ``result`` (what follows).
    """

    group: str = "a"
    cells: Sequence[int] = ()
    role: Role = "look"
