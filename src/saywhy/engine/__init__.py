"""The exact engine: prove, count, candidates and conflicts of a puzzle compiled to primitives."""

from saywhy.engine.budget import UNLIMITED, Budget, Cancel
from saywhy.engine.candidates import Candidates, candidates
from saywhy.engine.conflict import Conflict, conflict
from saywhy.engine.counting import Counted, count
from saywhy.engine.model import Model, compile_model
from saywhy.engine.prove import Proof, prove

__all__ = [
    "UNLIMITED",
    "Budget",
    "Cancel",
    "Candidates",
    "Conflict",
    "Counted",
    "Model",
    "Proof",
    "candidates",
    "compile_model",
    "conflict",
    "count",
    "prove",
]
