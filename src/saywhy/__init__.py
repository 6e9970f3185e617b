"""Saywhy: prove a variant sudoku fit to air, and say why each digit is forced."""

__version__ = "0.1.0"
