"""Tests of the log of a solve."""
