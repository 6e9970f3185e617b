"""Tests of setting."""
