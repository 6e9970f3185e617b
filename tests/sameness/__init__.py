"""Tests of what makes two puzzles the same."""
