"""Tests of the inbox."""
