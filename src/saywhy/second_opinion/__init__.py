"""
An independent second opinion by a general-purpose constraint solver (OR-Tools CP-SAT).

Every rule is modelled here a second time, from its meaning alone and in other terms than in ``rules/``: no
code of a rule's file, of the primitives or of the engine runs here. What both agree on is believed.
OR-Tools comes with the extra ``certify`` and is imported only when a model is built.
"""

from saywhy.second_opinion.answers import Search, enumerate_fillings, search, solve, verdict
from saywhy.second_opinion.certificates import Certificate, certify
from saywhy.second_opinion.model import Model, build
from saywhy.second_opinion.paths import CheckedStep, PathReport, certify_path

__all__ = [
    "Certificate",
    "CheckedStep",
    "Model",
    "PathReport",
    "Search",
    "build",
    "certify",
    "certify_path",
    "enumerate_fillings",
    "search",
    "solve",
    "verdict",
]
