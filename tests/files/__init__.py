"""Tests of puzzle files in and out."""
