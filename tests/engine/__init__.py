"""Tests of the engine: naive enumeration, published counts, budgets."""
