"""
Families of rules: those that a viewer would call the same thing again two episodes later.

A rule that is in no family is one of its own, so a new rule needs no line here.

Source:
    Which rules belong together is set by judgement.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

FAMILIES: Mapping[str, tuple[str, ...]] = {
    "arrows": ("arrow", "double-arrow"),
    "cages": ("killer-cage", "equal-sum-cages"),
    "thermometers": ("thermometer", "slow-thermometer"),
    "lines of a sum": ("sum-line", "region-sum-line", "zipper-line"),
    "lines of a set": ("renban", "nabner"),
    "lines of a kind": ("entropic-line", "modular-line", "parity-line"),
    "lines with ends": ("between-line", "lockout-line"),
    "lines of distance": ("whisper",),
    "signs between cells": ("all-given", "black-dot", "less-than", "pair-sum", "v", "white-dot", "x"),
    "sums beside the grid": ("edge-sum", "little-killer", "sandwich", "x-sum"),
    "views into the grid": ("numbered-room", "skyscraper"),
    "moves of pieces": ("anti-king", "anti-knight"),
    "diagonals": ("diagonals", "falling-diagonal", "rising-diagonal"),
    "odd and even": ("even", "odd"),
    "peaks and pits": ("high-spot", "low-spot"),
    "extra houses": ("disjoint-groups", "extra-region"),
    "copies": ("clone", "palindrome"),
}
_OF = {rule: family for family, rules in FAMILIES.items() for rule in rules}


def families(rules: Iterable[str]) -> frozenset[str]:
    """Give the families of some rules by name."""
    return frozenset(_OF.get(rule, rule.replace("-", " ")) for rule in rules)
