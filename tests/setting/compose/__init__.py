"""Composing: sketches in, finished puzzles out."""
