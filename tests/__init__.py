"""The tests; they mirror the source."""
