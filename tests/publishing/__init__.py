"""Tests of the episode pack."""
