"""Measurements of the engine beside general-purpose solvers; run with ``python -m benchmarks``."""
