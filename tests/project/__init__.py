"""Tests of the project around the program: documents, set-up, locks."""
