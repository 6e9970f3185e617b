"""Tests of the plan: against brute force, against its own words, and as its users use it."""
