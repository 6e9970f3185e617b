"""The board as a picture: SVG, PNG, its key and its description in words."""

from saywhy.drawing.alt_text import describe
from saywhy.drawing.board import board_svg
from saywhy.drawing.key import KeyEntry, key_entries
from saywhy.drawing.png import FontMissingError, board_png
from saywhy.drawing.theme import THEMES, ThemeName, theme_css

__all__ = [
    "THEMES",
    "FontMissingError",
    "KeyEntry",
    "ThemeName",
    "board_png",
    "board_svg",
    "describe",
    "key_entries",
    "theme_css",
]
